"""What the redo page shows, sorted and in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.numbers import number_text
from leaktrack.model.engine import Joint
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.inspection import Check
from leaktrack.model.leak import Leak
from leaktrack.model.redo_plan import (
    AccessStep,
    AnyOf,
    PlannedTask,
    RedoList,
    RedoPlan,
    RedoTask,
    StepNeed,
    TaskReason,
)
from leaktrack.model.words import word
from leaktrack.workflows.plan_redo import redo_list
from leaktrack.workflows.project import Project

_tr = partial(QCoreApplication.translate, "redo_contents")


@dataclass(frozen=True, slots=True)
class RedoContents:
    """All tasks and steps of an engine.

    Attributes:
        redo: What is to be done; None where it cannot be worked out.
        problem: Why it cannot.
        steps: All access steps by their id.
        done_tasks: What was ticked off.
        idle_tasks: Written, but nothing asks for them now.
        done_steps: What is off already.
        idle_steps: Not needed for the tasks on the list.
    """

    redo: RedoList | None
    problem: str
    steps: dict[UUID, AccessStep]
    done_tasks: tuple[RedoTask, ...]
    idle_tasks: tuple[RedoTask, ...]
    done_steps: tuple[AccessStep, ...]
    idle_steps: tuple[AccessStep, ...]
    plans: tuple[RedoPlan, ...]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to show at all."""
        has_wanted = self.redo is not None and bool(self.redo.without_task)
        return not (
            has_wanted
            or self.problem
            or self.steps
            or self.done_tasks
            or self.idle_tasks
            or self.plans
            or (self.redo is not None and self.redo.tasks)
        )


def redo_contents(project: Project, engine_id: UUID) -> RedoContents:
    """Return what there is to show of an engine's teardown."""
    tasks = project.all(RedoTask, engine_id=engine_id)
    steps = project.all(AccessStep, engine_id=engine_id)
    redo, problem = None, ""
    try:
        redo = redo_list(project, engine_id)
    except LeakTrackError as error:
        problem = str(error)
    planned = {one.task.id for one in redo.tasks} if redo else set()
    needed = {step.id for step in redo.steps} if redo else set()
    return RedoContents(
        redo=redo,
        problem=problem,
        steps={step.id: step for step in steps},
        done_tasks=tuple(task for task in tasks if task.is_done),
        idle_tasks=tuple(task for task in tasks if not task.is_done and task.id not in planned),
        done_steps=tuple(step for step in steps if step.is_done),
        idle_steps=tuple(step for step in steps if not step.is_done and step.id not in needed),
        plans=project.all(RedoPlan, engine_id=engine_id),
    )


def reason_words(project: Project, reason: TaskReason, about_id: UUID) -> str:
    """Return why something is on the list, such as "suspected cause of leak 1"."""
    leak = project.find(Leak, about_id)
    if leak is not None:
        return _tr("%s of leak %d") % (word(reason), leak.number)
    check = project.find(Check, about_id)
    if check is not None:
        return f"{word(reason)}: {check.name}"
    joint = project.find(Joint, about_id)
    return f"{word(reason)}: {joint.name}" if joint is not None else word(reason)


def hours_words(hours: float) -> str:
    """Return hours as people read them.

    >>> hours_words(1.5)
    '1.5 h'
    """
    return f"{number_text(hours, 2)} h"


def task_words(task: RedoTask, planned: PlannedTask | None) -> str:
    """Return what a task costs, alone and added to the others."""
    if planned is None:
        parts = [_tr("%s of work") % hours_words(task.hours)]
    else:
        parts = [
            _tr("%s with the others on the list") % hours_words(planned.added_hours),
            _tr("%s alone") % hours_words(planned.alone_hours),
        ]
    if task.hours == 0:
        parts.append(_tr("its own hours are not estimated yet"))
    if task.money:
        parts.append(_tr("parts %s") % number_text(task.money, 2))
    if task.cure_h:
        parts.append(_tr("then %s of curing") % hours_words(task.cure_h))
    return ", ".join(parts)


def step_words(step: AccessStep, steps: dict[UUID, AccessStep]) -> str:
    """Return what a step costs and what must be off before it."""
    parts = [_tr("%s off, %s on again") % (hours_words(step.hours), hours_words(step.refit_hours))]
    if step.money:
        parts.append(_tr("parts %s") % number_text(step.money, 2))
    names = [_need_words(need, steps) for need in step.needs]
    if any(names):
        parts.append(_tr("after: %s") % ", ".join(filter(None, names)))
    return ", ".join(parts)


def _need_words(need: StepNeed, steps: dict[UUID, AccessStep]) -> str:
    """Return the steps that must be off: one, or a choice of ways in."""
    if not isinstance(need, AnyOf):
        return steps[need].name if need in steps else ""
    ways = [[steps[one].name for one in route if one in steps] for route in need.routes]
    return _tr(" or ").join(" + ".join(way) for way in ways if way)


def totals_words(redo: RedoList) -> tuple[str, ...]:
    """Return the sums, one sentence each."""
    together, alone = hours_words(redo.hours), hours_words(redo.alone_hours)
    saved = redo.alone_hours - redo.hours
    lines = [_tr("All in one teardown: %s of work.") % together]
    if len(redo.tasks) > 1:
        text = _tr("One by one, each with its own teardown: %s, so together saves %s.")
        lines.append(text % (alone, hours_words(saved)))
    lines.append(_tr("Parts and fluids: %s.") % number_text(redo.money, 2))
    if redo.cure_h:
        text = _tr("Longest wait for curing before the engine may run: %s.")
        lines.append(text % hours_words(redo.cure_h))
    if redo.without_task:
        lines.append(_tr("What has no task yet is missing from these sums."))
    return tuple(lines)


def plan_words(plan: RedoPlan, tasks: Sequence[RedoTask]) -> str:
    """Return what was decided, and what became of it."""
    by_id = {task.id: task for task in tasks}
    lines = [
        _tr("%s of work, parts %s") % (hours_words(plan.hours), number_text(plan.money, 2)),
        *([plan.note] if plan.note else []),
    ]
    for task_id in plan.task_ids:
        task = by_id.get(task_id)
        if task is None:
            lines.append(_tr("• a task that was removed since"))
        else:
            state = _tr("done") if task.is_done else _tr("open")
            lines.append(f"• {task.name} ({state})")
    return "\n".join(lines)
