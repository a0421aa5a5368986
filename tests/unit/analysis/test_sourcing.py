from math import atan2, cos, degrees, radians, sin

import pytest

from leaktrack.analysis.sourcing import carried_down, found_source, is_above, trail
from leaktrack.model.engine import FaceSide
from leaktrack.model.inspection import Airflow
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import DownFrom, Trail
from tests.unit.analysis.trace_weights import WEIGHTS

PLACES = WEIGHTS.places
SIZE = (2000, 1500)
DOWN = Trail(0.0, 10.0, DownFrom.UPRIGHT)
# A drop: 40 px wide at its top at y = 300, running down to a tail at y = 700; 0.2 mm per px.
DROP = tuple(PointPx(x, y) for x, y in [(980, 300), (1020, 300), (1010, 600), (1000, 700)])


def source(outline=DROP, marked_at=None, runs=DOWN, mm_per_px=0.2):
    return found_source(PLACES, outline, marked_at, runs, SIZE, mm_per_px)


MIDDLE = PointPx(1000, 700)


def turned(points, deg, about=MIDDLE):
    c, s = cos(radians(deg)), sin(radians(deg))
    return tuple(
        PointPx(
            about.x + c * (p.x - about.x) + s * (p.y - about.y),
            about.y - s * (p.x - about.x) + c * (p.y - about.y),
        )
        for p in points
    )


def test_without_a_click_the_source_is_the_middle_of_the_top():
    found = source()

    assert found.at.x == pytest.approx(1000, abs=3)
    assert found.at.y == pytest.approx(300)
    assert not found.is_marked


def test_a_wide_top_is_known_less_well_across():
    wide = tuple(PointPx(x, y) for x, y in [(700, 300), (1300, 300), (1010, 600)])

    # Uniform over 560 to 600 px of 0.2 mm: 120 mm / sqrt(12) is 34.6 mm.
    assert source(wide).sigma_mm == pytest.approx(34, abs=2)
    assert source().sigma_mm < 4


@pytest.mark.parametrize("deg", [30, 90, 180, -120])
def test_down_may_point_anywhere_in_the_photo(deg):
    found = source(turned(DROP, deg), runs=Trail(deg, 5.0, DownFrom.ARROW))

    (top,) = turned([PointPx(1000, 300)], deg)
    assert found.at.distance_px(top) < 3
    assert found.run_off_mm == pytest.approx(400 * 0.2, abs=1)


def test_a_click_counts_most_and_the_top_keeps_a_small_share():
    found = source(marked_at=PointPx(1005, 520))

    assert found.at == PointPx(1005, 520)
    assert [point.share for point in found.points] == pytest.approx([0.88, 0.12])
    assert found.points[1].at.y == pytest.approx(300)


def test_what_lies_below_the_source_is_run_off():
    found = source(marked_at=PointPx(1000, 310))

    assert min(point.y for point in found.run_off_px) == pytest.approx(330)
    assert max(point.y for point in found.run_off_px) == 700
    assert found.run_off_mm == pytest.approx(390 * 0.2)


def test_a_click_alone_has_no_run_off():
    found = source(outline=(), marked_at=PointPx(10, 10))

    assert (found.run_off_px, found.run_off_mm, found.comes_from_edge) == ((), None, None)


def test_without_outline_and_click_nothing_is_known():
    assert source(outline=()) is None


def test_a_wet_area_that_comes_in_at_the_upper_edge_comes_from_above():
    from_above = tuple(PointPx(x, y) for x, y in [(980, 0), (1020, 0), (1000, 400)])

    assert source(from_above).comes_from_edge is True
    assert source().comes_from_edge is False


def test_running_out_at_the_lower_edge_is_no_way_in():
    to_below = tuple(PointPx(x, y) for x, y in [(980, 900), (1020, 900), (1000, 1499)])

    assert source(to_below).comes_from_edge is False


def test_with_down_to_the_left_the_upper_edge_is_the_right_one():
    from_right = tuple(PointPx(x, y) for x, y in [(1999, 700), (1999, 740), (1500, 720)])

    assert source(from_right, runs=Trail(-90.0, 5.0, DownFrom.ARROW)).comes_from_edge is True
    assert source(from_right).comes_from_edge is False


def test_where_no_direction_is_known_the_source_may_be_all_over_the_wet_area():
    found = source(runs=Trail())

    assert found.at.y == pytest.approx(475)
    assert found.sigma_mm > 20
    assert found.comes_from_edge is None


def test_without_a_scale_the_photo_counts_as_usually_wide():
    found = source(mm_per_px=None)

    assert found.is_scale_assumed
    assert found.mm_per_px == pytest.approx(PLACES["photo_mm"] / 2000)


def test_above_means_against_the_run_and_everywhere_where_nobody_knows():
    high, low = PointPx(100, 100), PointPx(100, 300)
    upside_down = Trail(180.0, 5.0, DownFrom.ARROW)

    assert is_above(high, low, DOWN)
    assert not is_above(low, high, DOWN)
    assert is_above(low, high, upside_down)
    assert is_above(low, high, Trail())


@pytest.mark.parametrize("turn", [0, 35, -110])
def test_an_arrow_is_carried_over_as_the_points_of_both_photos_turn(turn):
    """Checked against turning the arrow's own two ends with the points."""
    there = [PointPx(300, 400), PointPx(900, 420), PointPx(600, 800)]
    here = list(turned(there, turn))
    start, end = PointPx(500, 500), PointPx(560, 700)
    new_start, new_end = turned([start, end], turn)
    down = degrees(atan2(end.x - start.x, end.y - start.y))
    wanted = degrees(atan2(new_end.x - new_start.x, new_end.y - new_start.y))

    assert carried_down(down, there, here) == pytest.approx(wanted)


def test_one_common_point_carries_no_arrow():
    assert carried_down(0.0, [PointPx(1, 1)], [PointPx(2, 2)]) is None


def test_down_is_told_by_the_arrow_then_by_another_photo_then_by_the_camera():
    arrow = trail(PLACES, FaceSide.BANK_1, down_deg=20.0, carried_down_deg=50.0)
    carried = trail(PLACES, FaceSide.BANK_1, carried_down_deg=50.0)
    upright = trail(PLACES, FaceSide.BANK_1)

    assert (arrow.toward_deg, arrow.said_by) == (20.0, DownFrom.ARROW)
    assert (carried.toward_deg, carried.said_by) == (50.0, DownFrom.OTHER_PHOTO)
    assert (upright.toward_deg, upright.said_by) == (0.0, DownFrom.UPRIGHT)
    assert arrow.sigma_deg < carried.sigma_deg < upright.sigma_deg


@pytest.mark.parametrize("side", [FaceSide.TOP, FaceSide.UNDERSIDE])
def test_a_photo_along_gravity_needs_an_arrow(side):
    assert not trail(PLACES, side).is_known
    assert trail(PLACES, side, down_deg=10.0).is_known


@pytest.mark.parametrize("airflow", [Airflow.FAN, Airflow.DRIVEN])
def test_air_of_unknown_direction_makes_the_run_less_sure(airflow):
    blown = trail(PLACES, FaceSide.BANK_1, airflow)

    assert blown.is_blown
    assert blown.toward_deg == 0
    assert blown.sigma_deg > 3 * trail(PLACES, FaceSide.BANK_1, Airflow.NONE).sigma_deg


def test_air_of_known_direction_turns_the_run_towards_it():
    blown = trail(PLACES, FaceSide.BANK_1, Airflow.DRIVEN, air_deg=90.0)

    # By hand: gravity 1 down and air 0.7 to the right point atan(0.7) = 35 degrees to the right.
    assert blown.toward_deg == pytest.approx(35, abs=0.1)
    assert blown.sigma_deg < trail(PLACES, FaceSide.BANK_1, Airflow.DRIVEN).sigma_deg
