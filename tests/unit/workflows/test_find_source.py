from dataclasses import replace

import pytest

from leaktrack.model.clue_words import clue_sentence
from leaktrack.model.engine import JointLine
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.record import removed, replaced
from leaktrack.model.trace import ClueKind
from leaktrack.workflows.trace_leak import trace
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def change_later(project, story, **changes):
    """Change the mark of the gap leak's second wet look, the last one before the joint's redo."""
    photo = story.cover_photos[2]
    (mark,) = project.all(LeakMark, leak_id=story.gap_leak.id, photo_id=photo.id)
    project.apply(replaced(mark, replace(mark, **changes)))


def test_a_later_look_is_brought_into_the_photo_of_the_first(project, story):
    """The bolts of the second photo lie elsewhere in it; its source goes along with them."""
    lines = {line.photo_id: line for line in project.all(JointLine)}
    here, there = (lines[story.cover_photos[place].id] for place in (1, 2))
    shift_px = here.points[1].at.y - there.points[1].at.y

    source = trace(project, story.gap_leak.id).source

    (later,) = source.later
    assert (later.at.x, later.at.y) == (pytest.approx(750), pytest.approx(795 + shift_px))
    assert later.sigma_mm > source.sigma_mm


def test_the_look_after_the_joint_was_sealed_again_says_nothing_of_the_first_leak(project, story):
    assert trace(project, story.bolt_leak.id).source.later == ()


def test_a_dry_look_and_a_photo_without_lines_say_nothing_of_where_it_begins(project, story):
    change_later(project, story, grade=SeepageGrade.DRY)
    assert trace(project, story.gap_leak.id).source.later == ()

    change_later(project, story, grade=SeepageGrade.SEEP)
    assert len(trace(project, story.gap_leak.id).source.later) == 1
    for line in project.all(JointLine, photo_id=story.cover_photos[2].id):
        project.apply(removed(line))
    assert trace(project, story.gap_leak.id).source.later == ()


def test_what_a_later_look_says_is_a_clue_of_its_own_in_plain_words(project, story):
    first = trace(project, story.gap_leak.id).candidates[0]

    assert said(first).weight > 0
    assert clue_sentence(said(first)) == "where it starts by a later look, 1 mm away"


def said(candidate):
    return next(clue for clue in candidate.clues if clue.kind is ClueKind.LATER_LOOK)


def test_a_leak_that_stays_as_wet_as_it_was_did_not_grow(project, story):
    change_later(project, story, grade=SeepageGrade.SEEP)

    found = trace(project, story.gap_leak.id)

    kinds = {clue.kind for one in found.others for clue in one.clues}
    assert ClueKind.NOT_GROWING in kinds
    assert ClueKind.GROWING not in kinds
