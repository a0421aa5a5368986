"""Plan what to redo in the teardown that is coming: tasks, access steps, hours and money."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

from leaktrack.analysis import planning
from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.planning import Wanted, steps_in_order
from leaktrack.model.caution import Caution
from leaktrack.model.engine import Engine
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Check, CheckResult
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.redo_plan import (
    AccessStep,
    RedoDecision,
    RedoList,
    RedoPart,
    RedoPlan,
    RedoTask,
    StepNeed,
    TaskReason,
    steps_in,
)
from leaktrack.model.trace import Cause, CauseState
from leaktrack.workflows.check_input import checked_text
from leaktrack.workflows.check_needs import check_needs, without_step
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project
from leaktrack.workflows.remove_records import removal


def redo_list(project: Project, engine_id: UUID) -> RedoList:
    """Return what to redo: for suspected and confirmed causes, and for checks that ask for it.

    A cause asks for work as long as its sealing job is in force; once the joint has been sealed
    anew, only if the leak was seen wet since.

    Raises:
        BadInput: Access steps need each other in a loop.
        MissingRecord: There is no such engine, or a step that something needs.
    """
    with project.read() as reader:
        return redo_list_of(EngineRecords(reader, engine_id))


def redo_list_of(records: EngineRecords) -> RedoList:
    """Return the redo list of an engine whose records are at hand; see ``redo_list``."""
    wanted = [*_wanted_by_causes(records), *_wanted_by_checks(records.checks)]
    return planning.redo_list(records.tasks, records.steps, wanted)


def keep_plan(
    project: Project, engine_id: UUID, note: str = "", made_at: datetime | None = None
) -> Edit:
    """Return the edit that keeps the redo list of this moment as a plan that was decided on.

    Raises:
        BadInput: There is nothing on the list, or access steps need each other in a loop.
        MissingRecord: There is no such engine.
    """
    wanted = redo_list(project, engine_id)
    if not wanted.tasks:
        raise BadInput(
            "There is no task on the redo list, so there is no plan to keep. Set a verdict on a "
            "possible cause, or record a check, and write a task for it."
        )
    plan = RedoPlan(
        engine_id=engine_id,
        made_at=made_at or datetime.now(UTC),
        task_ids=tuple(one.task.id for one in wanted.tasks),
        hours=wanted.hours,
        money=wanted.money,
        note=note,
    )
    return added(plan)


def new_access_step(
    project: Project,
    engine_id: UUID,
    name: str,
    hours: float,
    *,
    refit_hours: float = 0.0,
    money: float = 0.0,
    needs: Sequence[StepNeed] = (),
    cautions: Sequence[Caution] = (),
    parts: Sequence[RedoPart] = (),
    tools: Sequence[str] = (),
    template: str = "",
) -> tuple[AccessStep, Edit]:
    """Return a new access step and the edit that adds it, after the engine's other steps.

    Raises:
        BadInput: It has no name, a number is below zero, or a need is not there.
        MissingRecord: There is no such engine.
    """
    engine = project.get(Engine, engine_id)
    others = project.all(AccessStep, engine_id=engine_id)
    step = AccessStep(
        engine_id=engine.id,
        name=checked_text(name, "access step"),
        hours=hours,
        refit_hours=refit_hours,
        money=money,
        needs=tuple(needs),
        cautions=tuple(cautions),
        parts=tuple(parts),
        tools=tuple(tools),
        template=template,
        position=max((one.position for one in others), default=-1) + 1,
    )
    _check_numbers(step.name, hours, refit_hours, money)
    check_needs(step.name, step.needs, others)
    return step, added(step)


def amend_access_step(project: Project, before: AccessStep, after: AccessStep) -> Edit:
    """Return the edit that changes an access step.

    Raises:
        BadInput: It has no name, a number is below zero, or its needs make a loop, which is named.
    """
    changed = replace(after, name=checked_text(after.name, "access step"))
    _check_numbers(changed.name, changed.hours, changed.refit_hours, changed.money)
    steps = project.all(AccessStep, engine_id=before.engine_id)
    check_needs(changed.name, changed.needs, steps)
    steps_in_order([changed if step.id == changed.id else step for step in steps])
    return replaced(before, changed)


def remove_access_step(project: Project, step_id: UUID) -> Edit:
    """Return the edit that removes an access step and every need for it.

    What needed it then needs what it needed, so that nothing is forgotten.

    Raises:
        BadInput: Times were recorded for it.
        MissingRecord: There is no such step.
    """
    step = project.get(AccessStep, step_id)
    edit = Edit(())
    for other in project.all(AccessStep, engine_id=step.engine_id):
        if step_id in steps_in(other.needs):
            edit = edit.then(replaced(other, without_step(other, step)))
    for task in project.all(RedoTask, engine_id=step.engine_id):
        if step_id in steps_in(task.needs):
            edit = edit.then(replaced(task, without_step(task, step)))
    return edit.then(removal(project, step, f"access step '{step.name}'"))


def new_task(
    project: Project,
    engine_id: UUID,
    name: str,
    hours: float,
    *,
    joint_id: UUID | None = None,
    check_id: UUID | None = None,
    money: float = 0.0,
    cure_h: float = 0.0,
    needs: Sequence[StepNeed] = (),
    cautions: Sequence[Caution] = (),
    decision: RedoDecision = RedoDecision.DECIDE,
    does_cure_block_refit: bool = False,
    parts: Sequence[RedoPart] = (),
    tools: Sequence[str] = (),
    template: str = "",
) -> tuple[RedoTask, Edit]:
    """Return a new task and the edit that adds it.

    Raises:
        BadInput: It has no name, a number is below zero, or a need is not there.
        MissingRecord: There is no such engine.
    """
    engine = project.get(Engine, engine_id)
    task = RedoTask(
        engine_id=engine.id,
        name=checked_text(name, "task"),
        joint_id=joint_id,
        check_id=check_id,
        hours=hours,
        money=money,
        cure_h=cure_h,
        needs=tuple(needs),
        cautions=tuple(cautions),
        decision=decision,
        does_cure_block_refit=does_cure_block_refit,
        parts=tuple(parts),
        tools=tuple(tools),
        template=template,
    )
    _check_numbers(task.name, hours, money, cure_h)
    _check_own_numbers(task)
    check_needs(task.name, task.needs, project.all(AccessStep, engine_id=engine_id))
    return task, added(task)


def amend_task(project: Project, before: RedoTask, after: RedoTask) -> Edit:
    """Return the edit that changes a task.

    Raises:
        BadInput: It has no name, a number is below zero, or a need is not there.
    """
    changed = replace(after, name=checked_text(after.name, "task"))
    _check_numbers(changed.name, changed.hours, changed.money, changed.cure_h)
    _check_own_numbers(changed)
    check_needs(changed.name, changed.needs, project.all(AccessStep, engine_id=before.engine_id))
    return replaced(before, changed)


def remove_task(project: Project, task_id: UUID) -> Edit:
    """Return the edit that removes a task; plans that were kept still say that it was on them.

    Raises:
        BadInput: Times were recorded for it.
        MissingRecord: There is no such task.
    """
    task = project.get(RedoTask, task_id)
    return removal(project, task, f"task '{task.name}'")


def _wanted_by_causes(records: EngineRecords) -> Iterator[Wanted]:
    jobs = {job.id: job for job in records.jobs}
    for cause in records.causes:
        if cause.state is CauseState.RULED_OUT or _is_settled(records, cause):
            continue
        reason = (
            TaskReason.CONFIRMED_CAUSE
            if cause.state is CauseState.CONFIRMED
            else TaskReason.SUSPECTED_CAUSE
        )
        yield Wanted(reason, cause.leak_id, joint_id=jobs[cause.sealing_job_id].joint_id)


def _is_settled(records: EngineRecords, cause: Cause) -> bool:
    """Return whether the joint was sealed anew and the leak was not seen wet since."""
    job = next(job for job in records.jobs if job.id == cause.sealing_job_id)
    redone = records.job_after(job)
    if redone is None:
        return False
    seen_since = [
        records.table.grade(cause.leak_id, one.id)
        for one in records.inspections
        if one.looked_at > redone.done_at
    ]
    seen = [grade for grade in seen_since if grade is not SeepageGrade.NOT_SEEN]
    return not seen or not is_wet(seen[-1])


def _wanted_by_checks(checks: Sequence[Check]) -> Iterator[Wanted]:
    for check in checks:
        reason = reason_of(check)
        if reason is not None:
            yield Wanted(reason, check.id, joint_id=check.joint_id, check_id=check.id)


def reason_of(check: Check) -> TaskReason | None:
    """Return why a check asks for work; None where it does not."""
    if check.result is CheckResult.FAILED:
        return TaskReason.CHECK_FAILED
    if check.result is CheckResult.OPEN:
        return TaskReason.CHECK_OPEN
    return TaskReason.RIDES_ALONG if check.rides_along else None


def _check_numbers(name: str, *numbers: float) -> None:
    wrong = [number for number in numbers if not 0 <= number < float("inf")]
    if wrong:
        raise BadInput(
            f"Hours, money and cure cannot be {wrong[0]:g}. Type a number from 0 on; "
            f"{name} stays as it was."
        )


def _check_own_numbers(task: RedoTask) -> None:
    if task.chance is not None and not 0 <= task.chance <= 1:
        raise BadInput(
            f"The chance that {task.name} is asked for later cannot be {task.chance:g}. Type a "
            "number from 0 to 1, or leave it empty to let it be computed."
        )
    if task.mess is not None:
        _check_numbers(task.name, task.mess)
