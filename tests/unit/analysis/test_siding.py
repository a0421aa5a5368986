"""On which side of bolt holes a bead passes: drawn cases whose answer is plain to see."""

import math

import pytest

from leaktrack.analysis.siding import Hole, left_is_inside, passings
from leaktrack.model.bead_audit import HoleSide
from leaktrack.model.shapes import PointPx
from tests.beads import a_bead_audit

PX_PER_MM = 5.0  # the audit runs to the right, from (100, 500)


def hole(x_mm, up_mm, radius=3.3):
    return Hole("1", PointPx(100 + x_mm * PX_PER_MM, 500 - up_mm * PX_PER_MM), radius)


def ring(way, radius=100.0):
    places = [way * step * math.tau / 60 for step in range(61)]
    return [PointPx(radius * math.cos(one), radius * math.sin(one)) for one in places]


@pytest.mark.parametrize(
    ("up_mm", "is_left_inside", "side"),
    [
        (8.0, False, HoleSide.INSIDE),  # the hole is to the left, the oil to the right
        (8.0, True, HoleSide.OUTSIDE),
        (-8.0, True, HoleSide.INSIDE),
        (-8.0, False, HoleSide.OUTSIDE),
        (8.0, None, HoleSide.RIGHT),
        (-8.0, None, HoleSide.LEFT),
        (1.0, True, HoleSide.OVER),
    ],
)
def test_a_bead_passes_a_hole_on_its_side(up_mm, is_left_inside, side):
    (found,) = passings(a_bead_audit(), [hole(200, up_mm)], is_left_inside)

    assert found.side is side
    assert found.along == pytest.approx(200, abs=1)
    if abs(up_mm) > 1:
        assert found.clearance == pytest.approx(8 - 1.5 - 3.3, abs=0.3)


def test_where_the_bead_was_not_read_no_side_is_told():
    audit = a_bead_audit(glares=((190.0, 210.0),))

    (found,) = passings(audit, [hole(200, 8)], True)

    assert found.side is None
    assert found.clearance is None


def test_holes_beyond_the_path_and_far_away_are_none_of_the_beads():
    assert passings(a_bead_audit(), [hole(500, 8), hole(200, 60)], True) == ()


def test_the_inside_of_a_ring_is_within_it_whichever_way_it_runs():
    # With y down, rising angles run clockwise as seen.
    assert left_is_inside(ring(1)) is False
    assert left_is_inside(ring(-1)) is True
    assert left_is_inside([PointPx(0, 0), PointPx(50, 1), PointPx(100, 0)]) is None
