"""A joint's line names each bolt once and runs in one direction."""

from dataclasses import replace

import pytest

from leaktrack.analysis.stationing import station_at
from leaktrack.model.engine import Bolt, JointLine, LinePoint, SealKind, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.record import replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.draw_joint_line import draw_joint_line, remove_joint_line
from leaktrack.workflows.set_up_engine import new_joint


def points(*numbers):
    """Return points from left to right with these bolt numbers."""
    return tuple(
        LinePoint(PointPx(50.0 + 100 * index, 400), number) for index, number in enumerate(numbers)
    )


def drawn_numbers(project, joint_id, photo_id):
    (line,) = project.all(JointLine, joint_id=joint_id, photo_id=photo_id)
    return [point.bolt_number for point in line.points]


@pytest.fixture
def ring(project, filled):
    """Return a closed joint with six bolts."""
    joint, edit = new_joint(
        project, filled.zone.id, "Ring", SealKind.O_RING, is_closed=True, bolt_count=6
    )
    project.apply(edit)
    return joint


def test_the_first_photo_with_a_line_becomes_the_reference_of_its_zone(project, filled):
    project.apply(draw_joint_line(project, filled.joint.id, filled.later.id, points(1, None, 4)))

    assert project.get(Zone, filled.zone.id).reference_photo_id == filled.later.id
    assert drawn_numbers(project, filled.joint.id, filled.later.id) == [1, None, 4]


def test_a_later_line_leaves_the_reference_as_it_is(project, filled):
    project.apply(draw_joint_line(project, filled.joint.id, filled.reference.id, points(1, 2)))

    project.apply(draw_joint_line(project, filled.joint.id, filled.later.id, points(1, 2)))

    assert project.get(Zone, filled.zone.id).reference_photo_id == filled.reference.id


def test_drawing_again_replaces_the_line(project, filled):
    project.apply(draw_joint_line(project, filled.joint.id, filled.reference.id, points(4, 6)))

    assert drawn_numbers(project, filled.joint.id, filled.reference.id) == [4, 6]


def test_a_line_drawn_from_high_to_low_is_turned_round(project, filled):
    project.apply(draw_joint_line(project, filled.joint.id, filled.later.id, points(6, None, 3)))

    assert drawn_numbers(project, filled.joint.id, filled.later.id) == [3, None, 6]


def test_a_closed_joint_may_run_over_its_last_bolt(project, filled, ring):
    project.apply(draw_joint_line(project, ring.id, filled.later.id, points(5, 6, 1, 2)))

    assert drawn_numbers(project, ring.id, filled.later.id) == [5, 6, 1, 2]


@pytest.mark.parametrize("is_turned", [False, True])
def test_a_ring_with_two_bolts_is_counted_the_same_way_in_every_photo(project, filled, is_turned):
    joint, edit = new_joint(
        project, filled.zone.id, "Lid", SealKind.O_RING, is_closed=True, bolt_count=2
    )
    project.apply(edit)
    lid = [
        LinePoint(PointPx(100, 300), 1),
        LinePoint(PointPx(200, 200)),
        LinePoint(PointPx(300, 300), 2),
        LinePoint(PointPx(200, 400)),
    ]
    project.apply(draw_joint_line(project, joint.id, filled.reference.id, lid))

    drawn = [*lid[:1], *reversed(lid[1:])] if is_turned else lid
    project.apply(draw_joint_line(project, joint.id, filled.later.id, drawn))

    above = PointPx(200, 200)
    (line,) = project.all(JointLine, joint_id=joint.id, photo_id=filled.later.id)
    bolts = project.all(Bolt, joint_id=joint.id)
    assert station_at(line, bolts, True, above).station == pytest.approx(1.5)


@pytest.mark.parametrize("numbers", [(1, 3, 2), (3, 1, 2), (2, 5, 4, 6)])
def test_numbers_that_rise_and_fall_are_refused(project, filled, numbers):
    with pytest.raises(BadInput, match="must only rise or only fall"):
        draw_joint_line(project, filled.joint.id, filled.later.id, points(*numbers))


def test_a_closed_joint_must_not_jump_either(project, filled, ring):
    with pytest.raises(BadInput, match="must only rise or only fall"):
        draw_joint_line(project, ring.id, filled.later.id, points(1, 4, 2, 5))


def test_a_bolt_that_the_joint_does_not_have_is_refused(project, filled):
    with pytest.raises(BadInput, match="'Cover joint' has no bolt 7; its bolts go up to 6"):
        draw_joint_line(project, filled.joint.id, filled.later.id, points(5, 7))


def test_a_bolt_in_two_places_is_refused(project, filled):
    with pytest.raises(BadInput, match="Bolt 2 stands twice"):
        draw_joint_line(project, filled.joint.id, filled.later.id, points(1, 2, 2))


@pytest.mark.parametrize("line", [(), points(1), (points(1)[0], points(2)[0])])
def test_a_line_needs_two_different_points(project, filled, line):
    with pytest.raises(BadInput, match="at least two points"):
        draw_joint_line(project, filled.joint.id, filled.later.id, line)


@pytest.mark.parametrize(
    "outside",
    [
        LinePoint(PointPx(1000, 5)),
        LinePoint(PointPx(5, -1)),
        LinePoint(PointPx(float("nan"), 5)),
        LinePoint(PointPx(5, 5), 2, PointPx(5, 2000)),
    ],
)
def test_a_point_outside_the_photo_is_refused(project, filled, outside):
    with pytest.raises(BadInput, match=r"is outside photo_2.jpg, which is 1000 x 800"):
        draw_joint_line(project, filled.joint.id, filled.later.id, (*points(1), outside))


def test_a_zone_loses_its_reference_with_the_last_line_on_it(project, filled):
    with_reference = replace(filled.zone, reference_photo_id=filled.reference.id)
    project.apply(replaced(filled.zone, with_reference))

    project.apply(remove_joint_line(project, filled.line.id))

    assert project.get(Zone, filled.zone.id).reference_photo_id is None


def zigzag(sigma_px=None):
    """Return a line of four bolts whose second and third were clicked in the wrong order."""
    return tuple(
        LinePoint(PointPx(x, y), number, sigma_px=sigma_px)
        for number, (x, y) in enumerate([(50, 400), (300, 400), (200, 300), (200, 500)], start=1)
    )


def test_a_line_that_crosses_itself_is_refused_with_what_to_do(project, filled):
    with pytest.raises(BadInput, match="crosses itself, so its points may be in the wrong order"):
        draw_joint_line(project, filled.joint.id, filled.later.id, zigzag())


def test_a_carried_line_is_kept_as_it_came(project, filled):
    edit = draw_joint_line(project, filled.joint.id, filled.later.id, zigzag(sigma_px=3.0))

    assert not edit.is_empty


def test_two_bolts_on_one_spot_are_refused(project, filled):
    one, two, three = points(1, 2, 3)

    with pytest.raises(BadInput, match=r"Bolts 1 and 3 of .* lie on the same spot"):
        draw_joint_line(
            project, filled.joint.id, filled.later.id, (one, two, replace(three, at=one.at))
        )
