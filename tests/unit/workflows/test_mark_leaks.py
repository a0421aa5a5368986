"""A leak keeps its identity; a mark says what one photo shows of it, and nothing that cannot be."""

from dataclasses import replace

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause
from leaktrack.workflows.assign_photos import assign_photos
from leaktrack.workflows.mark_leaks import (
    add_leak,
    amend_leak,
    change_mark,
    reassign_mark,
    remove_mark,
)

TRIANGLE = (PointPx(10, 10), PointPx(60, 10), PointPx(30, 80))


def test_a_new_leak_gets_the_next_number_of_its_engine(project, filled):
    mark, edit = add_leak(
        project, filled.later.id, SeepageGrade.SEEP, source_px=PointPx(5, 6), fluid=Fluid.COOLANT
    )

    project.apply(edit)

    leak = project.get(Leak, mark.leak_id)
    assert (leak.number, leak.zone_id) == (3, filled.zone.id)
    assert project.get(LeakMark, mark.id).fluid is Fluid.COOLANT


def test_numbers_start_anew_on_another_engine(project, filled):
    project.apply(assign_photos(project, [filled.loose.id], filled.other_zone.id))

    mark, edit = add_leak(project, filled.loose.id, SeepageGrade.STAIN)
    project.apply(edit)

    assert project.get(Leak, mark.leak_id).number == 1


def test_a_leak_is_marked_in_a_photo_once(project, filled):
    with pytest.raises(BadInput, match=r"Leak 1 has a mark in photo_2.jpg already"):
        add_leak(project, filled.later.id, SeepageGrade.SEEP, leak_id=filled.leak.id)


def test_a_photo_without_a_zone_takes_no_marks(project, filled):
    with pytest.raises(BadInput, match=r"which zone photo_3.jpg shows. Assign it"):
        add_leak(project, filled.loose.id, SeepageGrade.SEEP)


def test_a_leak_of_another_engine_is_refused(project, filled):
    foreign = Leak(zone_id=filled.other_zone.id, number=1)
    project.apply(added(foreign))

    with pytest.raises(BadInput, match="Leak 1 belongs to another engine"):
        add_leak(project, filled.later.id, SeepageGrade.SEEP, leak_id=foreign.id)


def test_a_joint_of_another_engine_is_refused(project, filled):
    with pytest.raises(BadInput, match="joint belongs to another engine"):
        add_leak(project, filled.later.id, SeepageGrade.SEEP, joint_id=filled.other_joint.id)
    with pytest.raises(BadInput, match="joint belongs to another engine"):
        amend_leak(project, filled.leak, replace(filled.leak, joint_id=filled.other_joint.id))


@pytest.mark.parametrize("grade", [SeepageGrade.DRY, SeepageGrade.STAIN, SeepageGrade.NOT_SEEN])
@pytest.mark.parametrize("drops", [{"drops_per_minute": 3}, {"has_hanging_drop": True}])
def test_drops_where_nothing_is_wet_are_refused(project, filled, grade, drops):
    with pytest.raises(BadInput, match="Drops were seen, but the grade says"):
        add_leak(project, filled.later.id, grade, **drops)


def test_falling_drops_with_a_low_grade_are_a_persons_word(project, filled):
    mark, _ = add_leak(project, filled.later.id, SeepageGrade.SEEP, drops_per_minute=0.5)

    assert mark.drops_per_minute == 0.5


@pytest.mark.parametrize("grade", [SeepageGrade.DRY, SeepageGrade.NOT_SEEN])
def test_a_wet_area_that_is_dry_or_not_seen_is_refused(project, filled, grade):
    with pytest.raises(BadInput, match="A wet area is drawn, but the grade says"):
        add_leak(project, filled.later.id, grade, outline_px=TRIANGLE)


@pytest.mark.parametrize(
    ("facts", "reason"),
    [
        ({"source_px": PointPx(1001, 5)}, r"source at \(1001, 5\) is outside photo_2.jpg"),
        ({"outline_px": (*TRIANGLE, PointPx(0, 900))}, "corner of the outline"),
        ({"outline_px": TRIANGLE[:2]}, "holds no area"),
        ({"drops_per_minute": -1}, "drops per minute cannot be -1"),
        ({"did_reappear": False, "reappears_after_min": 5}, "cannot stay away"),
    ],
)
def test_facts_that_cannot_be_are_refused(project, filled, facts, reason):
    with pytest.raises(BadInput, match=reason):
        add_leak(project, filled.later.id, SeepageGrade.DRIP, **facts)


def test_minutes_until_it_is_wet_again_say_that_it_came_back(project, filled):
    project.apply(change_mark(project, filled.later_mark.id, reappears_after_min=20))

    assert project.get(LeakMark, filled.later_mark.id).did_reappear is True


@pytest.mark.parametrize("grade", [SeepageGrade.DRY, SeepageGrade.NOT_SEEN])
def test_grading_a_mark_dry_or_not_seen_takes_what_is_wet_away_and_keeps_its_place(
    project, filled, grade
):
    project.apply(change_mark(project, filled.later_mark.id, grade=grade))

    mark = project.get(LeakMark, filled.later_mark.id)
    assert (mark.outline_px, mark.has_hanging_drop, mark.drops_per_minute) == ((), None, None)
    assert mark.source_px == filled.later_mark.source_px


def test_grading_a_mark_wetter_keeps_all_it_has(project, filled):
    project.apply(change_mark(project, filled.later_mark.id, grade=SeepageGrade.STREAM))

    expected = replace(filled.later_mark, grade=SeepageGrade.STREAM)
    assert project.get(LeakMark, filled.later_mark.id) == expected


def test_a_leak_stays_while_it_has_another_mark(project, filled):
    project.apply(remove_mark(project, filled.later_mark.id))

    assert project.find(Leak, filled.leak.id) == filled.leak


def test_a_leak_goes_with_its_last_mark_and_its_verdicts(project, filled):
    project.apply(remove_mark(project, filled.lone_mark.id))

    assert project.find(Leak, filled.lone_leak.id) is None
    assert project.all(Cause) == ()


def test_two_leaks_that_are_one_become_one_with_all_verdicts(project, filled):
    mark, edit = add_leak(project, filled.reference.id, SeepageGrade.DRY)
    project.apply(edit)

    project.apply(remove_mark(project, filled.mark.id))
    project.apply(reassign_mark(project, mark.id, filled.lone_leak.id))

    assert project.find(Leak, mark.leak_id) is None
    assert {m.photo_id for m in project.all(LeakMark, leak_id=filled.lone_leak.id)} == {
        filled.reference.id,
        filled.later.id,
    }


def test_verdicts_move_to_the_leak_that_takes_the_mark(project, filled):
    project.apply(remove_mark(project, filled.later_mark.id))

    project.apply(reassign_mark(project, filled.lone_mark.id, filled.leak.id))

    assert project.all(Cause) == (replace(filled.cause, leak_id=filled.leak.id),)
    assert project.find(Leak, filled.lone_leak.id) is None


def test_leaks_with_verdicts_on_the_same_place_are_not_mixed(project, filled):
    project.apply(remove_mark(project, filled.later_mark.id))
    second = replace(filled.cause, id=new_id(), leak_id=filled.leak.id)
    project.apply(added(second))

    with pytest.raises(BadInput, match="Leak 2 and leak 1 both have a verdict"):
        reassign_mark(project, filled.lone_mark.id, filled.leak.id)


def test_a_mark_cannot_move_to_a_leak_that_its_photo_shows_already(project, filled):
    with pytest.raises(BadInput, match=r"Leak 2 has a mark in photo_2.jpg already"):
        reassign_mark(project, filled.later_mark.id, filled.lone_leak.id)


def test_a_mark_that_stays_with_its_leak_changes_nothing(project, filled):
    assert reassign_mark(project, filled.mark.id, filled.leak.id).is_empty
