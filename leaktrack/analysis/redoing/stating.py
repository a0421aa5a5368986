"""State an engine's tasks and access steps as a redo problem; its ids are the records', as text."""

from collections.abc import Iterable, Sequence
from uuid import UUID

from leaktrack.model import redo_problem
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoDecision, RedoTask, StepNeed
from leaktrack.model.redo_problem import Need, Step, Task


def steps_of(steps: Sequence[AccessStep], *, is_whole: bool = False) -> tuple[Step, ...]:
    """Return access steps; what a step needed that is off is taken to be off as well.

    By which way in a step came off that could be reached by several, nobody wrote down; none is
    taken to be off for it.

    Args:
        steps: All of the engine.
        is_whole: Whether to reckon as if nothing were off.
    """
    off = frozenset[UUID]() if is_whole else steps_off(steps)
    return tuple(
        Step(
            id=str(step.id),
            hours=step.hours,
            refit_hours=step.refit_hours,
            money=step.money,
            is_done=step.id in off,
            needs=needs_of(
                need for need in step.needs if step.id not in off or not isinstance(need, AnyOf)
            ),
        )
        for step in steps
    )


def steps_off(steps: Iterable[AccessStep]) -> frozenset[UUID]:
    """Return the ids of the steps that are off, with what they needed for it."""
    by_id = {step.id: step for step in steps}
    off: set[UUID] = set()
    waiting = [step.id for step in by_id.values() if step.is_done]
    while waiting:
        step_id = waiting.pop()
        if step_id not in off and step_id in by_id:
            off.add(step_id)
            waiting += [need for need in by_id[step_id].needs if not isinstance(need, AnyOf)]
    return frozenset(off)


def task_of(task: RedoTask, benefit: float = 0.0, benefit_hours: float = 0.0) -> Task:
    """Return a task with what doing it now is worth."""
    return Task(
        id=str(task.id),
        hours=task.hours,
        benefit=benefit,
        benefit_hours=benefit_hours,
        money=task.money,
        is_must=task.decision is RedoDecision.MUST,
        cure_h=task.cure_h,
        does_cure_block_refit=task.does_cure_block_refit,
        needs=needs_of(task.needs),
    )


def needs_of(needs: Iterable[StepNeed]) -> tuple[Need, ...]:
    """Return needs by the ids of the problem."""
    return tuple(
        redo_problem.AnyOf(tuple(tuple(map(str, route)) for route in need.routes))
        if isinstance(need, AnyOf)
        else str(need)
        for need in needs
    )
