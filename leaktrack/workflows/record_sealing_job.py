"""Record how a joint was sealed, and what photos and footage show it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from uuid import UUID

from leaktrack.model.engine import Joint
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.record import Edit, added, removed, replaced
from leaktrack.model.sealing_job import (
    Evidence,
    Material,
    Part,
    SealingJob,
    TorquePass,
)
from leaktrack.workflows.change_list import list_edit
from leaktrack.workflows.check_input import check_record, checked_text
from leaktrack.workflows.find_engine import bolt_numbers
from leaktrack.workflows.project import Project
from leaktrack.workflows.remove_records import removal


def record_job(
    project: Project,
    job: SealingJob,
    torque_passes: Sequence[TorquePass] = (),
    parts: Sequence[Part] = (),
    photo_ids: Sequence[UUID] = (),
) -> Edit:
    """Return the edit that adds a sealing job with what belongs to it.

    The job takes its place by date in the joint's chain of jobs: it supersedes the one before it,
    and the one after it supersedes this one.

    Args:
        project: The open project.
        job: The job; its ``supersedes_id`` is worked out here.
        torque_passes: Rounds of tightening; made to belong to the job.
        parts: Parts used; made to belong to the job.
        photo_ids: Photos that show it.

    Raises:
        BadInput: A number is out of reason, a time without zone, the joint closed before its bead
            was laid, or a bolt that the joint does not have.
        MissingRecord: Joint, material or a photo is not there.
    """
    _check_job(project, job)
    passes = [replace(torque_pass, sealing_job_id=job.id) for torque_pass in torque_passes]
    own_parts = [replace(part, sealing_job_id=job.id) for part in parts]
    _check_passes(project, job, passes)
    _check_parts(own_parts)
    evidence = [
        Evidence(sealing_job_id=job.id, photo_id=project.get(Photo, photo_id).id)
        for photo_id in dict.fromkeys(photo_ids)
    ]
    jobs = project.all(SealingJob, joint_id=job.joint_id)
    chain = _chain_edit(jobs, [*jobs, job])
    # The new job comes first: the one after it points at it.
    ordered = sorted(chain.changes, key=lambda change: change.before is not None)
    return Edit(tuple(ordered)).then(added(*passes, *own_parts, *evidence))


def amend_job(project: Project, before: SealingJob, after: SealingJob) -> Edit:
    """Return the edit that puts a changed sealing job in place; the chain of jobs follows its date.

    Raises:
        BadInput: As for ``record_job``; or the job would move to another joint.
    """
    _check_job(project, after)
    if before.joint_id != after.joint_id:
        raise BadInput(
            "A sealing job stays with its joint. Remove this job and record it at the other joint."
        )
    jobs = project.all(SealingJob, joint_id=before.joint_id)
    changed = [after if job.id == after.id else job for job in jobs]
    others = [job for job in jobs if job.id != before.id]
    return _chain_edit([*others, before], changed)


def remove_job(project: Project, job_id: UUID) -> Edit:
    """Return the edit that removes a job with its evidence, tightening and parts.

    Raises:
        BadInput: A verdict on a cause names it.
    """
    job = project.get(SealingJob, job_id)
    edit = removal(project, job, f"sealing job of {job.done_at.astimezone():%Y-%m-%d}")
    jobs = project.all(SealingJob, joint_id=job.joint_id)
    rest = [other for other in jobs if other.id != job_id]
    return _chain_edit(rest, rest).then(edit)


def set_torque_passes(project: Project, job_id: UUID, passes: Sequence[TorquePass]) -> Edit:
    """Return the edit that leaves exactly these rounds of tightening on a job.

    Raises:
        BadInput: A number is out of reason or used twice, or a bolt is not there.
    """
    job = project.get(SealingJob, job_id)
    own = [replace(torque_pass, sealing_job_id=job_id) for torque_pass in passes]
    _check_passes(project, job, own)
    return list_edit(project.all(TorquePass, sealing_job_id=job_id), own)


def set_parts(project: Project, job_id: UUID, parts: Sequence[Part]) -> Edit:
    """Return the edit that leaves exactly these parts on a job.

    Raises:
        BadInput: A part has no name.
    """
    project.get(SealingJob, job_id)
    own = [replace(part, sealing_job_id=job_id) for part in parts]
    _check_parts(own)
    return list_edit(project.all(Part, sealing_job_id=job_id), own)


def add_evidence(
    project: Project,
    job_id: UUID,
    *,
    photo_id: UUID | None = None,
    clip_id: UUID | None = None,
    start_ms: int | None = None,
    end_ms: int | None = None,
    note: str = "",
) -> Edit:
    """Return the edit that names a photo, or a span of a clip, as showing a sealing job.

    Raises:
        BadInput: Not exactly one of photo and clip, the photo shows the job already, or the span
            does not lie within the clip.
        MissingRecord: Job, photo or clip is not there.
    """
    project.get(SealingJob, job_id)
    if (photo_id is None) == (clip_id is None):
        raise BadInput("Evidence is one photo or a span of one clip. Choose one of the two.")
    if photo_id is not None:
        project.get(Photo, photo_id)
        if project.all(Evidence, sealing_job_id=job_id, photo_id=photo_id):
            raise BadInput("That photo shows this sealing job already. Nothing needs to be done.")
    if clip_id is not None:
        _check_span(project.get(Clip, clip_id), start_ms, end_ms)
    return added(
        Evidence(
            sealing_job_id=job_id,
            photo_id=photo_id,
            clip_id=clip_id,
            start_ms=start_ms,
            end_ms=end_ms,
            note=note.strip(),
        )
    )


def amend_evidence(project: Project, before: Evidence, after: Evidence) -> Edit:
    """Return the edit that changes the span or the note of a piece of evidence.

    Raises:
        BadInput: The span does not lie within the clip.
    """
    if after.clip_id is not None:
        _check_span(project.get(Clip, after.clip_id), after.start_ms, after.end_ms)
    return replaced(before, after)


def remove_evidence(project: Project, evidence_id: UUID) -> Edit:
    """Return the edit that takes evidence away from a job; photo and clip stay."""
    return removed(project.get(Evidence, evidence_id))


def _chain_key(job: SealingJob) -> tuple[datetime, UUID]:
    return job.done_at, job.id


def _chain_edit(before: Sequence[SealingJob], after: Sequence[SealingJob]) -> Edit:
    linked: list[SealingJob] = []
    for job in sorted(after, key=_chain_key):
        linked.append(replace(job, supersedes_id=linked[-1].id if linked else None))
    return list_edit(before, linked)


def _check_job(project: Project, job: SealingJob) -> None:
    check_record(job)
    project.get(Joint, job.joint_id)
    if job.material_id is not None:
        project.get(Material, job.material_id)
    if job.bead_laid_at and job.closed_at and job.closed_at < job.bead_laid_at:
        raise BadInput(
            "The joint cannot be closed before its bead was laid. Correct one of the two times."
        )


def _check_passes(project: Project, job: SealingJob, passes: Sequence[TorquePass]) -> None:
    known = bolt_numbers(project, job.joint_id)
    numbers = [torque_pass.number for torque_pass in passes]
    if len(set(numbers)) < len(numbers) or any(number < 1 for number in numbers):
        raise BadInput("The rounds of tightening must be numbered 1, 2, 3 and so on, each once.")
    for torque_pass in passes:
        check_record(torque_pass)
        unknown = sorted(set(torque_pass.bolt_numbers) - known)
        if unknown:
            raise BadInput(
                f"Round {torque_pass.number} tightens bolt {unknown[0]}, which the joint does not "
                "have. Correct the number, or give the joint more bolts."
            )


def _check_parts(parts: Sequence[Part]) -> None:
    for part in parts:
        checked_text(part.name, "part")


def _check_span(clip: Clip, start_ms: int | None, end_ms: int | None) -> None:
    start = 0 if start_ms is None else start_ms
    end = clip.duration_ms if end_ms is None else end_ms
    if not 0 <= start <= end <= clip.duration_ms:
        raise BadInput(
            f"The span {start / 1000:.1f} s to {end / 1000:.1f} s does not lie within "
            f"'{clip.name}', which lasts {clip.duration_ms / 1000:.1f} s. "
            "Mark its start before its end."
        )
