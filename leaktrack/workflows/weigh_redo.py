"""Weigh all open tasks of an engine against what they cost in one teardown."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from uuid import UUID

from leaktrack.analysis.redoing.stating import steps_of, task_of
from leaktrack.model.redo_benefit import Benefit, Factor, Standing, WeighedRedo, WeighedTask
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoTask
from leaktrack.model.redo_problem import RedoProblem, Step
from leaktrack.model.redo_terms import HOUR_RATE, MESS_MONEY, RedoTerms
from leaktrack.model.trace import Trace
from leaktrack.workflows.estimate_times import (
    Estimates,
    estimates,
    recorded_times,
    timed_step,
    timed_task,
)
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.foresee_leaks import Foreseen, foreseen, workshop_histories
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.read_weights import weights
from leaktrack.workflows.settle_redo import check_terms, terms_of
from leaktrack.workflows.solve_redo import solved
from leaktrack.workflows.trace_leak import trace_of

_USUAL = {"hour_rate": HOUR_RATE, "mess": MESS_MONEY}
_BUDGETS = {
    "hours_budget": "the hours budget of the terms",
    "money_budget": "the money budget of the terms",
}
_Later = Mapping[UUID, tuple[float, float]]
_UNDECIDED: Mapping[UUID, RedoDecision] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class RedoInputs:
    """What a teardown is weighed by, gathered once; to be weighed again as often as wanted.

    Attributes:
        tasks: The open ones, with the hours that are reckoned with.
        steps: All of the engine, likewise.
        foreseen: How likely each task asks for work later, by its id.
        estimates: How long each piece of work takes, done tasks among them.
        terms: Those settled for the engine, or the usual ones.
        later: Labour and money of each task as a job of its own, by hour rates asked for so far.
    """

    tasks: tuple[RedoTask, ...]
    steps: tuple[AccessStep, ...]
    foreseen: Mapping[UUID, Foreseen]
    estimates: Estimates
    terms: RedoTerms
    later: dict[float, _Later] = field(default_factory=dict, compare=False, repr=False)


def weighed_redo(
    project: Project,
    engine_id: UUID,
    terms: RedoTerms | None = None,
    progress: Progress = silent,
) -> WeighedRedo:
    """Return which open tasks are worth doing in one teardown, in which order, and why.

    What doing a task now is worth is the expected cost of leaving it: how likely its joint leaks on
    or again, times a separate teardown for it later, from a whole engine, by the cheapest way in.

    Args:
        project: The open project.
        engine_id: Whose teardown it is.
        terms: In place of those settled for the engine.
        progress: Called as it goes on.

    Raises:
        BadInput: A file of weights, or a number of the terms, cannot be used.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such engine, or a step that something needs.
    """
    return weighed(redo_inputs(project, engine_id), terms, progress=progress)


def redo_inputs(project: Project, engine_id: UUID) -> RedoInputs:
    """Return what the teardown of an engine is weighed by.

    Raises:
        BadInput: A file of weights cannot be used.
        MissingRecord: There is no such engine.
    """
    weighting = weights(project)
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        traces = [trace_of(records, leak, weighting) for leak in records.leaks]
        return redo_inputs_of(reader, records, traces)


def redo_inputs_of(reader: Reader, records: EngineRecords, traces: Sequence[Trace]) -> RedoInputs:
    """Return the same from records and traces of all leaks at hand."""
    histories = workshop_histories(reader, records)
    known = estimates(records.steps, records.tasks, recorded_times(reader))
    tasks = tuple(timed_task(task, known) for task in records.tasks if not task.is_done)
    return RedoInputs(
        tasks=tasks,
        steps=tuple(timed_step(step, known) for step in records.steps),
        foreseen={task.id: foreseen(records, task, traces, histories) for task in tasks},
        estimates=known,
        terms=terms_of(reader, records.engine.id),
    )


def weighed(
    inputs: RedoInputs,
    terms: RedoTerms | None = None,
    decisions: Mapping[UUID, RedoDecision] = _UNDECIDED,
    *,
    is_explained: bool = True,
    progress: Progress = silent,
) -> WeighedRedo:
    """Return the best choice for what was gathered.

    Args:
        inputs: What was gathered.
        terms: In place of those settled for the engine.
        decisions: In place of those of the records, by the ids of tasks.
        is_explained: Whether to find out why. Without that, the answer is there at once: the choice
            is as good, its order is looked for only briefly.
        progress: Called as it goes on.

    Raises:
        BadInput: A number of the terms cannot be used.
        Cancelled: Stopped by ``progress``.
    """
    on = terms or inputs.terms
    check_terms(on)
    tasks = tuple(
        replace(task, decision=decisions.get(task.id, task.decision)) for task in inputs.tasks
    )
    benefits = list(benefits_of(inputs, tasks, on))
    answer = solved(
        problem_of(tasks, steps_of(inputs.steps), benefits, on),
        progress,
        never=frozenset(str(task.id) for task in tasks if task.decision is RedoDecision.NEVER),
        names=_BUDGETS | {str(task.id): f"Task '{task.name}'" for task in tasks},
        is_explained=is_explained,
    )
    why = {one.task: one for one in answer.why}
    return WeighedRedo(
        tasks=tuple(
            WeighedTask(task, benefit, why.get(str(task.id)))
            for task, benefit in zip(tasks, benefits, strict=True)
        ),
        answer=answer,
        terms=on,
        steps=inputs.steps,
        estimates=inputs.estimates,
    )


def benefits_of(
    inputs: RedoInputs, tasks: Sequence[RedoTask], terms: RedoTerms
) -> Iterator[Benefit]:
    """Yield what doing each task now is worth."""
    alone = inputs.later.get(terms.hour_rate)
    if alone is None:
        # Later, the engine is whole again: nothing is off.
        alone = _alone(tasks, steps_of(inputs.steps, is_whole=True), terms)
        inputs.later[terms.hour_rate] = alone
    for task in tasks:
        known = inputs.foreseen[task.id]
        hours, money = alone[task.id]
        usual_mess = terms.mess if task.joint_id else 0.0
        mess = usual_mess if task.mess is None else task.mess
        yield Benefit(
            chance=known.chance,
            chance_from=known.said_by,
            about_ids=known.about_ids,
            later_hours=hours,
            later_money=money,
            mess=mess,
            hour_rate=terms.hour_rate,
            factors=(*known.factors, *_cost_factors(hours, money, mess, task, terms)),
        )


def _cost_factors(
    hours: float, money: float, mess: float, task: RedoTask, terms: RedoTerms
) -> Iterator[Factor]:
    yield Factor("labour of a teardown for it later", hours, Standing.COMPUTED, "h")
    yield Factor("hour of labour", terms.hour_rate, _standing(terms, "hour_rate"), "money/h")
    yield Factor("parts and fluids of that teardown", money, Standing.COMPUTED, "money")
    standing = Standing.TYPED if task.mess is not None else _standing(terms, "mess")
    yield Factor("lost oil, cleaning, risk on the road", mess, standing, "money")


def _standing(terms: RedoTerms, name: str) -> Standing:
    is_usual = getattr(terms, name) == _USUAL[name]
    return Standing.OWN_PROPOSAL if is_usual else Standing.TYPED


def _alone(tasks: Sequence[RedoTask], steps: Sequence[Step], terms: RedoTerms) -> _Later:
    """Return labour and money of each task as a job of its own, by the cheapest way in."""
    from leaktrack.analysis.redoing.choosing import Chooser

    chooser = Chooser(
        RedoProblem(
            steps=tuple(steps),
            tasks=tuple(task_of(task) for task in tasks),
            hour_rate=terms.hour_rate,
        )
    )
    found = {}
    for task in tasks:
        selection = chooser.cheapest(frozenset([str(task.id)]))
        assert selection is not None  # no budgets, and every need is there
        costs = chooser.costs
        found[task.id] = (float(costs.labour(selection)), float(costs.spent(selection)))
    return found


def problem_of(
    tasks: Sequence[RedoTask], steps: Sequence[Step], benefits: Sequence[Benefit], terms: RedoTerms
) -> RedoProblem:
    """Return the problem of choosing among some tasks that have these benefits."""
    return RedoProblem(
        steps=tuple(steps),
        tasks=tuple(
            task_of(task, round(one.worth, 2), one.chance * one.later_hours)
            for task, one in zip(tasks, benefits, strict=True)
        ),
        hour_rate=terms.hour_rate,
        workers=terms.workers,
        hours_budget=terms.hours_budget,
        money_budget=terms.money_budget,
    )
