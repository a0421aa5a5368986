"""Grading a second time without seeing the first grades."""

from dataclasses import fields

import pytest

from leaktrack.model.agreement import BlindGrade
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.grade_blind import BlindPlace, agreements, grade_blind, places_to_grade
from leaktrack.workflows.mark_leaks import reassign_mark, remove_mark
from tests.builders import A_MOMENT, a_face, a_leak, a_mark, a_photo, a_zone, an_engine

GRADES = list(SeepageGrade)[:6]


@pytest.fixture
def engine(project):
    """Six leaks of the grades 0 to 5 in one photo that Anna graded."""
    made = an_engine()
    face = a_face(made.id)
    zone = a_zone(face.id)
    look = Inspection(engine_id=made.id, looked_at=A_MOMENT, done_by="Anna")
    photo = a_photo(zone_id=zone.id, inspection_id=look.id)
    leaks = [a_leak(zone.id, number=number + 1) for number in range(6)]
    marks = [
        a_mark(leak.id, photo.id, grade=grade, source_px=PointPx(10.0 * place, 5.0))
        for place, (leak, grade) in enumerate(zip(leaks, GRADES, strict=True))
    ]
    project.apply(added(made, face, zone, look, photo, *leaks, *marks))
    return made


def grade_all(project, engine, who, grades):
    for place, grade in zip(places_to_grade(project, engine.id, who), grades, strict=True):
        project.apply(grade_blind(project, place, grade, who, A_MOMENT))


def test_whoever_grades_learns_where_to_look_and_no_grade_of_others(project, engine):
    grade_all(project, engine, "Ben", GRADES)
    places = places_to_grade(project, engine.id, "Cara")

    assert [place.at.x for place in places] == [0, 10, 20, 30, 40, 50]
    assert {place.own for place in places} == {None}
    told = {field.name for field in fields(BlindPlace)}
    assert told == {"leak_id", "number", "photo_id", "at", "own"}


def test_who_graded_is_recorded_and_the_marks_stay(project, engine):
    before = project.all(LeakMark)
    grade_all(project, engine, " Ben ", GRADES[::-1])

    assert {one.graded_by for one in project.all(BlindGrade)} == {"Ben"}
    assert project.all(LeakMark) == before
    own = [place.own for place in places_to_grade(project, engine.id, "Ben")]
    assert own == GRADES[::-1]


def test_a_second_thought_replaces_the_first(project, engine):
    place = places_to_grade(project, engine.id, "Ben")[0]
    for grade in (SeepageGrade.STAIN, SeepageGrade.SEEP):
        undo = project.apply(grade_blind(project, place, grade, "Ben", A_MOMENT))

    assert [one.grade for one in project.all(BlindGrade)] == [SeepageGrade.SEEP]
    project.apply(undo)
    assert [one.grade for one in project.all(BlindGrade)] == [SeepageGrade.STAIN]


def test_who_graded_first_is_who_did_the_inspection(project, engine):
    grade_all(project, engine, "Ben", [GRADES[0], *GRADES[2:], GRADES[5]])
    (found,) = agreements(project, engine.id).pairs

    assert (found.first, found.second) == ("Anna", "Ben")
    assert (found.count, found.same, found.near, found.higher, found.lower) == (6, 2, 4, 4, 0)


def test_a_person_can_be_held_against_themselves(project, engine):
    grade_all(project, engine, "Anna", GRADES)
    (found,) = agreements(project, engine.id).pairs

    assert (found.first, found.second) == ("Anna, at first", "Anna, again")
    assert found.quadratic.figure.value == 1


def test_three_people_have_a_kappa_together(project, engine):
    grade_all(project, engine, "Ben", GRADES)
    grade_all(project, engine, "Cara", GRADES)
    found = agreements(project, engine.id)

    assert (found.people, found.together, found.fleiss) == (3, 6, 1)
    assert len(found.pairs) == 3


def test_nobody_graded_a_second_time(project, engine):
    assert agreements(project, engine.id).pairs == ()


def test_a_blind_grade_moves_and_goes_with_its_mark(project, engine):
    grade_all(project, engine, "Ben", GRADES)
    mark = project.all(LeakMark)[3]
    project.apply(reassign_mark(project, mark.id, None))
    moved = project.get(LeakMark, mark.id)

    assert moved.leak_id != mark.leak_id
    assert len(project.all(BlindGrade, leak_id=moved.leak_id)) == 1
    undo = project.apply(remove_mark(project, mark.id))
    assert project.find(LeakMark, mark.id) is None
    assert len(project.all(BlindGrade)) == 5
    assert agreements(project, engine.id).pairs[0].count == 5
    project.apply(undo)
    assert len(project.all(BlindGrade)) == 6


def test_a_grader_without_name_is_refused(project, engine):
    with pytest.raises(BadInput, match="no name"):
        places_to_grade(project, engine.id, "  ")
