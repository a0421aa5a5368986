"""Each tool turns one gesture into one value."""

import pytest

from leaktrack.gui.photo_view import (
    EditMarkTool,
    FreehandTool,
    GrowTool,
    JointLineTool,
    MarkShape,
    PlacePointTool,
    PolygonTool,
)
from leaktrack.gui.photo_view.tool import Pointer
from leaktrack.model.engine import LinePoint
from leaktrack.model.shapes import PointPx

SQUARE = (PointPx(0, 0), PointPx(100, 0), PointPx(100, 100), PointPx(0, 100))


def at(x, y, **held):
    return Pointer(PointPx(x, y), **held)


def click(tool, *places, **held):
    for x, y in places:
        tool.press(at(x, y, **held))
        tool.release(at(x, y, **held))


def drag(tool, start, *stops):
    tool.press(at(*start))
    for stop in stops:
        tool.move(at(*stop))
    tool.release(at(*stops[-1]))


@pytest.fixture
def heard(qapp):
    """Return a list that takes down what a tool finishes with."""
    values = []

    def listen(tool):
        tool.finished.connect(values.append)
        return values

    return listen


def test_a_click_places_the_point(heard):
    tool = PlacePointTool()
    values = heard(tool)

    click(tool, (12.5, 40))

    assert values == [PointPx(12.5, 40)]


def test_a_freehand_line_becomes_an_outline_without_needless_points(heard):
    tool = FreehandTool()
    values = heard(tool)

    drag(tool, (0, 0), (25, 0.2), (50, 0), (50, 50), (0, 50))

    assert values == [(PointPx(0, 0), PointPx(50, 0), PointPx(50, 50), PointPx(0, 50))]


def test_a_freehand_line_too_short_to_hold_an_area_is_no_outline(heard):
    tool = FreehandTool()
    values = heard(tool)

    drag(tool, (0, 0), (50, 0))

    assert values == []
    assert tool.sketch.path == ()


def test_enter_closes_a_polygon_of_three_corners(heard):
    tool = PolygonTool()
    values = heard(tool)
    click(tool, (0, 0), (100, 0))

    was_enough = tool.complete()
    click(tool, (100, 100))
    tool.complete()

    assert not was_enough
    assert values == [SQUARE[:3]]


def test_backspace_takes_back_the_last_corner(heard):
    tool = PolygonTool()
    values = heard(tool)
    click(tool, (0, 0), (100, 0), (777, 777))

    tool.take_back()
    click(tool, (100, 100))
    tool.complete()

    assert values == [SQUARE[:3]]


def test_a_click_on_the_first_corner_closes_a_polygon(heard):
    tool = PolygonTool()
    values = heard(tool)

    click(tool, *((corner.x, corner.y) for corner in SQUARE), (3, 3))

    assert values == [SQUARE]


def test_growing_ends_with_the_outline_that_was_found(heard):
    asked = []
    tool = GrowTool(lambda place, then: asked.append((place, then)))
    values = heard(tool)
    click(tool, (50, 50))

    asked[0][1](SQUARE)

    assert asked[0][0] == PointPx(50, 50)
    assert values == [SQUARE]


def test_growing_can_be_tried_again_where_no_edge_was_found(heard):
    asked = []
    tool = GrowTool(lambda place, then: asked.append((place, then)))
    values = heard(tool)
    click(tool, (50, 50))
    asked[0][1](())

    click(tool, (60, 60))

    assert values == []
    assert asked[1][0] == PointPx(60, 60)


def test_one_drag_of_a_corner_is_one_change_of_shape(heard):
    tool = EditMarkTool(MarkShape(PointPx(50, 50), SQUARE))
    values = heard(tool)

    drag(tool, (101, 99), (110, 110), (120, 130))

    moved = (*SQUARE[:2], PointPx(120, 130), SQUARE[3])
    assert values == [MarkShape(PointPx(50, 50), moved)]


def test_a_point_stays_in_the_hand_when_what_is_stored_is_told_again(heard):
    shape = MarkShape(PointPx(50, 50), SQUARE)
    tool = EditMarkTool(shape)
    values = heard(tool)
    tool.press(at(50, 50))
    tool.move(at(60, 20))

    tool.set_shape(shape)
    tool.release(at(60, 20))

    assert values == [MarkShape(PointPx(60, 20), SQUARE)]


def test_the_source_can_be_dragged_alone(heard):
    tool = EditMarkTool(MarkShape(PointPx(50, 50), SQUARE))
    values = heard(tool)

    drag(tool, (50, 50), (60, 20))

    assert values == [MarkShape(PointPx(60, 20), SQUARE)]


def test_a_click_on_the_edge_adds_a_corner_there(heard):
    tool = EditMarkTool(MarkShape(None, SQUARE))
    values = heard(tool)

    click(tool, (50, -4))

    assert values == [MarkShape(None, (SQUARE[0], PointPx(50, -4), *SQUARE[1:]))]


def test_a_click_that_touches_nothing_changes_nothing(heard):
    tool = EditMarkTool(MarkShape(None, SQUARE))
    values = heard(tool)

    click(tool, (50, 50))

    assert values == []


def test_backspace_removes_the_corner_last_touched_but_leaves_an_area(heard):
    tool = EditMarkTool(MarkShape(None, SQUARE))
    values = heard(tool)
    click(tool, (100, 100))

    tool.take_back()
    click(tool, (0, 0))
    tool.take_back()

    assert values == [MarkShape(None, (SQUARE[0], SQUARE[1], SQUARE[3]))]


def test_bolts_are_numbered_as_they_are_clicked(heard):
    tool = JointLineTool(first_bolt=3)
    values = heard(tool)

    click(tool, (0, 0), (100, 0), (200, 0))
    tool.complete()

    assert [point.bolt_number for point in values[0]] == [3, 4, 5]


def test_a_line_counted_down_still_runs_from_low_to_high(heard):
    tool = JointLineTool(first_bolt=3, counts_up=False)
    values = heard(tool)

    click(tool, (0, 0), (100, 0))
    tool.complete()

    assert values == [(LinePoint(PointPx(100, 0), 2), LinePoint(PointPx(0, 0), 3))]


def test_counting_down_stops_at_bolt_1(heard):
    tool = JointLineTool(first_bolt=1, counts_up=False)
    values = heard(tool)

    click(tool, (0, 0), (100, 0))
    tool.complete()

    assert tool.points == (LinePoint(PointPx(0, 0), 1),)
    assert values == []


def test_shift_and_click_bends_the_line_between_two_bolts(heard):
    tool = JointLineTool()
    values = heard(tool)
    click(tool, (0, 0), (100, 0))

    click(tool, (50, 8), is_shift=True)
    tool.complete()

    assert values[0][1] == LinePoint(PointPx(50, 8))
    assert [point.bolt_number for point in values[0]] == [1, None, 2]


def test_a_double_click_bends_the_line_too(heard):
    tool = JointLineTool()
    values = heard(tool)
    click(tool, (0, 0), (100, 0), (50, 8))

    tool.double_click(at(50, 8))
    tool.complete()

    assert [point.bolt_number for point in values[0]] == [1, None, 2]


def test_points_of_a_line_can_be_dragged(heard):
    tool = JointLineTool()
    values = heard(tool)
    click(tool, (0, 0), (100, 0))

    drag(tool, (100, 0), (100, 30), (120, 40))
    tool.complete()

    assert values[0][1] == LinePoint(PointPx(120, 40), 2)


def test_a_carried_point_that_is_dragged_is_the_persons_own(heard):
    carried = [LinePoint(PointPx(100 * place, 0), place, sigma_px=4.0) for place in (1, 2)]
    tool = JointLineTool(carried)
    values = heard(tool)

    click(tool, (100, 0))  # touched, not moved
    drag(tool, (200, 0), (200, 30))
    tool.complete()

    assert [point.sigma_px for point in values[0]] == [4.0, None]


def test_control_and_click_says_where_the_nearest_bolts_head_is(heard):
    tool = JointLineTool()
    values = heard(tool)
    click(tool, (0, 0), (100, 0))

    click(tool, (95, -30), is_control=True)
    tool.complete()

    assert values[0][1] == LinePoint(PointPx(100, 0), 2, head=PointPx(95, -30))


def test_bolts_can_be_numbered_anew():
    tool = JointLineTool()
    click(tool, (0, 0), (100, 0))

    tool.set_numbering(7, counts_up=False)

    assert [point.bolt_number for point in tool.points] == [7, 6]
    assert tool.next_bolt == 5


CARRIED = tuple(LinePoint(PointPx(100.0 * place, 50), place + 1) for place in range(4))


def half_along(put):
    """Each point goes half as far as the first one that was put elsewhere."""
    place, to = next(iter(put.items()))
    by = (to.y - CARRIED[place].at.y) / 2
    others = [each for each in range(len(CARRIED)) if each not in put]
    return {each: PointPx(CARRIED[each].at.x, CARRIED[each].at.y + by) for each in others}


def heights(tool):
    return [point.at.y for point in tool.points]


def test_a_carried_line_goes_along_with_the_point_that_was_put_right(qapp):
    tool = JointLineTool(CARRIED, take_along=half_along)

    drag(tool, (100, 50), (100, 60))

    assert heights(tool) == [55, 60, 55, 55]


def test_points_that_a_person_put_are_left_alone(qapp):
    tool = JointLineTool(CARRIED, take_along=half_along)

    drag(tool, (100, 50), (100, 60))
    drag(tool, (300, 55), (300, 51))
    drag(tool, (100, 60), (100, 70))

    assert heights(tool) == [60, 70, 60, 51]


def test_a_point_that_is_only_touched_moves_nothing(qapp):
    tool = JointLineTool(CARRIED, take_along=half_along)

    click(tool, (100, 50))

    assert tool.points == CARRIED


def test_bends_added_by_hand_stay_where_they_are(qapp):
    tool = JointLineTool(CARRIED, take_along=half_along)

    click(tool, (150, 50), is_shift=True)
    drag(tool, (0, 50), (0, 60))

    assert heights(tool) == [60, 55, 50, 55, 55]


def test_a_line_drawn_by_hand_does_not_move_by_itself(qapp):
    tool = JointLineTool(CARRIED)

    drag(tool, (100, 50), (100, 60))

    assert heights(tool) == [50, 60, 50, 50]
