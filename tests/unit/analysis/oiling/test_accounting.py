import math

import numpy as np
import pytest

from leaktrack.analysis.oiling.accounting import (
    EXPANSION_PER_C,
    check_calibration,
    dipstick_level,
    leak_amount,
    oil_account,
    oil_loss,
)
from leaktrack.analysis.oiling.dripping import drop_volume
from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.oil_account import (
    AccountState,
    DipstickPoint,
    LeakWay,
    OilLevel,
    OilLoss,
    SeenLeak,
)

ENGINE = new_id()


def stick(*points):
    return [
        DipstickPoint(engine_id=ENGINE, height_mm=height, volume_ml=volume)
        for height, volume in points
    ]


# The marks of a common dipstick lie a litre apart; the sump is wider above.
MARKS = stick((0.0, 0.0), (10.0, 400.0), (20.0, 1000.0))


def test_a_height_means_what_numpy_interpolates():
    heights = np.linspace(0.0, 20.0, 41)

    ours = [dipstick_level(MARKS, height).ml for height in heights]

    assert ours == pytest.approx(np.interp(heights, [0, 10, 20], [0, 400, 1000]))


def test_beyond_the_marks_the_outer_slope_holds_for_half_their_distance():
    assert dipstick_level(MARKS, -10.0).ml == pytest.approx(-400.0)
    assert dipstick_level(MARKS, 30.0).ml == pytest.approx(1600.0)
    with pytest.raises(BadInput, match=r"dipstick is 30\.1 mm, but must lie between -10 mm and 30"):
        dipstick_level(MARKS, 30.1)


def test_a_height_is_doubted_by_what_a_millimetre_holds_there():
    assert dipstick_level(MARKS, 5.0).sigma_ml == pytest.approx(40.0)
    assert dipstick_level(MARKS, 15.0).sigma_ml == pytest.approx(60.0)


def test_points_that_are_not_known_yet_say_nothing():
    known = [*MARKS, DipstickPoint(engine_id=ENGINE), DipstickPoint(engine_id=ENGINE, height_mm=3)]

    assert check_calibration(known) == ((0.0, 0.0), (10.0, 400.0), (20.0, 1000.0))


@pytest.mark.parametrize(
    ("points", "what"),
    [
        (MARKS[:1], "two known heights"),
        (stick((0, 0), (10, 0)), "0 mL at 0 mm and 0 mL at 10 mm, but more height must be more"),
        (stick((0, 0), (0, 10)), "more height must be more oil"),
        (stick((0, 0), (math.nan, 10)), "height on the dipstick is not a number"),
        (stick((0, 0), (10, math.inf)), "oil at that height is inf mL"),
    ],
)
def test_a_dipstick_that_cannot_be_is_refused(points, what):
    with pytest.raises(BadInput, match=what):
        dipstick_level(points, 5.0)


def test_doubts_of_both_readings_add_up_as_squares():
    loss = oil_loss(OilLevel(900, 30, 20), OilLevel(800, 40, 20), 50.0, 4000.0)

    assert (loss.ml, loss.sigma_ml) == (150.0, 50.0)
    assert (loss.bounds_ml.low, loss.bounds_ml.high) == (50.0, 250.0)


def test_hot_oil_hides_a_loss_and_is_brought_to_the_first_temperature():
    """Density from memory: 0.65 kg/m3 a degree; computed: 70 degC make 209 mL of 4 L."""
    cold, hot = OilLevel(900, 10, 20), OilLevel(900, 10, 90)

    loss = oil_loss(cold, hot, holds_ml=4000.0)

    assert loss.ml == pytest.approx(0.65 / 870 * 70 * 4000)
    assert loss.warmth_ml == loss.ml
    back = oil_loss(hot, cold, holds_ml=4000.0)
    assert back.ml == pytest.approx(-loss.ml)


def test_temperatures_that_nobody_noted_widen_the_doubt_instead():
    known = oil_loss(OilLevel(900, 10, 20), OilLevel(800, 10, 20), holds_ml=4000.0)
    unknown = oil_loss(OilLevel(900, 10), OilLevel(800, 10, 20), holds_ml=4000.0)

    assert unknown.warmth_ml is None
    assert unknown.sigma_ml == pytest.approx(
        math.hypot(known.sigma_ml, EXPANSION_PER_C * 10 * 4000)
    )


def test_drops_count_for_all_of_the_run():
    amount = leak_amount(SeenLeak(1, True, drops_per_minute=2.0, edge_mm=4.0), minutes=30.0)

    drop = drop_volume(4.0).ul
    assert amount.way is LeakWay.DROPS
    assert (amount.ml.low, amount.ml.high) == pytest.approx(
        (60 * drop.low / 1e3, 60 * drop.high / 1e3)
    )


# DTIC ADA088168 (abstract read): films about 0.05 mm thick; so the FAA's 3/4 inch spot, 285 mm2,
# holds about 0.0143 mL (computed). An order of magnitude: the range must hold it.
def test_the_film_of_a_wet_area_is_told_within_the_published_thickness():
    amount = leak_amount(SeenLeak(1, False, area_mm2=285.0), minutes=30.0)

    assert amount.way is LeakWay.FILM
    assert amount.ml.low < 0.0143 < amount.ml.high


def test_drops_that_nobody_counted_leave_the_amount_open_above():
    amount = leak_amount(SeenLeak(1, True), minutes=30.0)

    assert (amount.way, amount.ml.high) == (LeakWay.NOT_COUNTED, math.inf)


def test_the_share_sets_the_least_explained_against_the_most_missing():
    leak = SeenLeak(1, True, drops_per_minute=20.0, edge_mm=4.0)

    account = oil_account(OilLoss(60.0, 10.0), [leak], 60.0)

    drop = drop_volume(4.0).ul
    assert account.state is AccountState.DRAWN_UP
    assert account.share.low == pytest.approx(1.2 * drop.low / 80.0)
    assert account.share.high == pytest.approx(1.2 * drop.high / 40.0)


def test_a_share_holds_the_truth_of_drawn_engines():
    """Drops, reading errors and loss drawn at random: the share must hold 95 % of the truths."""
    rng = np.random.default_rng(7)
    inside = 0
    for _ in range(400):
        drops, drop_ml = rng.uniform(5, 40), rng.uniform(0.0266, 0.0349)
        leaked = drops * 60 * drop_ml
        lost = leaked / rng.uniform(0.2, 0.9)
        read = lost + rng.normal(0, 8.0)
        account = oil_account(
            OilLoss(read, 8.0), [SeenLeak(1, True, drops_per_minute=drops, edge_mm=4.0)], 60.0
        )
        if account.share is None:
            inside += 1  # it says that it cannot say
        else:
            inside += account.share.low <= leaked / lost <= account.share.high
    assert inside >= 380


@pytest.mark.parametrize(
    ("loss", "leaks", "minutes", "state"),
    [
        (None, [SeenLeak(1, True, drops_per_minute=2.0)], 60.0, AccountState.NO_READINGS),
        (OilLoss(50, 10), None, 60.0, AccountState.NO_LOOK),
        (OilLoss(50, 10), [SeenLeak(1, True, drops_per_minute=2.0)], None, AccountState.NO_TIME),
        (OilLoss(50, 30), [SeenLeak(1, True, drops_per_minute=2.0)], 60.0,
         AccountState.LOSS_IN_DOUBT),
        (OilLoss(-90, 10), [SeenLeak(1, False, area_mm2=9.0)], 60.0, AccountState.LOSS_IN_DOUBT),
        (OilLoss(50, 10), [SeenLeak(1, True)], 60.0, AccountState.NOTHING_COUNTED),
        (OilLoss(50, 10), [], 60.0, AccountState.DRAWN_UP),
    ],
)  # fmt: skip
def test_it_says_where_it_cannot_say(loss, leaks, minutes, state):
    account = oil_account(loss, leaks, minutes)

    assert account.state is state
    assert (account.share is not None) is (state is AccountState.DRAWN_UP)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: leak_amount(SeenLeak(1, True, drops_per_minute=1.0), -1.0), "run is -1 min"),
        (lambda: leak_amount(SeenLeak(1, False, area_mm2=-4.0), 1.0), "wet area is -4 mm2"),
        (lambda: oil_loss(OilLevel(1, 1), OilLevel(1, 1), math.nan), "oil added is not a number"),
        (lambda: oil_loss(OilLevel(1, 1, 300), OilLevel(1, 1)), "between -60 degC and 250 degC"),
        (lambda: oil_loss(OilLevel(1, -1), OilLevel(1, 1)), "doubt of the oil level is -1 mL"),
    ],
)
def test_figures_that_cannot_be_are_refused(call, what):
    with pytest.raises(BadInput, match=what):
        call()


def test_a_pool_tells_what_fell_before_any_count_of_drops():
    seen = SeenLeak(1, True, drops_per_minute=5.0, area_mm2=285.0, pool_mm=75.0)

    amount = leak_amount(seen, minutes=30.0)

    assert amount.way is LeakWay.POOL_AND_FILM
    assert amount.ml.low < 2.9 < amount.ml.high  # the worked example of a 75 mm pool
    assert amount.ml.high < 6
