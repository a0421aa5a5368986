"""Settle how a teardown is planned: its terms, what must be and what never, what is done."""

from dataclasses import replace
from datetime import UTC, datetime
from math import isfinite
from uuid import UUID

from leaktrack.model.engine import Engine
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms, WorkTime
from leaktrack.workflows.check_input import check_aware
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.project import Project

_MOST_WORKERS = 1000
_MOST_DAY_HOURS = 24.0
_MOST_HOURS = 10_000.0
"""Own judgement: beyond this somebody mixed up the unit."""


def terms_of(reader: Reader, engine_id: UUID) -> RedoTerms:
    """Return the terms that were settled for an engine; the usual ones where none were."""
    return next(iter(reader.all(RedoTerms, engine_id=engine_id)), RedoTerms(engine_id=engine_id))


def settle_terms(project: Project, terms: RedoTerms) -> Edit:
    """Return the edit that keeps the terms of an engine, in place of those it has.

    Raises:
        BadInput: A number cannot be right; it is named.
        MissingRecord: There is no such engine.
    """
    check_terms(terms)
    project.get(Engine, terms.engine_id)
    found = project.all(RedoTerms, engine_id=terms.engine_id)
    return replaced(found[0], replace(terms, id=found[0].id)) if found else added(terms)


def check_terms(terms: RedoTerms) -> None:
    """Refuse terms that cannot be right.

    Raises:
        BadInput: The first such number, named.
    """
    amounts = (
        ("hour rate", terms.hour_rate),
        ("money for the mess of a leak", terms.mess),
        ("hours budget", terms.hours_budget),
        ("money budget", terms.money_budget),
    )
    for name, number in amounts:
        if number is not None and not (isfinite(number) and number >= 0):
            raise BadInput(
                f"The {name} is {number:g}, but must be 0 or more. Nothing was weighed or changed."
            )
    if not 1 <= terms.workers <= _MOST_WORKERS:
        raise BadInput(
            f"{terms.workers} people cannot do it. Name 1 to {_MOST_WORKERS}. Nothing was weighed "
            "or changed."
        )
    if not 0 < terms.day_hours <= _MOST_DAY_HOURS:
        raise BadInput(
            f"A day of {terms.day_hours:g} h of work cannot be. Name more than 0 and at most "
            f"{_MOST_DAY_HOURS:g}. Nothing was weighed or changed."
        )


def decide(project: Project, task_id: UUID, decision: RedoDecision) -> Edit:
    """Return the edit by which a task must be done, is never done, or is left to be weighed.

    Raises:
        MissingRecord: There is no such task.
    """
    task = project.get(RedoTask, task_id)
    return replaced(task, replace(task, decision=decision))


def tick_off(
    project: Project,
    record_id: UUID,
    kind: WorkKind,
    hours: float | None = None,
    *,
    done_at: datetime | None = None,
    done_by: str = "",
    note: str = "",
) -> Edit:
    """Return the edit by which a piece of work is done, with the hours it took if they are known.

    A step that was taken off is off from then on; one that was refitted is on again.

    Args:
        project: The open project.
        record_id: Of the access step or the task.
        kind: What was done of it.
        hours: Person-hours that it took.
        done_at: Now, if it is not told.
        done_by: Who did it.
        note: What to remember of it.

    Raises:
        BadInput: It is a cure, the kind does not fit the record, or hours or time cannot be.
        MissingRecord: There is no such step or task.
    """
    step = project.find(AccessStep, record_id)
    task = None if step is not None else project.find(RedoTask, record_id)
    record = step or task
    if record is None:
        raise MissingRecord(
            "The step or task that was to be ticked off is not there any more. Nothing was "
            "changed; read the plan again."
        )
    fitting = (WorkKind.TAKE_OFF, WorkKind.REFIT) if step is not None else (WorkKind.TASK,)
    if kind not in fitting:
        raise BadInput(
            f"{record.name} cannot be ticked off as '{kind.value}'. Nothing was changed. Tick off "
            "a step as taken off or refitted, a task as done; a cure ends by itself."
        )
    is_done = kind is not WorkKind.REFIT
    edit = replaced(record, replace(record, is_done=is_done))
    if hours is None:
        return edit
    time = WorkTime(
        engine_id=record.engine_id,
        access_step_id=None if step is None else step.id,
        redo_task_id=None if task is None else task.id,
        kind=kind,
        hours=hours,
        done_at=done_at or datetime.now(UTC),
        done_by=done_by.strip(),
        note=note.strip(),
    )
    _check_time(record.name, time)
    return edit.then(added(time))


def _check_time(name: str, time: WorkTime) -> None:
    if not (isfinite(time.hours) and 0 <= time.hours <= _MOST_HOURS):
        raise BadInput(
            f"{name} cannot have taken {time.hours:g} h. Type hours from 0 to {_MOST_HOURS:g}; "
            "nothing was ticked off."
        )
    check_aware(time.done_at, "time it was done")
