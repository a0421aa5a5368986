from dataclasses import replace
from datetime import timedelta

import pytest

from leaktrack.model.engine import Bolt
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.sealing_job import DeviationKind, SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState, ClueKind
from leaktrack.workflows.trace_leak import set_verdict, trace
from tests.leaking_engine import at, tell


@pytest.fixture
def story(project):
    return tell(project)


def a_late_leak(project, story):
    """A leak of the cover that is wet at the last inspection only."""
    leak = Leak(zone_id=story.cover.id, number=4)
    mark = LeakMark(
        leak_id=leak.id,
        photo_id=story.cover_photos[3].id,
        grade=SeepageGrade.SEEP,
        source_px=PointPx(1100, 815),
    )
    project.apply(added(leak, mark))
    return leak


def joints(result):
    """The names of the joints, each where it comes first."""
    return list(dict.fromkeys(one.joint.name for one in result.candidates))


def test_a_leak_is_traced_to_the_job_whose_joint_it_starts_at(project, story):
    result = trace(project, story.gap_leak.id)

    first = result.candidates[0]
    assert (first.joint, first.job, first.bolt) == (story.cover_joint, story.first_job, None)
    assert first.station == pytest.approx(3.5, abs=0.02)
    assert first.clues[0].kind is ClueKind.AT_THE_JOINT
    assert first.clues[0].value == pytest.approx(5 * 0.15)


def test_the_earliest_mark_with_joint_lines_says_where_it_starts(project, story):
    result = trace(project, story.gap_leak.id)

    assert result.photo_id == story.cover_photos[1].id
    assert result.source_px == PointPx(750, 825)


def test_rule_deviations_evidence_and_verdict_stand_beside_the_candidate(project, story):
    first = trace(project, story.gap_leak.id).candidates[0]

    late = next(clue.deviation for clue in first.clues if clue.deviation)
    assert (late.kind, late.actual, late.allowed) == (DeviationKind.CLOSED_TOO_LATE, 16, 10)
    assert [one.photo_id for one in first.evidence] == [story.bead_photo.id]
    assert first.verdict == story.gap_cause


def test_a_source_at_a_bolt_is_traced_to_that_bolt(project, story):
    first = trace(project, story.bolt_leak.id).candidates[0]

    assert first.bolt == story.bolt_4
    assert [clue.kind for clue in first.clues[:2]] == [
        ClueKind.AT_A_BOLT,
        ClueKind.OPENS_INTO_OIL,
    ]


def test_joints_of_the_same_face_come_after_and_those_of_other_faces_do_not(project, story):
    result = trace(project, story.gap_leak.id)

    assert joints(result) == ["Cover joint", "Solenoid seal"]
    last = next(one for one in result.candidates if one.joint == story.solenoid_seal)
    assert last.clues[0].kind is ClueKind.LINE_NOT_DRAWN


def test_a_leak_without_a_source_is_traced_to_the_joints_of_its_zone_first(project, story):
    result = trace(project, story.solenoid_leak.id)

    assert (result.photo_id, result.source_px) == (None, None)
    assert joints(result) == ["Solenoid seal", "Cover joint"]


def test_a_leak_that_is_new_after_the_redo_is_traced_to_the_redo(project, story):
    leak = a_late_leak(project, story)

    assert trace(project, leak.id).candidates[0].job == story.second_job


def test_a_job_fitted_between_the_run_and_the_look_is_not_to_blame(project, story):
    leak = a_late_leak(project, story)
    hasty = SealingJob(
        joint_id=story.cover_joint.id,
        done_at=story.runs[2].started_at + timedelta(hours=2),
        supersedes_id=story.second_job.id,
    )
    project.apply(added(hasty))

    assert trace(project, leak.id).candidates[0].job == story.second_job


def test_a_look_without_a_run_of_its_own_counts_from_the_last_run_before(project, story):
    leak = a_late_leak(project, story)
    look = story.inspections[3]
    hasty = SealingJob(joint_id=story.cover_joint.id, done_at=at("04-25 10:00"))
    project.apply(added(hasty).then(replaced(look, replace(look, test_run_id=None))))

    assert trace(project, leak.id).candidates[0].job == story.second_job


def test_a_leak_that_outlived_a_redo_is_traced_to_both_jobs_the_first_one_first(project, story):
    first, second, *_ = trace(project, story.bolt_leak.id).candidates

    assert (first.job, second.job) == (story.first_job, story.second_job)
    assert ClueKind.FITTED_LATER in {clue.kind for clue in second.clues}
    assert ClueKind.FITTED_LATER not in {clue.kind for clue in first.clues}


def test_a_job_that_somebody_judged_is_shown_even_if_it_cannot_be_to_blame(project, story):
    project.apply(
        set_verdict(
            project, story.gap_leak.id, story.second_job.id, CauseState.RULED_OUT, "fitted later"
        )
    )

    last = trace(project, story.gap_leak.id).candidates[-1]

    assert (last.job, last.verdict.state) == (story.second_job, CauseState.RULED_OUT)


def test_a_joint_whose_job_nobody_recorded_is_named(project, story):
    project.apply(removed(story.solenoid_job))

    result = trace(project, story.solenoid_leak.id)

    assert result.joints_without_job == (story.solenoid_seal,)


def test_a_verdict_is_added_with_its_reason(project, story):
    edit = set_verdict(
        project,
        story.solenoid_leak.id,
        story.solenoid_job.id,
        CauseState.SUSPECTED,
        "  the seal looks pinched ",
        decided_at=at("04-06 10:00"),
    )
    project.apply(edit)

    (cause,) = project.all(Cause, leak_id=story.solenoid_leak.id)
    assert (cause.state, cause.reason) == (CauseState.SUSPECTED, "the seal looks pinched")
    assert trace(project, story.solenoid_leak.id).candidates[0].verdict == cause


def test_a_later_verdict_takes_the_place_of_the_earlier_one(project, story):
    edit = set_verdict(
        project,
        story.bolt_leak.id,
        story.first_job.id,
        CauseState.CONFIRMED,
        "wet thread",
        story.bolt_4.id,
    )
    project.apply(edit)

    (cause,) = project.all(Cause, leak_id=story.bolt_leak.id)
    assert (cause.id, cause.state) == (story.bolt_cause.id, CauseState.CONFIRMED)


def test_verdicts_on_two_places_of_a_job_stand_side_by_side(project, story):
    edit = set_verdict(
        project,
        story.bolt_leak.id,
        story.first_job.id,
        CauseState.SUSPECTED,
        "the seam is damp too",
    )
    project.apply(edit)

    causes = project.all(Cause, leak_id=story.bolt_leak.id)
    assert {(one.bolt_id, one.state) for one in causes} == {
        (None, CauseState.SUSPECTED),
        (story.bolt_cause.bolt_id, story.bolt_cause.state),
    }


def test_who_rules_out_the_whole_joint_means_its_bolts_too(project, story):
    edit = set_verdict(
        project, story.bolt_leak.id, story.first_job.id, CauseState.RULED_OUT, "from above"
    )
    project.apply(edit)

    (cause,) = project.all(Cause, leak_id=story.bolt_leak.id)
    assert (cause.bolt_id, cause.state) == (None, CauseState.RULED_OUT)
    project.apply(edit.inverse)
    assert project.all(Cause, leak_id=story.bolt_leak.id) == (story.bolt_cause,)


def test_a_verdict_without_a_reason_is_refused(project, story):
    with pytest.raises(BadInput, match="needs a reason"):
        set_verdict(project, story.gap_leak.id, story.first_job.id, CauseState.RULED_OUT, "  ")


def test_a_bolt_of_another_joint_is_refused(project, story):
    stray = Bolt(joint_id=story.solenoid_seal.id, number=1)
    project.apply(added(stray))

    with pytest.raises(BadInput, match="another joint"):
        set_verdict(
            project,
            story.gap_leak.id,
            story.first_job.id,
            CauseState.SUSPECTED,
            "close",
            stray.id,
        )


def test_what_was_ruled_out_comes_last(project, story):
    project.apply(
        set_verdict(
            project, story.gap_leak.id, story.first_job.id, CauseState.RULED_OUT, "dry in powder"
        )
    )

    assert trace(project, story.gap_leak.id).candidates[-1].joint == story.cover_joint
