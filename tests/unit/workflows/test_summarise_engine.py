"""A few lines about an engine to send to somebody."""

from dataclasses import replace

import pytest

from leaktrack.model.engine import Engine
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.redo_plan import AccessStep
from leaktrack.model.trace import CauseState
from leaktrack.workflows.summarise_engine import report_extent, short_summary
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def lines(project, engine):
    return short_summary(project, engine.id).splitlines()


def test_each_leak_has_its_grades_from_the_first_mark_on(project, story):
    assert "Leak 1 (Cover): 2 seep, then 3 heavy seep, then 0 dry" in lines(project, story.engine)


def test_a_look_that_did_not_see_the_leak_is_told_as_not_seen(project, story):
    assert "Leak 3 (Solenoid, Solenoid seal): 1 stain, then not seen" in lines(
        project, story.engine
    )


def test_causes_stand_below_their_leak_with_the_reason(project, story):
    told = lines(project, story.engine)

    assert told[told.index("Leak 1 (Cover): 2 seep, then 3 heavy seep, then 0 dry") + 1] == (
        "  confirmed: Cover joint, sealed 2026-03-07 (the bead photo shows a gap)"
    )


def test_what_was_ruled_out_is_left_out(project, story):
    ruled_out = replace(story.bolt_cause, state=CauseState.RULED_OUT)

    project.apply(replaced(story.bolt_cause, ruled_out))

    assert "comes out at the washer" not in short_summary(project, story.engine.id)


def test_the_last_line_says_what_is_to_be_redone(project, story):
    assert lines(project, story.engine)[-1] == (
        "To redo: Seal the cover again; 3.5 h together; 2 more without a task."
    )


def test_a_redo_list_that_cannot_be_worked_out_is_said(project, story):
    step = AccessStep(engine_id=story.engine.id, name="Drain", hours=1, needs=(story.intake.id,))
    looped = replace(story.intake, needs=(step.id,))

    project.apply(added(step).then(replaced(story.intake, looped)))

    assert lines(project, story.engine)[-1].startswith("The redo list could not be worked out.")


def test_an_engine_that_nobody_looked_at_says_so(project):
    engine = Engine(name="Bare")
    project.apply(added(engine))

    assert lines(project, engine) == ["Bare", "Not inspected yet.", "Nothing to redo."]


def test_the_extent_counts_what_belongs_to_the_engine(project, story):
    other = Engine(name="Other")
    project.apply(added(other))

    extent = report_extent(project, story.engine.id)
    of_other = report_extent(project, other.id)

    assert (extent.inspections, extent.zones, extent.photos, extent.leaks) == (4, 3, 8, 3)
    assert (extent.jobs, extent.verdicts, extent.checks) == (3, 2, 2)
    assert (of_other.inspections, of_other.photos, of_other.leaks) == (0, 0, 0)


def test_a_verdict_taken_back_is_not_counted(project, story):
    project.apply(removed(story.bolt_cause))

    assert report_extent(project, story.engine.id).verdicts == 1
