import math

import numpy as np
import pytest
from scipy.interpolate import interp1d
from scipy.optimize import brentq

from leaktrack.analysis.oiling import dripping
from leaktrack.analysis.oiling.dripping import (
    LARGEST_EDGE_MM,
    SMALLEST_EDGE_MM,
    drip_rate,
    drop_shape,
    drop_volume,
    drop_volume_ul,
    hours_until,
    litres_per_100_h,
    litres_per_1000_km,
    ml_per_day,
    tate_volume_ul,
)
from leaktrack.model.errors import BadInput

# Lee, Chan and Pogaku (Chem. Eng. Commun. 195(8):889, 2008); the coefficients are from memory.
POLYNOMIAL = np.polynomial.Polynomial([1.0, -0.9121, -2.109, 13.38, -27.29, 27.53, -13.58, 2.593])


# Tate's law, computed: 2 pi R sigma / (rho g) for 31 mN/m, 870 kg/m3. Printed to 0.01 uL.
@pytest.mark.parametrize(
    ("radius_mm", "ul"), [(1.0, 22.83), (1.5, 34.24), (2.0, 45.66), (3.0, 68.49)]
)
def test_tates_law_gives_the_computed_volumes(radius_mm, ul):
    assert tate_volume_ul(radius_mm, 31.0, 870.0) == pytest.approx(ul, abs=0.005)


# Worked examples, computed with the table as reprinted in colloid texts (from memory), printed to
# 0.1 uL; that of 3 mm was computed with the polynomial, which is 0.4 % off the table there.
@pytest.mark.parametrize(
    ("radius_mm", "ul", "tolerance"),
    [(1.0, 15.6, 0.05), (1.5, 21.9, 0.05), (2.0, 28.1, 0.05), (3.0, 40.9, 0.2)],
)
def test_drops_of_oil_are_as_large_as_in_the_worked_examples(radius_mm, ul, tolerance):
    assert drop_volume_ul(radius_mm) == pytest.approx(ul, abs=tolerance)


# Computed with the polynomial: water of 72.8 mN/m, 998.2 kg/m3 from a 2 mm radius. The table and
# the polynomial agree within 0.0033 of 0.61.
def test_a_drop_of_water_is_as_large_as_in_the_worked_example():
    assert drop_volume_ul(2.0, 72.8, 998.2) == pytest.approx(60.7, rel=0.0055)


# Computed from the same figures: drops in a mL.
@pytest.mark.parametrize(("radius_mm", "drops"), [(1.0, 64), (1.5, 46), (2.0, 36), (3.0, 24)])
def test_so_many_drops_make_a_ml(radius_mm, drops):
    assert 1000 / drop_volume_ul(radius_mm) == pytest.approx(drops, abs=0.6)


def test_the_table_agrees_with_the_published_polynomial_where_that_holds():
    ratios = np.linspace(0.40, 1.15, 60)

    differences = [drop_shape(x) - POLYNOMIAL(x) for x in ratios]

    assert np.max(np.abs(differences)) < 0.0045  # 0.0033 at the entries, more between them


@pytest.mark.parametrize("radius_mm", [0.7, 1.3, 2.2, 3.4, 4.9])
def test_the_solution_is_that_of_scipy(radius_mm):
    psi = interp1d(*np.array(dripping._PSI).T)
    tate = 2 * math.pi * radius_mm * 31e-3 / (870 * 9.80665) * 1e6
    low, high = (radius_mm / 1.2) ** 3 * 1.000001, (radius_mm / 0.3) ** 3 * 0.999999

    theirs = brentq(lambda v: v - tate * psi(radius_mm / v ** (1 / 3)), low, high, xtol=1e-12)

    assert drop_volume_ul(radius_mm) == pytest.approx(theirs, rel=1e-7)


def test_drops_scale_with_the_capillary_length():
    """In units of the capillary length one curve holds for all fluids: a property of the law."""
    oil, water = math.sqrt(31 / 870), math.sqrt(72.8 / 998.2)

    ours, theirs = drop_volume_ul(2.0), drop_volume_ul(2.0 * water / oil, 72.8, 998.2)

    assert theirs / ours == pytest.approx((water / oil) ** 3, rel=1e-9)


@pytest.mark.parametrize("edge_mm", [None, SMALLEST_EDGE_MM, 4.0, LARGEST_EDGE_MM])
def test_a_drop_is_told_as_a_range_that_holds_all_oils(edge_mm):
    drop = drop_volume(edge_mm)

    assert 0 < drop.ul.low < drop.ul.high


# "20 drops = 1 mL" is an upper bound; oil from bolt heads and lips gives 16 to 41 uL (computed).
def test_without_a_measured_edge_the_range_holds_what_bolts_and_lips_give():
    drop = drop_volume()

    assert drop.ul.low < 16
    assert drop.ul.high == pytest.approx(50, abs=1)


def test_a_measured_edge_narrows_the_range():
    drop = drop_volume(4.0)

    assert drop.ul.low < 28.1 < drop.ul.high  # the worked example of 2 mm radius
    assert drop.ul.high / drop.ul.low < 1.35


# A hydraulics trade journal's "basic oil loss calculator" (read): 1 drop = 0.002 in3 = 0.03277 mL.
# Computed table from it and from 0.05 mL: mL a day at 1, 3 and 6 drops a minute.
@pytest.mark.parametrize(
    ("per_minute", "small", "large"), [(0.1, 4.72, 7.2), (1, 47.19, 72), (3, 141.58, 216)]
)
def test_rates_add_up_to_the_volumes_of_the_computed_table(per_minute, small, large):
    for drop_ul, expected in ((32.77412, small), (50.0, large)):
        per_hour = per_minute * 60 * drop_ul / 1000
        assert ml_per_day(per_hour) == pytest.approx(expected, rel=0.001)
    told = drip_rate(per_minute).ml_per_hour
    assert ml_per_day(told.low) < small < large < ml_per_day(told.high) * 1.01


# The same journal (read): 3 drops a minute are 0.36 in3 an hour and 0.037392 gal a day.
def test_the_trade_journals_arithmetic_comes_out():
    cubic_inch_ml, gallon_ml = 16.387064, 3785.411784

    per_hour = 3 * 60 * 0.002 * cubic_inch_ml

    assert per_hour / cubic_inch_ml == pytest.approx(0.36)
    assert ml_per_day(per_hour) / gallon_ml == pytest.approx(0.037392, rel=0.0005)


# A hydraulics writer (read): 0.5 cc/min = 30 cc/h = 720 cc/day.
def test_half_a_cc_a_minute_is_720_cc_a_day():
    assert ml_per_day(0.5 * 60) == 720


def test_twice_the_drops_are_twice_the_oil():
    one, two = drip_rate(1.5, 3.0).ml_per_hour, drip_rate(3.0, 3.0).ml_per_hour

    assert (two.low, two.high) == pytest.approx((2 * one.low, 2 * one.high))


def test_what_is_lost_on_the_road_follows_from_the_speed():
    # 50 mL/h at 50 km/h: 1000 km take 20 h, so a litre.
    assert litres_per_1000_km(50.0, 50.0) == pytest.approx(20 * 50 / 1000)
    assert litres_per_100_h(50.0) == pytest.approx(100 * 50 / 1000)


def test_the_time_to_the_lower_mark_is_room_over_rate():
    assert hours_until(600.0, 3.0) == 200
    assert hours_until(-5.0, 3.0) == 0
    assert hours_until(600.0, 0.0) == math.inf


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: drip_rate(-1.0), "rate is -1 drops a minute, but must lie between 0"),
        (lambda: drip_rate(math.nan), "rate is not a number"),
        (lambda: drip_rate(601.0), "between 0 drops a minute and 600 drops a minute"),
        (lambda: drip_rate(1.0, 1.0), "width of the edge is 1 mm, .* between 1.5 mm and 9.8 mm"),
        (lambda: drop_volume_ul(0.3), r"0.66 to 5.1 mm"),
        (lambda: drop_volume_ul(-1.0), "radius of the edge is -1 mm, but must be above 0"),
        (lambda: tate_volume_ul(1.0, 0.0, 870.0), "surface tension is 0"),
        (lambda: tate_volume_ul(1.0, 31.0, math.inf), "density is inf"),
        (lambda: drop_shape(1.21), "between 0.3 and 1.2"),
        (lambda: ml_per_day(-0.1), "leak rate is -0.1 mL/h"),
        (lambda: litres_per_1000_km(1.0, 0.0), "speed is 0 km/h, but must be above 0"),
        (lambda: hours_until(math.nan, 1.0), "lower mark is not a number"),
    ],
)
def test_what_the_law_does_not_hold_for_is_refused_with_the_limit(call, what):
    with pytest.raises(BadInput, match=what):
        call()
