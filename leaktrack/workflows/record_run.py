"""Record test runs, inspections and checks; facts that nobody can tell are marked unknown.

Nothing is ever filled in by the program: a fact is given, unknown, or still to be asked for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import TypeVar
from uuid import UUID

from leaktrack.model.engine import Engine, Joint
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import (
    Check,
    CheckResult,
    Inspection,
    Reading,
    TestRun,
    missing_facts,
)
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.sealing_job import SealingJob
from leaktrack.workflows.change_list import list_edit
from leaktrack.workflows.check_input import check_record, checked_text, field_words
from leaktrack.workflows.project import Project
from leaktrack.workflows.remove_records import removal

Asked = TypeVar("Asked", TestRun, Inspection, SealingJob)
"""Records that can say of a fact that nobody knows it."""


@dataclass(frozen=True, slots=True)
class Missing:
    """A record with the facts still to be asked for, in the order in which to ask."""

    record: TestRun | Inspection
    facts: tuple[str, ...]


def record_run(project: Project, run: TestRun, readings: Sequence[Reading] = ()) -> Edit:
    """Return the edit that adds a test run with its readings.

    Raises:
        BadInput: A number is out of reason or a time without zone.
        MissingRecord: There is no such engine.
    """
    project.get(Engine, run.engine_id)
    run = _known_again(run)
    check_record(run)
    return added(run, *_readings(readings, test_run_id=run.id))


def record_inspection(
    project: Project, inspection: Inspection, readings: Sequence[Reading] = ()
) -> Edit:
    """Return the edit that adds an inspection with its readings.

    Raises:
        BadInput: A number is out of reason, a time without zone, it was cleaned after the look, or
            a baseline after a run.
        MissingRecord: Engine or test run is not there.
    """
    inspection = _known_again(inspection)
    _check_inspection(project, inspection)
    return added(inspection, *_readings(readings, inspection_id=inspection.id))


def record_check(project: Project, check: Check) -> Edit:
    """Return the edit that adds a check.

    Raises:
        BadInput: It has no name, or result and time contradict each other.
        MissingRecord: Engine or joint is not there.
    """
    _check_check(project, check)
    return added(check)


def amend_run(project: Project, before: TestRun, after: TestRun) -> Edit:
    """Return the edit that puts a changed run in place; raises as ``record_run``."""
    project.get(Engine, after.engine_id)
    after = _known_again(after)
    check_record(after)
    return replaced(before, after)


def amend_inspection(project: Project, before: Inspection, after: Inspection) -> Edit:
    """Return the edit that puts a changed inspection in place; raises as ``record_inspection``."""
    after = _known_again(after)
    _check_inspection(project, after)
    return replaced(before, after)


def amend_check(project: Project, before: Check, after: Check) -> Edit:
    """Return the edit that puts a changed check in place; raises as ``record_check``."""
    _check_check(project, after)
    return replaced(before, after)


def set_readings(
    project: Project,
    readings: Sequence[Reading],
    *,
    test_run_id: UUID | None = None,
    inspection_id: UUID | None = None,
) -> Edit:
    """Return the edit that leaves exactly these readings on a run or an inspection.

    Raises:
        BadInput: Not exactly one of run and inspection, or a reading without name.
        MissingRecord: The run or inspection is not there.
    """
    if (test_run_id is None) == (inspection_id is None):
        raise BadInput("Readings belong to one test run or to one inspection. Choose one.")
    if test_run_id is not None:
        project.get(TestRun, test_run_id)
        before = project.all(Reading, test_run_id=test_run_id)
    else:
        before = project.all(Reading, inspection_id=inspection_id)
    after = _readings(readings, test_run_id=test_run_id, inspection_id=inspection_id)
    return list_edit(before, after)


def remove_run(project: Project, run_id: UUID) -> Edit:
    """Return the edit that removes a run with its readings; refused while inspections name it."""
    run = project.get(TestRun, run_id)
    return removal(project, run, f"test run of {run.started_at.astimezone():%Y-%m-%d}")


def remove_inspection(project: Project, inspection_id: UUID) -> Edit:
    """Return the edit that removes an inspection; refused while photos belong to it."""
    inspection = project.get(Inspection, inspection_id)
    day = f"{inspection.looked_at.astimezone():%Y-%m-%d}"
    return removal(project, inspection, f"inspection of {day}")


def remove_check(project: Project, check_id: UUID) -> Edit:
    """Return the edit that removes a check; refused while photos or redo tasks name it."""
    check = project.get(Check, check_id)
    return removal(project, check, f"check '{check.name}'")


def mark_unknown(project: Project, record: Asked, names: Sequence[str]) -> Edit:
    """Return the edit that notes of facts that somebody was asked and could not tell.

    Args:
        project: The open project.
        record: A run, an inspection or a sealing job; read again from the project.
        names: Field names of the facts.

    Raises:
        BadInput: The record has no such fact, or the fact is known.
        MissingRecord: The record is not there.
    """
    before: Asked = project.get(type(record), record.id)
    known_names = {field.name for field in fields(before)}
    for name in names:
        if name not in known_names:
            raise BadInput(f"There is no fact called '{name}' here. Check the spelling.")
        if getattr(before, name) not in (None, ""):
            raise BadInput(
                f"The {field_words(name)} is known already. Empty the field first if it is wrong."
            )
    unknown = tuple(dict.fromkeys((*before.unknown_facts, *names)))
    return replaced(before, replace(before, unknown_facts=unknown))


def missing(project: Project) -> tuple[Missing, ...]:
    """Return the runs and inspections with facts still to be asked for, oldest first."""
    with project.read() as records:
        runs = records.all(TestRun)
        inspections = records.all(Inspection)
    dated: list[TestRun | Inspection] = [*runs, *inspections]
    dated.sort(key=lambda record: (_at(record), record.id))
    asked = (Missing(record, missing_facts(record)) for record in dated)
    return tuple(item for item in asked if item.facts)


def _at(record: TestRun | Inspection) -> float:
    at = record.started_at if isinstance(record, TestRun) else record.looked_at
    return at.timestamp()


def _known_again(record: Asked) -> Asked:
    """Drop "unknown" from facts that are given: whoever types a value knows it now."""
    unknown = tuple(
        name for name in record.unknown_facts if getattr(record, name, None) in (None, "")
    )
    return replace(record, unknown_facts=unknown)


def _readings(
    readings: Sequence[Reading],
    *,
    test_run_id: UUID | None = None,
    inspection_id: UUID | None = None,
) -> list[Reading]:
    own = [
        replace(
            reading,
            name=checked_text(reading.name, "reading"),
            test_run_id=test_run_id,
            inspection_id=inspection_id,
        )
        for reading in readings
    ]
    for reading in own:
        check_record(reading)
    return own


def _check_inspection(project: Project, inspection: Inspection) -> None:
    check_record(inspection)
    project.get(Engine, inspection.engine_id)
    if inspection.cleaned_at and inspection.cleaned_at > inspection.looked_at:
        raise BadInput(
            "The engine was cleaned after this look at it. Give the cleaning before the look."
        )
    if inspection.test_run_id is None:
        return
    run = project.get(TestRun, inspection.test_run_id)
    if inspection.is_baseline:
        raise BadInput(
            "A baseline is made before any run, but this inspection names one. "
            "Take the run away, or do not call it a baseline."
        )
    if run.started_at > inspection.looked_at:
        raise BadInput(
            "The inspection is dated before the run it follows. Correct one of the two times."
        )


def _check_check(project: Project, check: Check) -> None:
    checked_text(check.name, "check")
    check_record(check)
    project.get(Engine, check.engine_id)
    if check.joint_id is not None:
        project.get(Joint, check.joint_id)
    if check.result is CheckResult.OPEN and check.done_at is not None:
        raise BadInput(
            "The check is dated but still open. "
            "Say whether it passed or failed, or take the date away."
        )
