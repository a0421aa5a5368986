import math

import pytest
from scipy.integrate import quad

from leaktrack.analysis.oiling.dripping import ml_per_day
from leaktrack.analysis.oiling.pooling import (
    capillary_length_mm,
    draining_film_mm,
    film_ml,
    pool_depth_mm,
    pool_ml,
)
from leaktrack.model.errors import BadInput


# Computed for 31 mN/m (read second-hand), 870 kg/m3; printed to 0.001 mm.
def test_the_capillary_length_of_oil_is_the_computed_one():
    assert capillary_length_mm() == pytest.approx(1.906, abs=0.0005)


# Formula from memory, example computed: 20 deg stand 0.662 mm deep.
def test_a_pool_stands_as_deep_as_in_the_worked_example():
    assert pool_depth_mm(20.0) == pytest.approx(0.662, abs=0.0005)


def test_a_pool_s_depth_balances_weight_and_tension():
    """rho g h^2 / 2 = sigma (1 - cos theta): the balance of forces on a strip of its edge."""
    depth = pool_depth_mm(35.0) * 1e-3

    weight, _ = quad(lambda z: 870 * 9.80665 * z, 0, depth)

    assert weight == pytest.approx(31e-3 * (1 - math.cos(math.radians(35.0))))


# UK MOT 8.4.1 (garage pages, second-hand): a pool of 75 mm, which is 4418 mm2; computed: it holds
# about 2.9 mL at 20 deg, 1.5 at 10 deg and 4.4 at 30 deg.
@pytest.mark.parametrize(("contact_deg", "ml"), [(10.0, 1.5), (20.0, 2.9), (30.0, 4.4)])
def test_a_pool_of_the_roadworthiness_limit_holds_the_computed_volume(contact_deg, ml):
    area = math.pi / 4 * 75**2

    assert area == pytest.approx(4418, abs=0.5)
    assert area * pool_depth_mm(contact_deg) / 1000 == pytest.approx(ml, abs=0.05)


def test_a_pool_is_told_as_a_range_that_holds_these_angles():
    told = pool_ml(75.0)

    assert told.low < 1.5 < 2.9 < 4.4 < told.high
    assert told.high / told.low < 4


def test_twice_the_width_is_four_times_the_oil():
    one, two = pool_ml(40.0), pool_ml(80.0)

    assert (two.low, two.high) == pytest.approx((4 * one.low, 4 * one.high))


# FAA classes (attribution from memory, text read second-hand) with areas, volumes at 0.05 mm and
# mL a day computed from 30 minutes. The film is an order of magnitude, so the range must hold them.
@pytest.mark.parametrize(
    ("inches", "area", "ml", "per_day"),
    [(0.75, 285.0, 0.0143, 0.68), (1.5, 1140, 0.0570, 2.74), (4.0, 8107, 0.405, 19.5)],
)
def test_the_aviation_sizes_hold_the_computed_volumes(inches, area, ml, per_day):
    exact = math.pi / 4 * (inches * 25.4) ** 2

    assert exact == pytest.approx(area, rel=0.0005)
    assert exact * 0.05 / 1000 == pytest.approx(ml, rel=0.005)
    assert ml_per_day(exact * 0.05 / 1000 * 2) == pytest.approx(per_day, rel=0.007)
    assert film_ml(exact).low < ml < film_ml(exact).high


# Formula from memory, example computed: 0.1 Pa s, 50 mm, 1800 s -> 18.0 um.
def test_a_draining_film_is_as_thin_as_in_the_worked_example():
    assert draining_film_mm(0.1, 50.0, 1800.0) == pytest.approx(0.0180, abs=0.00005)


def test_four_times_the_time_is_half_the_film():
    assert draining_film_mm(0.1, 50.0, 400.0) == pytest.approx(
        2 * draining_film_mm(0.1, 50.0, 1600.0)
    )


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: pool_ml(-1.0), "width of the pool is -1 mm, .* between 0 mm and 2000 mm"),
        (lambda: pool_ml(math.nan), "width of the pool is not a number"),
        (lambda: pool_depth_mm(181.0), "between 0 deg and 180 deg"),
        (lambda: capillary_length_mm(0.0), "surface tension is 0 mN/m, but must be above 0"),
        (lambda: film_ml(-2.0), "wet area is -2 mm2"),
        (lambda: draining_film_mm(0.1, 50.0, 0.0), "time of draining is 0 s"),
        (lambda: draining_film_mm(math.inf, 50.0, 1.0), "viscosity is inf"),
    ],
)
def test_what_cannot_be_is_refused_with_the_limit(call, what):
    with pytest.raises(BadInput, match=what):
        call()
