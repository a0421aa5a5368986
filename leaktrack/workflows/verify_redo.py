"""Verify whether sealing a joint again cured a leak, and count which way of sealing does."""

from collections.abc import Iterator, Sequence
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.stationing import ruled_line
from leaktrack.analysis.suspecting import job_in_force
from leaktrack.analysis.verifying import (
    LaterLook,
    WetPlace,
    outcome,
    proposal,
    success_counts,
)
from leaktrack.model.engine import Engine, Joint, SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import Cause, CauseState
from leaktrack.model.verification import SuccessCount, Verification
from leaktrack.model.words import station_words
from leaktrack.workflows.find_engine import engine_id_of_zone
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project
from leaktrack.workflows.suspect_jobs import verdicts_by_job


def verify(project: Project, leak_id: UUID) -> tuple[Verification, ...]:
    """Return what became of a leak wherever a joint that is blamed for it was sealed again.

    Blamed is a joint whose job somebody suspects, confirmed or ruled out, or which the leak was
    given to.

    Raises:
        MissingRecord: There is no such leak.
    """
    with project.read() as reader:
        leak = reader.get(Leak, leak_id)
        records = EngineRecords(reader, engine_id_of_zone(reader, leak.zone_id))
        return blamed_verifications(records, leak)


def blamed_verifications(records: EngineRecords, leak: Leak) -> tuple[Verification, ...]:
    """Return the same from records that were read already."""
    judged = {one.sealing_job_id for one in records.causes if one.leak_id == leak.id}
    return tuple(
        one
        for one in verifications(records, leak)
        if one.blamed.id in judged or one.joint.id == leak.joint_id
    )


def verifications(records: EngineRecords, leak: Leak) -> tuple[Verification, ...]:
    """Return what became of a leak after each job that was in force at first was replaced."""
    return tuple(_verifications(records, leak))


def successes(project: Project) -> tuple[SuccessCount, ...]:
    """Return how often each way of sealing again cured a leak, over all engines of the project.

    Only joints with a suspected or confirmed cause count, and only places that were seen after.
    """
    verified: list[tuple[SealKind, str, Verification]] = []
    with project.read() as reader:
        for engine in reader.all(Engine):
            records = EngineRecords(reader, engine.id)
            for leak in records.leaks:
                verified += [_counted(records, one) for one in _tried(records, leak)]
    return success_counts(verified)


def _tried(records: EngineRecords, leak: Leak) -> Iterator[Verification]:
    blamed = {
        one.sealing_job_id
        for one in records.causes
        if one.leak_id == leak.id and one.state is not CauseState.RULED_OUT
    }
    return (one for one in verifications(records, leak) if one.blamed.id in blamed)


def _counted(records: EngineRecords, one: Verification) -> tuple[SealKind, str, Verification]:
    material_id = one.redo.material_id
    material = records.materials.get(material_id) if material_id else None
    return one.joint.seal_kind, material.name if material else "", one


def _verifications(records: EngineRecords, leak: Leak) -> Iterator[Verification]:
    wet = records.wet_inspections(leak)
    if not wet:
        return
    verdicts = verdicts_by_job(records, leak)
    first_ran = records.ran_at(wet[0])
    for joint in records.joints:
        jobs = records.jobs_by_joint.get(joint.id, ())
        blamed = job_in_force(jobs, first_ran)
        redo = records.job_after(blamed) if blamed is not None else None
        if blamed is None or redo is None:
            continue
        yield _verification(
            records, leak, joint, blamed, redo, _leading(verdicts.get(blamed.id, ()))
        )


def _leading(verdicts: Sequence[Cause]) -> Cause | None:
    """Return the verdict that the redo is held against: the latest of those that blame most."""
    order = (CauseState.CONFIRMED, CauseState.SUSPECTED, CauseState.RULED_OUT)
    return min(
        sorted(verdicts, key=lambda one: one.decided_at, reverse=True),
        key=lambda one: order.index(one.state),
        default=None,
    )


def _verification(
    records: EngineRecords,
    leak: Leak,
    joint: Joint,
    blamed: SealingJob,
    redo: SealingJob,
    verdict: Cause | None,
) -> Verification:
    later = records.job_after(redo)
    looks = [
        _later_look(records, leak, joint, redo, inspection)
        for inspection in records.inspections
        if records.ran_at(inspection) >= redo.done_at
        and inspection.looked_at > redo.done_at
        and (later is None or records.ran_at(inspection) < later.done_at)
    ]
    station = _station_before(records, leak, joint, redo)
    bolts = records.bolts.get(joint.id, ())
    spacing = joint.length_mm / len(bolts) if joint.length_mm and bolts else None
    turn = (float(len(bolts)) if bolts else 1.0) if joint.is_closed else None
    found = outcome(station, looks, spacing, turn)
    inspection = next((one for one in records.inspections if one.id == found.inspection_id), None)
    bolt_id = verdict.bolt_id if verdict else None
    return Verification(
        leak=leak,
        joint=joint,
        blamed=blamed,
        redo=redo,
        inspection=inspection,
        outcome=found.outcome,
        bolt_id=bolt_id,
        station=station,
        moved_to=found.moved_to,
        mark_id=found.mark_id,
        photo_id=found.photo_id,
        proposal=proposal(
            found,
            f"{inspection.looked_at.astimezone():%Y-%m-%d}" if inspection else "",
            station_words(found.moved_to),
            verdict,
            is_bolt=bolt_id is not None,
        ),
    )


def _station_before(
    records: EngineRecords, leak: Leak, joint: Joint, redo: SealingJob
) -> float | None:
    """Return where on the joint the leak was when it was last wet before the redo."""
    before = [
        (mark, photo)
        for inspection in records.wet_inspections(leak)
        if records.ran_at(inspection) < redo.done_at
        for mark, photo in records.table.marks.get((leak.id, inspection.id), ())
        if is_wet(mark.grade)
    ]
    stations = [_station(records, joint, mark, photo) for mark, photo in before]
    return next((one for one in stations if one is not None), None)


def _later_look(
    records: EngineRecords, leak: Leak, joint: Joint, redo: SealingJob, inspection: Inspection
) -> LaterLook:
    grade = records.table.grade(leak.id, inspection.id)
    own = records.table.marks.get((leak.id, inspection.id), ())
    telling = next(((mark, photo) for mark, photo in own if mark.grade is grade), None)
    return LaterLook(
        inspection.id,
        grade if own else SeepageGrade.NOT_SEEN,
        tuple(_wet_places(records, leak, joint, redo, inspection)),
        telling[0].id if telling else None,
        telling[1].id if telling else None,
    )


def _wet_places(
    records: EngineRecords, leak: Leak, joint: Joint, redo: SealingJob, inspection: Inspection
) -> Iterator[WetPlace]:
    for other in records.leaks:
        is_same = other.id == leak.id
        if not is_same and other.joint_id != joint.id:
            continue
        was_wet = any(records.ran_at(one) < redo.done_at for one in records.wet_inspections(other))
        for mark, photo in records.table.marks.get((other.id, inspection.id), ()):
            if is_wet(mark.grade):
                station = _station(records, joint, mark, photo)
                yield WetPlace(station, is_same, not was_wet, mark.id, photo.id)


def _station(records: EngineRecords, joint: Joint, mark: LeakMark, photo: Photo) -> float | None:
    lines = records.lines_by_photo.get(photo.id, ())
    line = next((one for one in lines if one.joint_id == joint.id), None)
    if line is None or mark.source_px is None:
        return None
    bolts = records.bolts.get(joint.id, ())
    try:
        ruled = ruled_line(
            line,
            bolts,
            is_closed=joint.is_closed,
            length_mm=joint.length_mm,
            plane=photo.plane,
        )
    except BadInput:  # drawn before bolts were renumbered
        return None
    return ruled.station_at(mark.source_px).station
