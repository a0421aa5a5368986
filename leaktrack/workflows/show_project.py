"""Show what a project holds, as one document for scripts."""

from typing import Any
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.oiling.grading import published, verdict
from leaktrack.model.engine import Engine, Joint
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Fluid, Leak, SeepageGrade, wetness
from leaktrack.model.redo_plan import RedoList
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import Cause
from leaktrack.model.words import deviation_sentence, grade_words, word
from leaktrack.workflows.gather_engine import EngineRecords, grouped
from leaktrack.workflows.plan_redo import redo_list_of
from leaktrack.workflows.project import Project
from leaktrack.workflows.warn_of_look import warnings_at

Document = dict[str, Any]
"""A JSON object: texts, numbers, true, false, null, lists and objects."""


def summary(project: Project) -> Document:
    """Return what a project holds as one JSON-ready document.

    Times are ISO 8601 with their offset, ids are texts, and numbers have their unit in their name.
    A grade is null where nobody could see the leak, and then its word says so; ``nothing_noticed``
    tells a photographed zone with nothing marked from one that nobody looked at.
    """
    with project.read() as reader:
        engines = [EngineRecords(reader, engine.id) for engine in reader.all(Engine)]
        return {
            "format": "leaktrack-summary",
            "version": 1,
            "engines": [_engine(records) for records in engines],
        }


def _engine(records: EngineRecords) -> Document:
    engine = records.engine
    return {
        "id": str(engine.id),
        "name": engine.name,
        "description": engine.description,
        "oil_capacity_ml": engine.oil_capacity_ml,
        "zones": _zones(records),
        "joints": [_joint(records, joint) for joint in records.joints],
        "jobs": [_job(records, job) for job in records.jobs],
        "runs": [_run(run) for run in records.runs],
        "inspections": _inspections(records),
        "leaks": [_leak(records, leak) for leak in records.leaks],
        "redo": _redo(records),
    }


def _zones(records: EngineRecords) -> list[Document]:
    faces = {face.id: face for face in records.faces}
    photos = grouped(records.photos.values(), lambda photo: photo.zone_id)
    return [
        {
            "id": str(zone.id),
            "name": zone.name,
            "face": faces[zone.face_id].name,
            "side": faces[zone.face_id].side.value,
            "photos": len(photos.get(zone.id, ())),
            "grades": [
                _grade(one.id, records.table.zone_grade(zone.id, one.id))
                for one in records.inspections
            ],
        }
        for zone in records.zones
    ]


def _joint(records: EngineRecords, joint: Joint) -> Document:
    return {
        "id": str(joint.id),
        "zone_id": str(joint.zone_id),
        "name": joint.name,
        "seal_kind": joint.seal_kind.value,
        "is_closed": joint.is_closed,
        "length_mm": joint.length_mm,
        "gap_mm": joint.gap_mm,
        "face_mm": joint.face_mm,
        "bolts": len(records.bolts.get(joint.id, ())),
    }


def _job(records: EngineRecords, job: SealingJob) -> Document:
    material = records.materials.get(job.material_id) if job.material_id else None
    later = records.job_after(job)
    return {
        "id": str(job.id),
        "joint_id": str(job.joint_id),
        "joint": records.joint_by_id[job.joint_id].name,
        "done_at": job.done_at.isoformat(),
        "material": material.name if material else None,
        "evidence": len(records.evidence.get(job.id, ())),
        "superseded_by": str(later.id) if later else None,
        "deviations": [
            {
                "kind": one.kind.value,
                "subject": one.subject,
                "actual": one.actual,
                "allowed": one.allowed,
                "unit": one.unit,
                "sentence": deviation_sentence(one),
            }
            for one in records.deviations[job.id]
        ],
    }


def _run(run: TestRun) -> Document:
    return {
        "id": str(run.id),
        "started_at": run.started_at.isoformat(),
        "minutes": run.minutes,
        "oil_c": run.oil_c,
        "unknown": list(run.unknown_facts),
    }


def _inspections(records: EngineRecords) -> list[Document]:
    photos = grouped(records.photos.values(), lambda photo: photo.inspection_id)
    return [_inspection(records, one, len(photos.get(one.id, ()))) for one in records.inspections]


def _inspection(records: EngineRecords, inspection: Inspection, photo_count: int) -> Document:
    return {
        "id": str(inspection.id),
        "looked_at": inspection.looked_at.isoformat(),
        "title": inspection.title,
        "is_baseline": inspection.is_baseline,
        "run_id": str(inspection.test_run_id) if inspection.test_run_id else None,
        "engine_hours": inspection.engine_hours,
        "oil_c": inspection.oil_c,
        "photos": photo_count,
        "worst": _grade(inspection.id, records.table.worst_grade(inspection.id)),
        "warnings": [
            {"kind": one.kind.value, "sentence": word(one.kind)}
            for one in warnings_at(records, inspection)
        ],
        "unknown": list(inspection.unknown_facts),
    }


def _leak(records: EngineRecords, leak: Leak) -> Document:
    joint = records.joint_by_id.get(leak.joint_id) if leak.joint_id else None
    zone = next(zone for zone in records.zones if zone.id == leak.zone_id)
    return {
        "id": str(leak.id),
        "number": leak.number,
        "zone_id": str(leak.zone_id),
        "zone": zone.name,
        "joint_id": str(joint.id) if joint else None,
        "grades": [_sighting(records, leak, one) for one in records.inspections],
        "causes": [_cause(records, one) for one in records.causes if one.leak_id == leak.id],
        "latest": _latest(records, leak, joint),
    }


def _sighting(records: EngineRecords, leak: Leak, inspection: Inspection) -> Document:
    seen = records.table.sighting(leak, inspection.id)
    return {
        **_grade(inspection.id, seen.grade),
        "nothing_noticed": seen.nothing_noticed,
        "area_mm2": seen.area_mm2,
        "extent_mm": seen.extent_mm,
    }


def _latest(records: EngineRecords, leak: Leak, joint: Joint | None) -> Document | None:
    """Return what the last look that saw the leak means in published words; None without one."""
    seen = [
        one.id
        for one in records.inspections
        if records.table.grade(leak.id, one.id) is not SeepageGrade.NOT_SEEN
    ]
    if not seen:
        return None
    last = records.table.sighting(leak, seen[-1])
    classes = published(last.grade)
    fluid = last.mark.fluid if last.mark else Fluid.UNKNOWN
    judged = verdict(last.grade, joint.seal_kind if joint else None, fluid)
    return {
        "is_wet": is_wet(last.grade),
        "fluid": fluid.value,
        "pmcs": classes.pmcs.value if classes and classes.pmcs else None,
        "iso_tr_11340": classes.iso_tr_11340 if classes else None,
        "din_3761": [term.value for term in classes.din_3761] if classes else [],
        "verdict": judged.verdict.value,
        "because": judged.reason,
        **_grade(last.inspection_id, last.grade),
    }


def _cause(records: EngineRecords, cause: Cause) -> Document:
    job = next(job for job in records.jobs if job.id == cause.sealing_job_id)
    bolts = {bolt.id: bolt.number for bolt in records.bolts.get(job.joint_id, ())}
    return {
        "sealing_job_id": str(cause.sealing_job_id),
        "joint": records.joint_by_id[job.joint_id].name,
        "bolt": bolts.get(cause.bolt_id) if cause.bolt_id else None,
        "state": cause.state.value,
        "reason": cause.reason,
        "decided_at": cause.decided_at.isoformat(),
        "decided_by": cause.decided_by,
    }


def _redo(records: EngineRecords) -> Document:
    """Return the redo list; where it cannot be worked out, the state and the reason instead."""
    try:
        wanted = redo_list_of(records)
    except LeakTrackError as error:  # the rest of the document still holds
        return {"state": "failed", "reason": str(error)}
    return {"state": "listed", **redo_document(wanted)}


def redo_document(wanted: RedoList) -> Document:
    """Return a redo list as a JSON-ready document."""
    return {
        "tasks": [
            {
                "id": str(one.task.id),
                "name": one.task.name,
                "joint_id": str(one.task.joint_id) if one.task.joint_id else None,
                "reasons": [
                    {"reason": reason.value, "about_id": str(about)}
                    for reason, about in one.reasons
                ],
                "alone_hours": one.alone_hours,
                "added_hours": one.added_hours,
                "cure_h": one.task.cure_h,
            }
            for one in wanted.tasks
        ],
        "steps": [{"id": str(step.id), "name": step.name} for step in wanted.steps],
        "without_task": [
            {"reason": reason.value, "id": str(about)} for reason, about in wanted.without_task
        ],
        "hours": wanted.hours,
        "alone_hours": wanted.alone_hours,
        "money": wanted.money,
        "cure_h": wanted.cure_h,
        "cautions": [word(caution) for caution in wanted.cautions],
    }


def _grade(inspection_id: UUID, grade: SeepageGrade) -> Document:
    return {
        "inspection_id": str(inspection_id),
        "grade": wetness(grade),
        "word": word(grade),
        "text": grade_words(grade),
    }
