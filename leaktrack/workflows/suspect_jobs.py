"""Gather the sealing jobs that a leak may come from, and what else is known around it."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from leaktrack.analysis.cluing import is_high
from leaktrack.analysis.suspecting import Scene, SealHistory, Suspect, job_in_force
from leaktrack.analysis.warning import SEVERAL_ZONES, are_several_newly_wet
from leaktrack.model.engine import FaceSide, Joint, JointLine, SealKind
from leaktrack.model.inspection import CheckKind, CheckResult, Inspection
from leaktrack.model.leak import Fluid, Leak, SeepageGrade, wetness
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import Cause, CauseState
from leaktrack.model.verification import Outcome
from leaktrack.workflows.find_source import TellingMark
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.judge_pressure import crankcase_mmh2o

_ABOVE = {
    FaceSide.UNDERSIDE: (FaceSide.BANK_1, FaceSide.BANK_2, FaceSide.FRONT, FaceSide.REAR),
    FaceSide.TOP: (),
}
"""Faces from which oil runs down onto one; onto all others it runs from the top."""


def suspects(
    records: EngineRecords,
    leak: Leak,
    telling: TellingMark | None,
    outcomes: Mapping[UUID, Outcome],
) -> list[Suspect]:
    """Return the jobs that may be to blame for a leak, and joints in reach without one.

    Args:
        records: The engine's records.
        leak: The leak.
        telling: The mark that says where it starts.
        outcomes: What became of the leak after each job was replaced, by the job's id.
    """
    lines = records.lines_by_photo.get(telling.photo.id, ()) if telling else ()
    line_of = {line.joint_id: line for line in lines}
    leaked = _joints_that_leaked_before(records, leak)
    verdicts = verdicts_by_job(records, leak)
    ran_at = [records.ran_at(inspection) for inspection in records.wet_inspections(leak)]
    return [
        Suspect(
            joint=joint,
            bolts=tuple(records.bolts.get(joint.id, ())),
            line=line_of.get(joint.id),
            plane=telling.photo.plane if telling else None,
            job=job,
            rule=records.rule_of(job) if job else None,
            torque_passes=tuple(records.torque_passes.get(job.id, ())) if job else (),
            parts=tuple(records.parts.get(job.id, ())) if job else (),
            deviations=records.deviations[job.id] if job else (),
            evidence=tuple(records.evidence.get(job.id, ())) if job else (),
            audits=tuple(records.audits.get(job.id, ())) if job else (),
            misplaced=records.misplaced(job) if job else (),
            was_fitted_later=job is not None and bool(ran_at) and job.done_at > ran_at[0],
            earlier_leak_id=leaked.get(joint.id),
            history=history_of(records, joint.seal_kind, job.id, leak.id) if job else SealHistory(),
            redo=outcomes.get(job.id) if job else None,
            verdicts=verdicts.get(job.id, ()) if job else (),
            is_in_zone=joint.zone_id == leak.zone_id,
        )
        for joint in joints_in_reach(records, leak, line_of)
        for job in jobs_to_blame(records, joint, ran_at, verdicts)
    ]


def scene(records: EngineRecords, leak: Leak, telling: TellingMark | None) -> Scene:
    """Return what is known around a leak beside the joints."""
    wet = records.wet_inspections(leak)
    look = wet[0] if wet else (telling.inspection if telling else None)
    baseline = _baseline(records, look)
    marks = records.marks.get(leak.id, ())
    pressure = crankcase_mmh2o(records, look)
    return Scene(
        source=telling.source if telling else None,
        photo_id=telling.photo.id if telling else None,
        inspection_id=look.id if look else None,
        faces_above=_faces_above(records, leak),
        has_baseline=baseline is not None if look else None,
        baseline_id=baseline.id if baseline else None,
        was_wet_at_baseline=_was_wet(records, leak, baseline) if baseline else None,
        was_cleaned=_was_cleaned(look) if look else None,
        is_residue_seen=any(mark.fluid is Fluid.ASSEMBLY_RESIDUE for mark in marks) or None,
        did_come_back=_did_come_back(records, leak),
        is_growing=_is_growing(records, leak, wet),
        are_several_wet=_are_several_wet(records, look) if wet and look else None,
        is_pressure_high=_is_pressure_high(records, pressure),
        pressure_mmh2o=pressure,
        is_settled=any(
            one.leak_id == leak.id and one.state is CauseState.CONFIRMED for one in records.causes
        ),
    )


def verdicts_by_job(records: EngineRecords, leak: Leak) -> dict[UUID, tuple[Cause, ...]]:
    """Return a person's verdicts on a leak by the sealing job that they are about."""
    found: dict[UUID, tuple[Cause, ...]] = defaultdict(tuple)
    for one in records.causes:
        if one.leak_id == leak.id:
            found[one.sealing_job_id] += (one,)
    return dict(found)


def joints_in_reach(
    records: EngineRecords, leak: Leak, line_of: Mapping[UUID, JointLine]
) -> list[Joint]:
    """Return the joints drawn in the photo, and all others of the leak's face."""
    face_of = {zone.id: zone.face_id for zone in records.zones}
    return [
        joint
        for joint in records.joints
        if joint.id in line_of or face_of[joint.zone_id] == face_of[leak.zone_id]
    ]


def jobs_to_blame(
    records: EngineRecords,
    joint: Joint,
    ran_at: Sequence[datetime],
    judged: Collection[UUID],
) -> list[SealingJob] | list[None]:
    """Return the joint's jobs in force at some moments, and those that somebody judged; by date.

    A leak that was never seen wet says nothing about when; then the job in force now counts. Where
    no job is to blame, None stands for it.
    """
    jobs = records.jobs_by_joint.get(joint.id, ())
    in_force = [job_in_force(jobs, moment) for moment in ran_at] if ran_at else jobs[-1:]
    ids = {job.id for job in in_force if job is not None} | set(judged)
    return [job for job in jobs if job.id in ids] or [None]


def _joints_that_leaked_before(records: EngineRecords, leak: Leak) -> dict[UUID, UUID]:
    """Return the joints that other leaks belong to which were wet at an earlier inspection."""
    wet = records.wet_inspections(leak)
    if not wet:
        return {}
    earlier = {
        other.id: other
        for other in records.leaks
        if other.id != leak.id
        and any(one.looked_at < wet[0].looked_at for one in records.wet_inspections(other))
    }
    joint_of_job = {job.id: job.joint_id for job in records.jobs}
    by_verdict = {
        joint_of_job[cause.sealing_job_id]: cause.leak_id
        for cause in records.causes
        if cause.leak_id in earlier and cause.state is not CauseState.RULED_OUT
    }
    return by_verdict | {
        other.joint_id: other.id for other in earlier.values() if other.joint_id is not None
    }


def history_of(
    records: EngineRecords,
    kind: SealKind,
    but_job_id: UUID | None = None,
    but_leak_id: UUID | None = None,
) -> SealHistory:
    """Return how the engine's jobs with one kind of seal fared, but for one job and one leak."""
    others = [
        one
        for one in records.jobs
        if one.id != but_job_id
        and records.joint_by_id[one.joint_id].seal_kind is kind
        and any(run.started_at >= one.done_at for run in records.runs)
    ]
    leaked = {
        cause.sealing_job_id
        for cause in records.causes
        if cause.state is CauseState.CONFIRMED and cause.leak_id != but_leak_id
    }
    return SealHistory(sum(one.id in leaked for one in others), len(others))


def _baseline(records: EngineRecords, look: Inspection | None) -> Inspection | None:
    if look is None:
        return None
    earlier = [
        one for one in records.inspections if one.is_baseline and one.looked_at <= look.looked_at
    ]
    return earlier[-1] if earlier else None


def _was_wet(records: EngineRecords, leak: Leak, baseline: Inspection) -> bool | None:
    """Return whether the place was wet at the baseline; None where nobody saw it."""
    grade = records.table.grade(leak.id, baseline.id)
    if grade is not SeepageGrade.NOT_SEEN:
        return bool(wetness(grade))
    sighting = records.table.sighting(leak, baseline.id)
    return False if sighting.nothing_noticed else None


def _was_cleaned(look: Inspection) -> bool | None:
    if look.cleaned_at is not None or look.cleaned_how:
        return True
    return None if {"cleaned_at", "cleaned_how"} & set(look.unknown_facts) else False


def _did_come_back(records: EngineRecords, leak: Leak) -> bool | None:
    """Return whether it came back after wiping: the last answer counts."""
    answers = []
    for mark in records.marks.get(leak.id, ()):
        photo = records.photos[mark.photo_id]
        order = records.table.order.get(photo.inspection_id) if photo.inspection_id else None
        came = True if mark.reappears_after_min is not None else mark.did_reappear
        if order is not None and came is not None:
            answers.append((order, came))
    return max(answers)[1] if answers else None


def _is_growing(records: EngineRecords, leak: Leak, wet: Sequence[Inspection]) -> bool | None:
    """Return whether it became wetter than at first; None where it was seen wet but once."""
    grades = [wetness(records.table.grade(leak.id, one.id)) or 0 for one in wet]
    return any(later > grades[0] for later in grades[1:]) if len(grades) > 1 else None


def _are_several_wet(records: EngineRecords, look: Inspection) -> bool | None:
    """Return whether many places became wet at once; None where too few zones were photographed."""
    if are_several_newly_wet(records.table, look.id):
        return True
    photographed = {zone for zone, at in records.table.photographed if at == look.id}
    return None if len(photographed) < SEVERAL_ZONES else False


def _is_pressure_high(records: EngineRecords, pressure: float | None) -> bool | None:
    """Return what a measurement says, else a check of the pressure."""
    if pressure is not None:
        return is_high(pressure)
    results = [one.result for one in records.checks if one.kind is CheckKind.PRESSURE]
    if CheckResult.FAILED in results:
        return True
    return False if CheckResult.PASSED in results else None


def _faces_above(records: EngineRecords, leak: Leak) -> tuple[str, ...]:
    face_id = next(zone.face_id for zone in records.zones if zone.id == leak.zone_id)
    own = next(face.side for face in records.faces if face.id == face_id)
    above = _ABOVE.get(own, (FaceSide.TOP,))
    return tuple(face.name for face in records.faces if face.side in above)
