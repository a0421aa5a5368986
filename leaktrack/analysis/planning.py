"""What to redo in one teardown, what must come off for it, and how long does it take?

Where there is a choice of ways in, the cheapest for all tasks together is taken.
"""

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from math import fsum
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.analysis.redoing.stating import steps_of, steps_off, task_of
from leaktrack.model.caution import Caution
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.redo_plan import (
    AccessStep,
    AnyOf,
    PlannedTask,
    RedoList,
    RedoTask,
    StepNeed,
    TaskReason,
    steps_in,
)
from leaktrack.model.redo_problem import RedoProblem
from leaktrack.model.redo_terms import HOUR_RATE

if TYPE_CHECKING:
    from leaktrack.analysis.redoing.choosing import Chooser


@dataclass(frozen=True, slots=True)
class Wanted:
    """One reason to redo something.

    Attributes:
        about_id: The leak or check that it is about.
        joint_id: The joint to be sealed again, if it is about one.
        check_id: The check, if it is about one.
    """

    reason: TaskReason
    about_id: UUID
    joint_id: UUID | None = None
    check_id: UUID | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """What is to be done, before it is costed: a task with its reasons, and what has no task."""

    tasks: tuple[tuple[RedoTask, tuple[tuple[TaskReason, UUID], ...]], ...]
    without_task: tuple[tuple[TaskReason, UUID], ...]


def redo_list(
    tasks: Sequence[RedoTask],
    steps: Sequence[AccessStep],
    wanted: Sequence[Wanted],
    hour_rate: float = HOUR_RATE,
) -> RedoList:
    """Return what to redo and what it costs, with shared access counted once.

    Args:
        tasks: All tasks of the engine; those done are left out.
        steps: All access steps of the engine.
        wanted: Why something should be redone.
        hour_rate: Money for an hour of labour; by it ways in are compared.

    Raises:
        BadInput: Access steps need each other in a loop.
        MissingRecord: A task or step needs a step that is not there.
    """
    return costed(chosen(tasks, wanted), steps, hour_rate)


def chosen(tasks: Sequence[RedoTask], wanted: Sequence[Wanted]) -> Choice:
    """Return every task that something asks for; nothing is weighed against its cost.

    A reason about a check picks the check's tasks, else those of its joint. A reason whose tasks
    are all done is met, and asks for nothing more.
    """
    reasons: dict[UUID, list[tuple[TaskReason, UUID]]] = {}
    without: list[tuple[TaskReason, UUID]] = []
    for want in wanted:
        fitting = _fitting(tasks, want)
        for task in fitting:
            if (want.reason, want.about_id) not in reasons.setdefault(task.id, []):
                reasons[task.id].append((want.reason, want.about_id))
        missing = (want.reason, want.check_id or want.joint_id or want.about_id)
        if not fitting and missing not in without:
            without.append(missing)
    picked = tuple(
        (task, tuple(reasons[task.id])) for task in tasks if task.id in reasons and not task.is_done
    )
    return Choice(picked, tuple(without))


def costed(choice: Choice, steps: Sequence[AccessStep], hour_rate: float = HOUR_RATE) -> RedoList:
    """Return a choice of tasks with its steps, hours and money.

    The hours are the sum of all tasks and of the union of the steps they need, off and on again;
    common practice in time guides: shared removal is charged once. What is off already costs
    nothing, and what it needed itself is taken to be off as well.

    Raises:
        BadInput: Access steps need each other in a loop.
        MissingRecord: A task or step needs a step that is not there.
    """
    by_id = {step.id: step for step in steps}
    order = steps_in_order(steps)
    tasks = [task for task, _ in choice.tasks]
    access = _Access(tasks, steps, hour_rate)
    union = access.of(tasks)
    planned = tuple(
        PlannedTask(
            task,
            reasons,
            alone_hours=_labour([task], access.of([task]), by_id),
            added_hours=_labour(tasks, union, by_id) - _labour(rest, access.of(rest), by_id),
        )
        for task, reasons in choice.tasks
        for rest in [[other for other in tasks if other.id != task.id]]
    )
    open_steps = tuple(step for step in order if step.id in union)
    return RedoList(
        tasks=planned,
        steps=open_steps,
        without_task=choice.without_task,
        hours=_labour(tasks, union, by_id),
        alone_hours=fsum(one.alone_hours for one in planned),
        money=fsum([*(task.money for task in tasks), *(step.money for step in open_steps)]),
        cure_h=max((task.cure_h for task in tasks), default=0.0),
        cautions=_cautions(tasks, open_steps),
    )


def steps_in_order(steps: Sequence[AccessStep]) -> tuple[AccessStep, ...]:
    """Return access steps in an order in which they can come off, otherwise as people placed them.

    Raises:
        BadInput: They need each other in a loop; the text names it.
        MissingRecord: One needs a step that is not there.
    """
    by_id = {step.id: step for step in steps}
    sorter = TopologicalSorter({step.id: _known(step.needs, by_id) for step in steps})
    try:
        sorter.prepare()
    except CycleError as error:
        raise _loop([by_id[step_id].name for step_id in error.args[1]]) from error
    ready: list[tuple[int, UUID]] = []
    order: list[AccessStep] = []
    while sorter.is_active():
        for step_id in sorter.get_ready():
            heapq.heappush(ready, (by_id[step_id].position, step_id))
        _, first = heapq.heappop(ready)
        order.append(by_id[first])
        sorter.done(first)
    return tuple(order)


def _fitting(tasks: Sequence[RedoTask], want: Wanted) -> list[RedoTask]:
    own = [task for task in tasks if want.check_id and task.check_id == want.check_id]
    return own or [task for task in tasks if want.joint_id and task.joint_id == want.joint_id]


class _Access:
    """Which steps are still to be taken off for some tasks, by the cheapest way in."""

    def __init__(
        self, tasks: Sequence[RedoTask], steps: Sequence[AccessStep], hour_rate: float
    ) -> None:
        self._by_id = {step.id: step for step in steps}
        self._steps, self._tasks, self._hour_rate = steps, tasks, hour_rate
        self._chooser: Chooser | None = None

    def of(self, tasks: Sequence[RedoTask]) -> frozenset[UUID]:
        """Return the ids of the steps."""
        found: set[UUID] = set()
        waiting = [need for task in tasks for need in task.needs]
        while waiting:
            need = waiting.pop()
            if isinstance(need, AnyOf):
                return self._cheapest(tasks)
            step = self._by_id.get(need)
            if step is None:
                raise _missing()
            if not step.is_done and step.id not in found:
                found.add(step.id)
                waiting.extend(step.needs)
        return frozenset(found)

    def _cheapest(self, tasks: Sequence[RedoTask]) -> frozenset[UUID]:
        # The solver takes a moment to load, and most engines offer no choice.
        from leaktrack.analysis.redoing.choosing import Chooser

        if self._chooser is None:
            for needs in [one.needs for one in self._tasks] + [one.needs for one in self._steps]:
                _known(needs, self._by_id)
            self._chooser = Chooser(
                RedoProblem(
                    steps=steps_of(self._steps),
                    tasks=tuple(task_of(task) for task in self._tasks),
                    hour_rate=self._hour_rate,
                )
            )
        selection = self._chooser.cheapest(frozenset(str(task.id) for task in tasks))
        assert selection is not None  # no budgets, and every need is there
        off = steps_off(self._steps)
        return frozenset(UUID(step) for step in selection.steps) - off


def _labour(
    tasks: Iterable[RedoTask], step_ids: Iterable[UUID], by_id: Mapping[UUID, AccessStep]
) -> float:
    steps = [by_id[step_id] for step_id in step_ids]
    access = [hours for step in steps for hours in (step.hours, step.refit_hours)]
    return fsum([*(task.hours for task in tasks), *access])


def _cautions(tasks: Sequence[RedoTask], steps: Sequence[AccessStep]) -> tuple[Caution, ...]:
    named = {caution for task in tasks for caution in task.cautions}
    named |= {caution for step in steps for caution in step.cautions}
    return tuple(caution for caution in Caution if caution in named)


def _known(needs: Sequence[StepNeed], by_id: Mapping[UUID, AccessStep]) -> Sequence[UUID]:
    step_ids = tuple(steps_in(needs))
    if any(step_id not in by_id for step_id in step_ids):
        raise _missing()
    return step_ids


def _missing() -> MissingRecord:
    return MissingRecord(
        "A task or an access step needs a step that is not there any more. Nothing was changed. "
        "Open the tasks and steps of this engine and set again what they need."
    )


def _loop(names: Sequence[str]) -> BadInput:
    chain = " before ".join(names)
    return BadInput(
        f"These access steps wait for each other in a loop: {chain}. Nothing was changed. "
        "Take one of these needs away."
    )
