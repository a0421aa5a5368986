"""Weigh a teardown for somebody who looks on: the choice at once, then the order, then why.

What is slow to gather is kept; a word of the person, other terms or a step that came off meanwhile
are then answered at once.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.analysis.redoing.stating import steps_of
from leaktrack.model.redo_benefit import Benefit, WeighedRedo, WeighedTask
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoTask
from leaktrack.model.redo_problem import RedoAnswer, SolvedState
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.model.work_sheet import WorkSheet
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.settle_redo import terms_of
from leaktrack.workflows.weigh_redo import RedoInputs, benefits_of, problem_of, redo_inputs
from leaktrack.workflows.write_work_sheet import work_sheet

if TYPE_CHECKING:
    from leaktrack.analysis.redoing.choosing import Chooser, Chosen

LOOKING_SECONDS = 0.12
"""For a first answer: with all that is around it, it must stand within 0.2 s. Own judgement."""

_NO_CHOICE = "No choice was found that meets all that must be."


@dataclass(frozen=True, slots=True)
class TeardownRecords:
    """What of a teardown is quickly read: done tasks are among the tasks."""

    tasks: tuple[RedoTask, ...]
    steps: tuple[AccessStep, ...]
    terms: RedoTerms


@dataclass(frozen=True, slots=True)
class Weighing:
    """All that a choice is made from.

    Attributes:
        read: The records as they were when it was gathered, or changed since.
        inputs: What was gathered.
        benefits: Of doing each open task now, in the order of ``inputs.tasks``.
    """

    read: TeardownRecords
    inputs: RedoInputs
    benefits: tuple[Benefit, ...]

    @property
    def never(self) -> frozenset[str]:
        """Ids of tasks that are never to be done."""
        tasks = self.inputs.tasks
        return frozenset(str(one.id) for one in tasks if one.decision is RedoDecision.NEVER)

    @property
    def names(self) -> dict[str, str]:
        """What people call tasks, steps and limits, by the ids of the problem."""
        records: tuple[RedoTask | AccessStep, ...] = (*self.inputs.tasks, *self.inputs.steps)
        limits = {"hours_budget": "the limit of labour", "money_budget": "the limit of money"}
        return {str(one.id): f"'{one.name}'" for one in records} | limits


@dataclass(frozen=True, slots=True)
class Staged:
    """What is known so far of the best teardown.

    Attributes:
        weighed: Its answer is without a schedule and without reasons at first.
        ways: The steps that each chosen task and step waits for, by the ways that are taken.
        weighing: What it was chosen from.
        chooser: For the stages that follow; nothing to look into.
        chosen: The same; None where nothing meets all that must be.
        sheet: Day by day and person by person; None until it is ordered.
    """

    weighed: WeighedRedo
    ways: Mapping[UUID, tuple[UUID, ...]]
    weighing: Weighing
    chooser: "Chooser"
    chosen: "Chosen | None"
    sheet: WorkSheet | None = None


def read_teardown(project: Project, engine_id: UUID) -> TeardownRecords:
    """Return tasks, steps and terms of an engine as they are now."""
    with project.read() as reader:
        return TeardownRecords(
            reader.all(RedoTask, engine_id=engine_id),
            reader.all(AccessStep, engine_id=engine_id),
            terms_of(reader, engine_id),
        )


def gather(project: Project, engine_id: UUID) -> Weighing:
    """Return all that a choice is made from.

    Raises:
        BadInput: A file of weights cannot be used.
        MissingRecord: There is no such engine, or a step that something needs.
    """
    read = read_teardown(project, engine_id)
    inputs = redo_inputs(project, engine_id)
    benefits = benefits_of(inputs, inputs.tasks, inputs.terms)
    return Weighing(read, inputs, tuple(benefits))


def changed(weighing: Weighing, read: TeardownRecords) -> Weighing | None:
    """Return what was gathered with the records of now; None where it must be gathered anew.

    It must not where only decisions, ticks, terms or a person's own numbers are others. A cheaper
    way in to do a task later, by another hour rate, is left to gathering.
    """
    before = {task.id: task for task in weighing.read.tasks}
    is_known = all(
        task.id in before and _is_near(before[task.id], task) for task in read.tasks
    ) and _without_ticks(read.steps) == _without_ticks(weighing.read.steps)
    benefits = {
        task.id: benefit
        for task, benefit in zip(weighing.inputs.tasks, weighing.benefits, strict=True)
    }
    timed = {task.id: task for task in weighing.inputs.tasks}
    open_tasks = [task for task in read.tasks if not task.is_done]
    if not is_known or any(task.id not in benefits for task in open_tasks):
        return None
    off = {step.id: step.is_done for step in read.steps}
    inputs = replace(
        weighing.inputs,
        tasks=tuple(replace(task, hours=timed[task.id].hours) for task in open_tasks),
        steps=tuple(replace(step, is_done=off[step.id]) for step in weighing.inputs.steps),
        terms=read.terms,
    )
    news = tuple(_benefit(benefits[task.id], task, read.terms) for task in open_tasks)
    return Weighing(read, inputs, news)


def choose_at_once(weighing: Weighing, seconds: float = LOOKING_SECONDS) -> Staged | None:
    """Return a choice that is worth most, as far as found in a time; None where none was.

    Whoever looks on sees it while ``choose`` proves it, and settles which of equal choices wins.
    """
    # The solver takes a moment to load, and only those who plan need it.
    from leaktrack.analysis.redoing.choosing import Fixed

    chooser = _chooser(weighing)
    chosen = chooser.first(seconds, Fixed(left=weighing.never))
    return None if chosen is None else _staged(weighing, chooser, chosen)


def choose(weighing: Weighing) -> Staged:
    """Return the best choice of tasks; where there is none, what makes it impossible."""
    from leaktrack.analysis.redoing.choosing import Fixed
    from leaktrack.analysis.redoing.conflicting import conflict

    chooser = _chooser(weighing)
    chosen = chooser.best(Fixed(left=weighing.never))
    if chosen is not None:
        return _staged(weighing, chooser, chosen)
    said = conflict(chooser, weighing.names, weighing.never) or _NO_CHOICE
    answer = RedoAnswer(state=SolvedState.INFEASIBLE, conflict=said)
    return Staged(_weighed(weighing, answer), {}, weighing, chooser, None)


def order(staged: Staged) -> Staged:
    """Return a choice with its schedule, in hours of work that follow each other."""
    from leaktrack.analysis.redoing.networking import teardown
    from leaktrack.analysis.redoing.ordering import ordered

    if staged.chosen is None:
        return staged
    problem = staged.chooser.problem
    waits = {str(key): tuple(map(str, steps)) for key, steps in staged.ways.items()}
    schedule = ordered(teardown(problem, staged.chosen.selection, waits), problem.workers)
    answer = replace(staged.weighed.answer, schedule=schedule)
    return replace(staged, weighed=replace(staged.weighed, answer=answer))


def put_on_days(project: Project, staged: Staged) -> Staged:
    """Return a choice with its work sheet: who does what on which day.

    Raises:
        MissingRecord: The engine is not there any more.
    """
    if staged.chosen is None:
        return staged
    return replace(staged, sheet=work_sheet(project, staged.weighed))


def explain(staged: Staged, progress: Progress = silent) -> Staged:
    """Return a choice with the reasons for each task.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    from leaktrack.analysis.redoing.explaining import explained

    if staged.chosen is None:
        return staged
    count = len(staged.chooser.problem.tasks)
    why = explained(
        staged.chooser,
        staged.chosen,
        staged.weighing.never,
        pause=lambda: progress(0, count, "asking why"),
    )
    answer = replace(staged.weighed.answer, why=why)
    return replace(staged, weighed=_weighed(staged.weighing, answer))


def _chooser(weighing: Weighing) -> "Chooser":
    from leaktrack.analysis.redoing.choosing import Chooser

    inputs = weighing.inputs
    steps = steps_of(inputs.steps)
    return Chooser(problem_of(inputs.tasks, steps, weighing.benefits, inputs.terms))


def _staged(weighing: Weighing, chooser: "Chooser", chosen: "Chosen") -> Staged:
    from leaktrack.analysis.redoing.reaching import routes_taken

    problem, costs, selection = chooser.problem, chooser.costs, chosen.selection
    answer = RedoAnswer(
        state=SolvedState.OPTIMAL if chosen.is_proven else SolvedState.FEASIBLE,
        tasks=tuple(task.id for task in problem.tasks if task.id in selection.tasks),
        steps=tuple(step.id for step in problem.steps if step.id in selection.steps),
        value=float(costs.value(selection)),
        most_value=float(chosen.most_value),
        labour_hours=float(costs.labour(selection)),
        money=float(costs.spent(selection)),
    )
    ways = {
        UUID(key): tuple(map(UUID, steps))
        for key, steps in routes_taken(problem, selection, costs).items()
    }
    return Staged(_weighed(weighing, answer), ways, weighing, chooser, chosen)


def _weighed(weighing: Weighing, answer: RedoAnswer) -> WeighedRedo:
    why = {one.task: one for one in answer.why}
    inputs = weighing.inputs
    return WeighedRedo(
        tasks=tuple(
            WeighedTask(task, benefit, why.get(str(task.id)))
            for task, benefit in zip(inputs.tasks, weighing.benefits, strict=True)
        ),
        answer=answer,
        terms=inputs.terms,
        steps=inputs.steps,
        estimates=inputs.estimates,
    )


def _is_near(before: RedoTask, now: RedoTask) -> bool:
    """Return whether only what can be answered at once is another."""
    if now.chance is None and before.chance is not None:
        return False  # what would be computed was never asked for
    return now == replace(
        before, decision=now.decision, is_done=now.is_done, mess=now.mess, chance=now.chance
    )


def _without_ticks(steps: Sequence[AccessStep]) -> list[AccessStep]:
    return [replace(step, is_done=False) for step in steps]


def _benefit(known: Benefit, task: RedoTask, terms: RedoTerms) -> Benefit:
    usual_mess = terms.mess if task.joint_id else 0.0
    return replace(
        known,
        chance=known.chance if task.chance is None else task.chance,
        mess=usual_mess if task.mess is None else task.mess,
        hour_rate=terms.hour_rate,
    )
