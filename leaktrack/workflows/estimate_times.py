"""Estimate how long the work of a teardown takes, by the times that were recorded before."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from statistics import median, stdev
from uuid import UUID

from leaktrack.model.redo_plan import AccessStep, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import WorkEstimate, WorkTime
from leaktrack.workflows.find_engine import Reader

ENOUGH = 3
"""Recorded times from which on what was written down counts no more; before, it counts as one of
them. Own proposal: of two times, neither can be told to be the odd one."""

Estimates = Mapping[tuple[UUID, WorkKind], WorkEstimate]
Times = Mapping[tuple[str, WorkKind], Sequence[float]]
"""Recorded hours by what they are called, see ``called``, and what was done."""


def called(record: AccessStep | RedoTask) -> str:
    """Return by what the times of a step or task are found on other engines.

    That is what it was taken from in the library, else its name, whatever its capitals.
    """
    return f"#{record.template}" if record.template else " ".join(record.name.casefold().split())


def recorded_times(reader: Reader) -> Times:
    """Return all hours recorded in the project, over all its engines."""
    name_of = {step.id: called(step) for step in reader.all(AccessStep)}
    name_of |= {task.id: called(task) for task in reader.all(RedoTask)}
    found: dict[tuple[str, WorkKind], list[float]] = defaultdict(list)
    for time in reader.all(WorkTime):
        record_id = time.access_step_id or time.redo_task_id
        if record_id in name_of:
            found[name_of[record_id], time.kind].append(time.hours)
    return found


def estimate(written_hours: float, times: Sequence[float]) -> WorkEstimate:
    """Return how long a piece of work takes: the median of what was recorded.

    Written hours of 0 are no estimate, as soon as there is a recorded time.

    >>> estimate(2.0, []).hours, estimate(2.0, [3.0]).hours, estimate(2.0, [3.0, 3.5, 9.0]).hours
    (2.0, 2.5, 3.5)
    """
    is_known = len(times) >= ENOUGH or (times and not written_hours)
    heard = list(times) if is_known else [written_hours, *times]
    return WorkEstimate(
        hours=round(median(heard), 4),
        written_hours=written_hours,
        count=len(times),
        spread_h=stdev(times) if len(times) > 1 else None,
    )


def estimates(
    steps: Sequence[AccessStep], tasks: Sequence[RedoTask], times: Times
) -> dict[tuple[UUID, WorkKind], WorkEstimate]:
    """Return how long each piece of work takes, by the id of its step or task."""
    found: dict[tuple[UUID, WorkKind], WorkEstimate] = {}
    for step in steps:
        for kind, hours in (
            (WorkKind.TAKE_OFF, step.hours),
            (WorkKind.REFIT, step.refit_hours),
        ):
            found[step.id, kind] = estimate(hours, times.get((called(step), kind), ()))
    for task in tasks:
        heard = times.get((called(task), WorkKind.TASK), ())
        found[task.id, WorkKind.TASK] = estimate(task.hours, heard)
    return found


def timed_step(step: AccessStep, known: Estimates) -> AccessStep:
    """Return a step with the hours that are reckoned with."""
    return replace(
        step,
        hours=known[step.id, WorkKind.TAKE_OFF].hours,
        refit_hours=known[step.id, WorkKind.REFIT].hours,
    )


def timed_task(task: RedoTask, known: Estimates) -> RedoTask:
    """Return a task with the hours that are reckoned with."""
    return replace(task, hours=known[task.id, WorkKind.TASK].hours)
