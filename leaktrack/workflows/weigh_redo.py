"""Weigh all open tasks of an engine against what they cost in one teardown."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.analysis.redoing import benefiting
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.redo_benefit import Benefit, ChanceFrom, WeighedRedo, WeighedTask
from leaktrack.model.redo_plan import AccessStep, RedoTask, TaskReason
from leaktrack.model.redo_problem import RedoProblem, Step, Task
from leaktrack.model.trace import Candidate, CauseState, Trace
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.plan_redo import reason_of
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.read_weights import weights
from leaktrack.workflows.solve_redo import solved
from leaktrack.workflows.suspect_jobs import history_of
from leaktrack.workflows.trace_leak import trace_of

_CHANCE_OF_CHECK = {
    TaskReason.CHECK_FAILED: ChanceFrom.CHECK_FAILED,
    TaskReason.CHECK_OPEN: ChanceFrom.CHECK_OPEN,
    TaskReason.RIDES_ALONG: ChanceFrom.RIDES_ALONG,
}


@dataclass(frozen=True, slots=True)
class Terms:
    """On what terms work is weighed.

    Attributes:
        hour_rate: Money for an hour of labour.
        mess: Money for what a leak costs beside the work on it.
        hours_budget: Upper limit on all labour.
        money_budget: Upper limit on parts and fluids.
    """

    hour_rate: float = benefiting.HOUR_RATE
    mess: float = benefiting.MESS_MONEY
    workers: int = 1
    hours_budget: float | None = None
    money_budget: float | None = None


def weighed_redo(
    project: Project, engine_id: UUID, terms: Terms = Terms(), progress: Progress = silent
) -> WeighedRedo:
    """Return which open tasks are worth doing in one teardown, in which order, and why.

    What doing a task now is worth is the expected cost of leaving it: how likely its joint leaks on
    or again, times a separate teardown for it later, from a whole engine, by the cheapest way in.

    Raises:
        BadInput: A file of weights cannot be used.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such engine, or a step that something needs.
    """
    weighed = weights(project)
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        traces = [trace_of(records, leak, weighed) for leak in records.leaks]
        open_tasks = [task for task in records.tasks if not task.is_done]
        benefits = list(_benefits(records, open_tasks, traces, terms))
        problem = _problem(open_tasks, _steps(records.steps), benefits, terms)
    return WeighedRedo(
        tuple(map(WeighedTask, open_tasks, benefits)),
        solved(problem, progress),
    )


def _benefits(
    records: EngineRecords, tasks: Sequence[RedoTask], traces: Sequence[Trace], terms: Terms
) -> Iterator[Benefit]:
    # Later, the engine is whole again: nothing is off.
    later = _steps(records.steps, is_whole=True)
    alone = _alone(tasks, later, terms)
    for task in tasks:
        chance, said_by, about = _chance(records, task, traces)
        hours, money = alone[task.id]
        yield Benefit(
            chance=chance,
            chance_from=said_by,
            about_ids=about,
            later_hours=hours,
            later_money=money,
            mess=terms.mess if task.joint_id else 0.0,
            hour_rate=terms.hour_rate,
        )


def _alone(
    tasks: Sequence[RedoTask], steps: Sequence[Step], terms: Terms
) -> dict[UUID, tuple[float, float]]:
    """Return labour and money of each task as a job of its own, by the cheapest way in."""
    from leaktrack.analysis.redoing.choosing import Chooser

    problem = RedoProblem(
        steps=tuple(steps),
        tasks=tuple(_task(task, 0.0) for task in tasks),
        hour_rate=terms.hour_rate,
    )
    chooser = Chooser(problem)
    found = {}
    for task in tasks:
        selection = chooser.cheapest(frozenset([str(task.id)]))
        assert selection is not None  # no budgets, and every need is there
        costs = chooser.costs
        found[task.id] = (float(costs.labour(selection)), float(costs.spent(selection)))
    return found


def _chance(
    records: EngineRecords, task: RedoTask, traces: Sequence[Trace]
) -> tuple[float, ChanceFrom, tuple[UUID, ...]]:
    """Return how likely a task asks for work later, what says so, and about which records."""
    if task.joint_id is not None:
        leaks = [
            (trace.leak.id, chance, grade)
            for trace in traces
            for chance, grade in [
                (_comes_from(records, trace, task.joint_id), _grade(records, trace))
            ]
            if chance > 0 and benefiting.GOES_ON.get(grade)
        ]
        dry = _dry(records, task.joint_id)
        chance = benefiting.of_leaks([(one, grade) for _, one, grade in leaks], dry)
        about = tuple(leak_id for leak_id, one, _ in leaks if one >= 0.1)
        return chance, ChanceFrom.LEAKS if about else ChanceFrom.HISTORY, about
    check = next((one for one in records.checks if one.id == task.check_id), None)
    reason = reason_of(check) if check is not None else None
    said_by = _CHANCE_OF_CHECK.get(reason or TaskReason.RIDES_ALONG, ChanceFrom.RIDES_ALONG)
    about = (check.id,) if check is not None else ()
    return benefiting.CHECK_CHANCES[said_by], said_by, about


def _comes_from(records: EngineRecords, trace: Trace, joint_id: UUID) -> float:
    """Return the chance that a leak comes from a joint as it is sealed now.

    A job that was redone counts only where the leak was looked at since: then what leaked before
    leaks still.
    """
    seen_at = _last_seen(records, trace)
    here = [
        one
        for one in trace.candidates
        if one.joint.id == joint_id and _does_count(records, one, seen_at)
    ]
    confirmed = [one for one in trace.candidates if _is_confirmed(one)]
    if confirmed:
        return float(any(_is_confirmed(one) for one in here))
    without_job = [
        one.chance for one in trace.others if one.joint is not None and one.joint.id == joint_id
    ]
    return min(1.0, sum(one.chance for one in here) + sum(without_job))


def _does_count(records: EngineRecords, one: Candidate, seen_at: datetime | None) -> bool:
    redone = records.job_after(one.job)
    return redone is None or (seen_at is not None and seen_at > redone.done_at)


def _is_confirmed(one: Candidate) -> bool:
    return one.verdict is not None and one.verdict.state is CauseState.CONFIRMED


def _last_seen(records: EngineRecords, trace: Trace) -> datetime | None:
    """Return when the place was last seen, wet or dry."""
    seen = [
        inspection.looked_at
        for inspection in records.inspections
        if records.table.grade(trace.leak.id, inspection.id) is not SeepageGrade.NOT_SEEN
    ]
    return seen[-1] if seen else None


def _grade(records: EngineRecords, trace: Trace) -> SeepageGrade:
    """Return the grade of the last look that saw the place."""
    seen = [
        grade for grade in records.table.grades(trace.leak.id) if grade is not SeepageGrade.NOT_SEEN
    ]
    return seen[-1] if seen else SeepageGrade.NOT_SEEN


def _dry(records: EngineRecords, joint_id: UUID) -> float:
    history = history_of(records, records.joint_by_id[joint_id].seal_kind)
    return benefiting.of_history(history.leaks, history.jobs)


def _steps(steps: Sequence[AccessStep], *, is_whole: bool = False) -> tuple[Step, ...]:
    """Return access steps; what a step needed that is off is off as well."""
    by_id = {step.id: step for step in steps}
    off: set[UUID] = set()
    waiting = [] if is_whole else [step.id for step in steps if step.is_done]
    while waiting:
        step_id = waiting.pop()
        if step_id not in off:
            off.add(step_id)
            waiting += by_id[step_id].needs
    return tuple(
        Step(
            id=str(step.id),
            hours=step.hours,
            refit_hours=step.refit_hours,
            money=step.money,
            is_done=step.id in off,
            needs=tuple(str(need) for need in step.needs),
        )
        for step in steps
    )


def _problem(
    tasks: Sequence[RedoTask], steps: Sequence[Step], benefits: Sequence[Benefit], terms: Terms
) -> RedoProblem:
    return RedoProblem(
        steps=tuple(steps),
        tasks=tuple(
            _task(task, benefit.worth) for task, benefit in zip(tasks, benefits, strict=True)
        ),
        hour_rate=terms.hour_rate,
        workers=terms.workers,
        hours_budget=terms.hours_budget,
        money_budget=terms.money_budget,
    )


def _task(task: RedoTask, worth: float) -> Task:
    return Task(
        id=str(task.id),
        hours=task.hours,
        benefit=round(worth, 2),
        money=task.money,
        cure_h=task.cure_h,
        needs=tuple(str(need) for need in task.needs),
    )
