"""Trace a leak to the sealing jobs that may have caused it, and keep a person's verdict."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.tracing import MarkedSource, Suspect, candidates, job_in_force
from leaktrack.model.engine import Bolt, Joint, JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import Cause, CauseState, Trace
from leaktrack.workflows.find_engine import engine_id_of_zone
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project


def trace(project: Project, leak_id: UUID) -> Trace:
    """Return the sealing jobs that may have caused a leak, most likely first, with the reasons.

    The jobs are those in force when the engine ran before an inspection that saw the leak wet, and
    those that somebody judged. The distances come from the earliest mark with a source whose photo
    has joint lines: where it was wet first says most. Joints of the leak's face that this photo
    does not show are named as well, since oil may come from behind.

    Raises:
        MissingRecord: There is no such leak.
    """
    with project.read() as reader:
        leak = reader.get(Leak, leak_id)
        records = EngineRecords(reader, engine_id_of_zone(reader, leak.zone_id))
        mark, photo = _telling_mark(records, leak)
        suspects = _suspects(records, leak, photo)
    source = None
    if mark is not None and mark.source_px is not None and photo is not None:
        longest = max(photo.width_px, photo.height_px)
        source = MarkedSource(mark.source_px, longest, photo.mm_per_px)
    found, without_job = candidates(suspects, source)
    return Trace(
        leak,
        photo.id if photo else None,
        source.at if source else None,
        found,
        without_job,
    )


def set_verdict(
    project: Project,
    leak_id: UUID,
    sealing_job_id: UUID,
    state: CauseState,
    reason: str,
    bolt_id: UUID | None = None,
    decided_by: str = "",
    decided_at: datetime | None = None,
) -> Edit:
    """Return the edit that sets a person's verdict on one possible cause of a leak.

    There is one verdict for each leak and sealing job; a new one takes the place of the old.

    Args:
        project: The open project.
        leak_id: The leak.
        sealing_job_id: The job that did or did not cause it.
        state: The verdict.
        reason: Why, in words; a verdict without a reason cannot be checked by anybody.
        bolt_id: The bolt that is meant, where it is one.
        decided_by: Who decided.
        decided_at: When; now, if not given.

    Raises:
        BadInput: The reason is empty, or the bolt belongs to another joint.
        MissingRecord: Leak, job or bolt is not there.
    """
    if not reason.strip():
        raise BadInput("A verdict needs a reason. Nothing was changed. Write down what shows it.")
    with project.read() as reader:
        leak, job = reader.get(Leak, leak_id), reader.get(SealingJob, sealing_job_id)
        if bolt_id is not None and reader.get(Bolt, bolt_id).joint_id != job.joint_id:
            raise BadInput(
                "This bolt belongs to another joint than the sealing job. Nothing was changed. "
                "Choose a bolt of the same joint."
            )
        earlier = reader.all(Cause, leak_id=leak.id, sealing_job_id=job.id)
    verdict = Cause(
        leak_id=leak.id,
        sealing_job_id=job.id,
        bolt_id=bolt_id,
        state=state,
        reason=reason.strip(),
        decided_at=decided_at or datetime.now(UTC),
        decided_by=decided_by,
    )
    if earlier:
        return replaced(earlier[0], replace(verdict, id=earlier[0].id))
    return added(verdict)


def _telling_mark(records: EngineRecords, leak: Leak) -> tuple[LeakMark | None, Photo | None]:
    """Return the mark that says most about the source, with its photo."""
    order = records.table.order
    dated = []
    for mark in records.marks.get(leak.id, ()):
        photo = records.photos[mark.photo_id]
        place = order.get(photo.inspection_id) if photo.inspection_id else None
        if mark.source_px is not None and place is not None:
            has_lines = bool(records.lines_by_photo.get(photo.id))
            dated.append((not has_lines, not is_wet(mark.grade), place, mark))
    if not dated:
        return None, None
    mark = min(dated, key=lambda one: one[:3])[3]
    return mark, records.photos[mark.photo_id]


def _suspects(records: EngineRecords, leak: Leak, photo: Photo | None) -> list[Suspect]:
    lines = records.lines_by_photo.get(photo.id, ()) if photo else ()
    line_of = {line.joint_id: line for line in lines}
    leaked = _joints_that_leaked_before(records, leak)
    verdicts = {one.sealing_job_id: one for one in records.causes if one.leak_id == leak.id}
    ran_at = [_ran_at(records, inspection) for inspection in _wet_inspections(records, leak)]
    return [
        Suspect(
            joint=joint,
            bolts=tuple(records.bolts.get(joint.id, ())),
            line=line_of.get(joint.id),
            job=job,
            deviations=records.deviations[job.id] if job else (),
            evidence=tuple(records.evidence.get(job.id, ())) if job else (),
            was_fitted_later=job is not None and bool(ran_at) and job.done_at > ran_at[0],
            has_leaked_before=joint.id in leaked,
            verdict=verdicts.get(job.id) if job else None,
            is_in_zone=joint.zone_id == leak.zone_id,
        )
        for joint in _joints_in_reach(records, leak, line_of)
        for job in _jobs_to_blame(records, joint, ran_at, verdicts)
    ]


def _jobs_to_blame(
    records: EngineRecords,
    joint: Joint,
    ran_at: Sequence[datetime],
    verdicts: Mapping[UUID, Cause],
) -> list[SealingJob] | list[None]:
    """Return the joint's jobs in force at some moments, and those that somebody judged; by date.

    A leak that was never seen wet says nothing about when; then the job in force now counts. Where
    no job is to blame, None stands for it.
    """
    jobs = records.jobs_by_joint.get(joint.id, ())
    in_force = [job_in_force(jobs, moment) for moment in ran_at] if ran_at else jobs[-1:]
    ids = {job.id for job in in_force if job is not None} | verdicts.keys()
    return [job for job in jobs if job.id in ids] or [None]


def _joints_in_reach(
    records: EngineRecords, leak: Leak, line_of: Mapping[UUID, JointLine]
) -> list[Joint]:
    """Return the joints drawn in the photo, and all others of the leak's face."""
    face_of = {zone.id: zone.face_id for zone in records.zones}
    return [
        joint
        for joint in records.joints
        if joint.id in line_of or face_of[joint.zone_id] == face_of[leak.zone_id]
    ]


def _ran_at(records: EngineRecords, inspection: Inspection) -> datetime:
    """Return when the engine ran before an inspection; the time of the look itself without runs.

    Sealing jobs after that moment cannot be to blame for what was seen.
    """
    own = [run.started_at for run in records.runs if run.id == inspection.test_run_id]
    earlier = [run.started_at for run in records.runs if run.started_at <= inspection.looked_at]
    return (own or earlier or [inspection.looked_at])[-1]


def _wet_inspections(records: EngineRecords, leak: Leak) -> list[Inspection]:
    grade = records.table.grade
    return [one for one in records.inspections if is_wet(grade(leak.id, one.id))]


def _joints_that_leaked_before(records: EngineRecords, leak: Leak) -> set[UUID]:
    """Return the joints that other leaks belong to which were wet at an earlier inspection."""
    wet = _wet_inspections(records, leak)
    if not wet:
        return set()
    earlier = {
        other.id: other
        for other in records.leaks
        if other.id != leak.id
        and any(one.looked_at < wet[0].looked_at for one in _wet_inspections(records, other))
    }
    joint_of_job = {job.id: job.joint_id for job in records.jobs}
    by_verdict = {
        joint_of_job[cause.sealing_job_id]
        for cause in records.causes
        if cause.leak_id in earlier and cause.state is not CauseState.RULED_OUT
    }
    return by_verdict | {other.joint_id for other in earlier.values() if other.joint_id}
