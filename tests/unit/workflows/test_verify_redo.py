from dataclasses import replace

import pytest

from leaktrack.model.engine import SealKind
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState, ClueKind
from leaktrack.model.verification import Outcome
from leaktrack.workflows.trace_leak import set_verdict, trace
from leaktrack.workflows.verify_redo import successes, verify
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def of_cover(project, leak):
    return next(one for one in verify(project, leak.id) if one.joint.name == "Cover joint")


def test_a_leak_that_is_dry_after_the_redo_is_cured(project, story):
    found = of_cover(project, story.gap_leak)

    assert found.outcome is Outcome.CURED
    assert (found.blamed, found.redo) == (story.first_job, story.second_job)
    assert found.inspection == story.inspections[3]
    assert found.photo_id == story.cover_photos[3].id
    assert found.station == pytest.approx(3.5, abs=0.05)


def test_a_cause_that_is_confirmed_already_needs_no_proposal(project, story):
    assert of_cover(project, story.gap_leak).proposal is None


def test_a_cured_suspicion_is_proposed_to_be_confirmed_and_a_person_accepts(project, story):
    project.apply(replaced(story.gap_cause, replace(story.gap_cause, state=CauseState.SUSPECTED)))

    found = of_cover(project, story.gap_leak)
    project.apply(
        set_verdict(
            project, story.gap_leak.id, found.blamed.id, found.proposal.state,
            found.proposal.reason, found.bolt_id,
        )
    )  # fmt: skip

    (cause,) = project.all(Cause, leak_id=story.gap_leak.id)
    assert cause.state is CauseState.CONFIRMED
    assert cause.reason.startswith("Dry on 2026-04-25")
    assert of_cover(project, story.gap_leak).proposal is None


def test_a_bolt_that_still_seeps_is_still_there_and_not_spoken_free(project, story):
    found = of_cover(project, story.bolt_leak)

    assert (found.outcome, found.bolt_id) == (Outcome.STILL_THERE, story.bolt_4.id)
    assert found.proposal is None


def test_a_seam_that_is_still_wet_is_proposed_to_be_ruled_out(project, story):
    project.apply(replaced(story.bolt_cause, replace(story.bolt_cause, bolt_id=None)))

    assert of_cover(project, story.bolt_leak).proposal.state is CauseState.RULED_OUT


def test_another_place_of_the_joint_that_is_newly_wet_means_moved(project, story):
    leak = Leak(zone_id=story.cover.id, number=9, joint_id=story.cover_joint.id)
    mark = LeakMark(
        leak_id=leak.id,
        photo_id=story.cover_photos[3].id,
        grade=SeepageGrade.SEEP,
        source_px=PointPx(1350, 812),
    )
    project.apply(added(leak, mark))

    found = of_cover(project, story.gap_leak)

    assert found.outcome is Outcome.MOVED
    assert found.moved_to == pytest.approx(5.5, abs=0.05)


def test_without_a_mark_at_the_look_after_it_the_place_was_not_seen(project, story):
    marks = [
        mark
        for mark in project.all(LeakMark, leak_id=story.gap_leak.id)
        if mark.photo_id == story.cover_photos[3].id
    ]
    project.apply(removed(*marks))

    found = of_cover(project, story.gap_leak)

    assert found.outcome is Outcome.NOT_SEEN
    assert found.proposal is None


def test_a_joint_that_was_not_sealed_again_is_not_verified(project, story):
    assert verify(project, story.solenoid_leak.id) == ()


def test_the_trace_takes_what_the_redo_did_as_a_clue(project, story):
    cured = trace(project, story.gap_leak.id).candidates[0]
    still = trace(project, story.bolt_leak.id).candidates[0]

    assert ClueKind.CURED_BY_REDO in {clue.kind for clue in cured.clues}
    assert ClueKind.STILL_WET_AFTER_REDO in {clue.kind for clue in still.clues}


def test_success_is_counted_by_material_and_what_was_ruled_out_does_not_count(project, story):
    (count,) = successes(project)
    assert (count.seal_kind, count.material) == (SealKind.LIQUID_GASKET, "Blue sealant")
    assert (count.cured, count.tried) == (1, 2)

    out = replace(story.bolt_cause, state=CauseState.RULED_OUT)
    project.apply(replaced(story.bolt_cause, out))

    assert [(one.cured, one.tried) for one in successes(project)] == [(1, 1)]
