"""View the logbook: what happened to the engine, newest first."""

from datetime import UTC, datetime
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.model.inspection import Check, CheckResult, Inspection, TestRun, missing_facts
from leaktrack.model.logbook import EntryKind, LogbookEntry
from leaktrack.model.redo_plan import RedoPlan
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.units import figure
from leaktrack.model.words import word
from leaktrack.workflows.gather_engine import EngineRecords, grouped
from leaktrack.workflows.project import Project


def logbook(project: Project, engine_id: UUID) -> tuple[LogbookEntry, ...]:
    """Return every dated entry of an engine, newest first; open checks, without a date, on top.

    An entry needs attention where a fact is neither given nor marked unknown, where a sealing job
    departs from its rule, and where a check is open or failed.

    Raises:
        MissingRecord: There is no such engine.
    """
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        photos = grouped(records.photos.values(), lambda photo: photo.inspection_id)
        entries = [
            *(_job_entry(records, job) for job in records.jobs),
            *(_run_entry(run) for run in records.runs),
            *(
                _inspection_entry(records, one, len(photos.get(one.id, ())))
                for one in records.inspections
            ),
            *(_check_entry(check) for check in records.checks),
            *(_plan_entry(plan) for plan in records.plans),
        ]
    last = datetime.max.replace(tzinfo=UTC)
    return tuple(sorted(entries, key=lambda entry: entry.at or last, reverse=True))


def _job_entry(records: EngineRecords, job: SealingJob) -> LogbookEntry:
    material = records.materials.get(job.material_id) if job.material_id else None
    shown = len(records.evidence.get(job.id, ()))
    return LogbookEntry(
        EntryKind.SEALING_JOB,
        job.id,
        job.done_at,
        records.joint_by_id[job.joint_id].name,
        _joined(material.name if material else "", f"{shown} photos and spans" if shown else ""),
        needs_attention=bool(records.deviations[job.id]),
    )


def _run_entry(run: TestRun) -> LogbookEntry:
    return LogbookEntry(
        EntryKind.TEST_RUN,
        run.id,
        run.started_at,
        "Test run",
        _joined(
            f"{run.minutes:g} min" if run.minutes is not None else "",
            f"oil {figure(run.oil_c, '°C')}" if run.oil_c is not None else "",
            run.load,
        ),
        needs_attention=bool(missing_facts(run)),
    )


def _inspection_entry(
    records: EngineRecords, inspection: Inspection, photo_count: int
) -> LogbookEntry:
    wet = sum(is_wet(records.table.grade(leak.id, inspection.id)) for leak in records.leaks)
    return LogbookEntry(
        EntryKind.INSPECTION,
        inspection.id,
        inspection.looked_at,
        inspection.title or ("Baseline" if inspection.is_baseline else "Inspection"),
        _joined(_count(photo_count, "photo"), f"{_count(wet, 'leak')} wet" if wet else ""),
        grade=records.table.worst_grade(inspection.id),
        needs_attention=bool(missing_facts(inspection)),
    )


def _check_entry(check: Check) -> LogbookEntry:
    return LogbookEntry(
        EntryKind.CHECK,
        check.id,
        check.done_at,
        check.name,
        _joined(word(check.result), check.finding),
        needs_attention=check.result is not CheckResult.PASSED,
    )


def _plan_entry(plan: RedoPlan) -> LogbookEntry:
    return LogbookEntry(
        EntryKind.REDO_PLAN,
        plan.id,
        plan.made_at,
        "Redo plan",
        _joined(_count(len(plan.task_ids), "task"), f"{plan.hours:g} h", plan.note),
    )


def _count(number: int, name: str) -> str:
    return f"{number} {name}" if number == 1 else f"{number} {name}s"


def _joined(*pieces: str) -> str:
    return ", ".join(piece for piece in pieces if piece)
