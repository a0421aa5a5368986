from math import cos, radians, sin

import pytest

from leaktrack.analysis.relooking import LEAN_SHARE, SLANT_SHARE, carried_source
from leaktrack.analysis.sourcing import found_source, trail
from leaktrack.model.engine import FaceSide
from leaktrack.model.shapes import PointPx
from tests.unit.analysis.trace_weights import WEIGHTS

BOLTS = [PointPx(*at) for at in [(200, 300), (500, 310), (800, 300), (500, 600)]]


def source_at(x, y):
    runs = trail(WEIGHTS.places, FaceSide.BANK_1)
    return found_source(WEIGHTS.places, (), PointPx(x, y), runs, (2000, 1500), 0.2)


def turned(point, degrees=10.0, scale=2.0):
    """The same place where the camera was turned, came nearer and moved."""
    c, s = cos(radians(degrees)) * scale, sin(radians(degrees)) * scale
    return PointPx(c * point.x - s * point.y + 40, s * point.x + c * point.y - 25)


def test_a_source_comes_to_where_the_other_photo_shows_that_place():
    """By hand: what the map does to bolts it does to the source, to its run and to its scale."""
    here = [turned(bolt) for bolt in BOLTS]

    found = carried_source(source_at(450, 420), BOLTS, here, 0.1)

    wanted = turned(PointPx(450, 420))
    assert (found.at.x, found.at.y) == pytest.approx((wanted.x, wanted.y))
    assert found.mm_per_px == 0.1
    assert found.trail.toward_deg == pytest.approx(
        -10
    )  # x to the right, so clockwise is left of it


def test_the_farther_from_the_bolts_the_less_is_known_of_the_place():
    here = [turned(bolt) for bolt in BOLTS]

    near, far = (carried_source(source_at(500, y), BOLTS, here, 0.1) for y in (400, 1000))

    assert WEIGHTS.places["click_mm"] < near.sigma_mm < far.sigma_mm
    assert far.sigma_mm > LEAN_SHARE * 400 * 0.2


@pytest.mark.parametrize(
    ("there", "here"),
    [
        (BOLTS[:1], BOLTS[:1]),
        ([], []),
        ([BOLTS[0], BOLTS[0]], BOLTS[:2]),
        (BOLTS[:2], [PointPx(0, 0), PointPx(0, 0)]),
    ],
)
def test_too_few_bolts_tell_nothing(there, here):
    assert carried_source(source_at(500, 400), there, here, 0.1) is None


def test_off_a_row_of_bolts_a_slant_makes_places_doubtful_but_not_beside_bolts_about_it():
    row, about = BOLTS[:3], [*BOLTS[:3], PointPx(200, 600), PointPx(800, 600)]

    by_row, by_all = (carried_source(source_at(500, 500), each, each, 0.2) for each in (row, about))

    off_mm = 200 * 0.2
    assert by_row.sigma_mm > SLANT_SHARE * off_mm * 0.9
    assert by_all.sigma_mm < by_row.sigma_mm / 2


def test_bolts_that_fit_nowhere_tell_nothing():
    jumbled = [BOLTS[3], BOLTS[0], BOLTS[1], BOLTS[2]]

    assert carried_source(source_at(500, 400), BOLTS, jumbled, 0.2) is None
