from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate

from leaktrack.analysis.spreading import density, place_on, plain_densities, seam_of
from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import DownFrom, FoundSource, SourcePoint, Trail
from tests.unit.analysis.trace_weights import WEIGHTS

PLACES = WEIGHTS.places
DOWN = Trail(0.0, 10.0, DownFrom.UPRIGHT)


def a_source(x, y, runs=DOWN, sigma_mm=2.5, mm_per_px=0.5):
    return FoundSource(
        (SourcePoint(PointPx(x, y), sigma_mm),), runs, mm_per_px, False, 2000, 1500, True
    )


def a_seam(corners, is_closed=False, mm_per_px=0.5):
    points = tuple(LinePoint(PointPx(x, y)) for x, y in corners)
    line = JointLine(joint_id=new_id(), photo_id=new_id(), points=points)
    return seam_of(ruled_line(line, (), is_closed=is_closed), mm_per_px)


LEVEL = a_seam([(0, 600), (800, 600)])
SQUARE = a_seam([(400, 400), (800, 400), (800, 800), (400, 800)], is_closed=True)


@pytest.mark.parametrize("runs", [DOWN, Trail(130.0, 25.0, DownFrom.ARROW), Trail()])
def test_where_sources_show_up_of_oil_from_one_place_adds_up_to_one(runs):
    """Checked by integrating numerically over the plane with SciPy."""
    origin = np.array([[1000.0, 700.0]])

    def at(y_mm, x_mm):
        source = a_source(1000 + x_mm * 2, 700 + y_mm * 2, runs)
        return float(density(source, origin, PLACES)[0])

    # In rings, as all is near the middle and little is far off.
    total = 0.0
    for low, high in pairwise([0, 5, 15, 40, 100, 400]):
        total += integrate.dblquad(
            lambda turn, away: away * at(away * np.sin(turn), away * np.cos(turn)),
            low, high, 0, 2 * np.pi, epsabs=2e-3, epsrel=2e-3,
        )[0]  # fmt: skip

    assert total == pytest.approx(1.0, abs=0.02)


def test_anywhere_in_the_photo_adds_up_to_one_as_well():
    source = a_source(0, 0)

    assert plain_densities(source, PLACES)[0] * (2000 * 0.5) * (1500 * 0.5) == pytest.approx(1)


def test_two_looks_from_anywhere_add_up_over_all_places_of_the_photo():
    """By hand: the sum of the product over all places, half a mm apart."""
    source = a_source(900, 700)
    source = replace(source, later=(a_source(910, 690),))
    x, y = np.meshgrid(np.arange(600, 1200.0), np.arange(400, 1000.0))
    wanted = density(source, np.column_stack([x.ravel(), y.ravel()]), PLACES).sum() * 0.5**2

    one, two = plain_densities(source, PLACES)

    assert two / one == pytest.approx(wanted, rel=0.02)


def test_a_source_below_a_joint_is_likelier_to_be_its_than_one_above():
    below, above = (
        density(a_source(400, 600 + away), LEVEL.xy, PLACES).mean() for away in (60, -60)
    )

    assert below > 3 * above


def test_with_the_photo_upside_down_it_is_the_other_way_round():
    turned = Trail(180.0, 5.0, DownFrom.ARROW)
    below, above = (
        density(a_source(400, 600 + away, turned), LEVEL.xy, PLACES).mean() for away in (-60, 60)
    )

    assert below > 3 * above


def test_the_place_on_a_straight_joint_is_below_the_source():
    found = place_on(LEVEL, density(a_source(321, 602), LEVEL.xy, PLACES))

    assert found.at.x == pytest.approx(321, abs=1)
    assert found.at.y == pytest.approx(600)
    assert found.along_px == pytest.approx(321, abs=1)
    assert 3 < found.sigma_mm < 15


def test_the_place_on_a_closed_joint_is_found_over_its_start():
    found = place_on(SQUARE, density(a_source(400, 401), SQUARE.xy, PLACES))

    assert found.at.distance_px(PointPx(400, 400)) < 8


def test_oil_that_ran_off_a_closed_joint_came_from_its_lower_side():
    found = place_on(SQUARE, density(a_source(600, 860), SQUARE.xy, PLACES))

    assert found.at.y == pytest.approx(800, abs=1)


def test_a_place_that_is_much_more_in_danger_draws_the_answer_to_itself():
    chances = density(a_source(321, 602), LEVEL.xy, PLACES)
    gap = (LEVEL.along_px > 330) & (LEVEL.along_px < 340)

    drawn = place_on(LEVEL, np.where(gap, 30 * chances, chances))

    assert 328 < drawn.at.x < 340  # most of the way to the gap
