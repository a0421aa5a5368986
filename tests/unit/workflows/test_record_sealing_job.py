"""Sealing jobs of a joint form a chain by date, and only what can be is recorded."""

from dataclasses import replace
from datetime import timedelta

import pytest

from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import (
    DeviationKind,
    Evidence,
    Part,
    SealingJob,
    TorquePass,
)
from leaktrack.workflows.record_sealing_job import (
    add_evidence,
    amend_evidence,
    amend_job,
    record_job,
    remove_job,
    set_torque_passes,
)
from leaktrack.workflows.view_sealing_job import job_view
from tests.filled_project import DAY, MARCH


def a_pass(number=1, **fields):
    return TorquePass(sealing_job_id=new_id(), number=number, **fields)


def chain(project, joint_id):
    """Return the jobs of a joint by date, each with the one it supersedes."""
    jobs = sorted(project.all(SealingJob, joint_id=joint_id), key=lambda job: job.done_at)
    return [(job.id, job.supersedes_id) for job in jobs]


def test_a_new_job_supersedes_the_one_in_force(project, filled):
    job = SealingJob(joint_id=filled.joint.id, done_at=MARCH + 40 * DAY)

    project.apply(record_job(project, job))

    assert project.get(SealingJob, job.id).supersedes_id == filled.later_job.id


def test_a_job_remembered_late_takes_its_place_in_between(project, filled):
    between = SealingJob(joint_id=filled.joint.id, done_at=MARCH + 3 * DAY)

    project.apply(record_job(project, between))

    assert chain(project, filled.joint.id) == [
        (filled.job.id, None),
        (between.id, filled.job.id),
        (filled.later_job.id, between.id),
    ]


def test_a_job_with_another_date_moves_in_the_chain(project, filled):
    moved = replace(filled.job, done_at=MARCH + 30 * DAY)

    project.apply(amend_job(project, filled.job, moved))

    assert chain(project, filled.joint.id) == [
        (filled.later_job.id, None),
        (filled.job.id, filled.later_job.id),
    ]


def test_a_removed_job_leaves_no_gap_in_the_chain(project, filled):
    between = SealingJob(joint_id=filled.joint.id, done_at=MARCH + 3 * DAY)
    project.apply(record_job(project, between, [a_pass()], photo_ids=[filled.loose.id]))

    project.apply(remove_job(project, between.id))

    assert chain(project, filled.joint.id) == [
        (filled.job.id, None),
        (filled.later_job.id, filled.job.id),
    ]
    assert project.all(Evidence, sealing_job_id=between.id) == ()


def test_a_job_that_a_verdict_names_stays(project, filled):
    with pytest.raises(BadInput, match="needed by 1 verdict on a cause"):
        remove_job(project, filled.job.id)


def test_rounds_parts_and_photos_belong_to_their_job(project, filled):
    job = SealingJob(joint_id=filled.joint.id, done_at=MARCH + 40 * DAY)
    part = Part(sealing_job_id=new_id(), name="ring")

    project.apply(
        record_job(project, job, [a_pass(1), a_pass(2)], [part], [filled.loose.id, filled.loose.id])
    )

    view = job_view(project, job.id)
    assert [torque_pass.number for torque_pass in view.torque_passes] == [1, 2]
    assert [found.id for found in view.parts] == [part.id]
    assert [item.photo_id for item in view.evidence] == [filled.loose.id]


def test_a_job_is_shown_with_its_rule_deviations_and_successor(project, filled):
    view = job_view(project, filled.job.id)

    assert (view.joint, view.material, view.rule) == (filled.joint, filled.material, filled.rule)
    assert view.superseded_by == filled.later_job
    kinds = {deviation.kind for deviation in view.deviations}
    assert DeviationKind.BEAD_TOO_THICK in kinds  # 4 mm, the rule allows 3.5 mm


def test_only_a_run_on_this_job_counts_against_its_cure(project, filled):
    project.apply(amend_job(project, filled.later_job, replace(filled.later_job, material_id=None)))

    view = job_view(project, filled.later_job.id)

    assert {deviation.kind for deviation in view.deviations} == {DeviationKind.NOT_RECORDED}


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"temperature_c": 170}, "air temperature cannot be 170 °C"),
        ({"humidity_percent": 101}, "air humidity cannot be 101 %"),
        ({"bead_mm": 0}, "bead width cannot be 0 mm"),
        ({"done_at": MARCH.replace(tzinfo=None)}, "has no time zone"),
        (
            {"bead_laid_at": MARCH, "closed_at": MARCH - timedelta(minutes=1)},
            "cannot be closed before its bead was laid",
        ),
    ],
)
def test_a_job_that_cannot_be_is_refused(project, filled, fields, reason):
    job = SealingJob(**{"joint_id": filled.joint.id, "done_at": MARCH, **fields})

    with pytest.raises(BadInput, match=reason):
        record_job(project, job)


def test_a_job_may_be_dated_in_the_future(project, filled):
    job = SealingJob(joint_id=filled.joint.id, done_at=MARCH + 4000 * DAY)

    project.apply(record_job(project, job))

    assert project.get(SealingJob, job.id).done_at == job.done_at


@pytest.mark.parametrize("field", ["joint_id", "material_id"])
def test_a_job_needs_a_joint_and_a_material_that_are_there(project, filled, field):
    job = SealingJob(**{"joint_id": filled.joint.id, "done_at": MARCH, field: new_id()})

    with pytest.raises(MissingRecord):
        record_job(project, job)


@pytest.mark.parametrize(
    ("passes", "reason"),
    [
        ([a_pass(1), a_pass(1)], "numbered 1, 2, 3"),
        ([a_pass(0)], "numbered 1, 2, 3"),
        ([a_pass(torque_nm=-3)], "torque cannot be -3 N m"),
        ([a_pass(bolt_numbers=(1, 9))], "Round 1 tightens bolt 9, which the joint does not have"),
    ],
)
def test_tightening_that_cannot_be_is_refused(project, filled, passes, reason):
    with pytest.raises(BadInput, match=reason):
        set_torque_passes(project, filled.job.id, passes)


def test_a_job_stays_with_its_joint(project, filled):
    with pytest.raises(BadInput, match="stays with its joint"):
        amend_job(project, filled.job, replace(filled.job, joint_id=filled.other_joint.id))


def test_evidence_is_a_photo_or_a_clip(project, filled):
    with pytest.raises(BadInput, match="one photo or a span of one clip"):
        add_evidence(project, filled.job.id)
    with pytest.raises(BadInput, match="one photo or a span of one clip"):
        add_evidence(project, filled.job.id, photo_id=filled.loose.id, clip_id=filled.clip.id)


def test_a_photo_shows_a_job_once(project, filled):
    with pytest.raises(BadInput, match="shows this sealing job already"):
        add_evidence(project, filled.job.id, photo_id=filled.reference.id)


@pytest.mark.parametrize(("start_ms", "end_ms"), [(5000, 4000), (-1, 10), (0, 60_001)])
def test_a_span_that_ends_before_it_starts_or_leaves_the_clip_is_refused(
    project, filled, start_ms, end_ms
):
    with pytest.raises(BadInput, match=r"does not lie within 'Assembly', which lasts 60.0 s"):
        add_evidence(
            project, filled.job.id, clip_id=filled.clip.id, start_ms=start_ms, end_ms=end_ms
        )
    with pytest.raises(BadInput, match="does not lie within 'Assembly'"):
        amend_evidence(
            project,
            filled.clip_evidence,
            replace(filled.clip_evidence, start_ms=start_ms, end_ms=end_ms),
        )
