"""Plan again what is left of a teardown: what is done stays done, what was found comes in."""

from datetime import UTC, datetime
from uuid import UUID

from leaktrack.model.errors import BadInput
from leaktrack.model.record import Edit, added
from leaktrack.model.redo_benefit import Replan, WeighedRedo
from leaktrack.model.redo_plan import RedoPlan, RedoTask
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.weigh_redo import weighed_redo


def replan(
    project: Project,
    engine_id: UUID,
    terms: RedoTerms | None = None,
    progress: Progress = silent,
) -> Replan:
    """Return the best choice from where the work stands now, beside the plan that was kept last.

    Tasks that are done are settled, and steps that are off cost nothing; tasks written down since,
    and leaks marked since, are weighed like all others.

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
    weighed = weighed_redo(project, engine_id, terms, progress)
    return since_plan(project, weighed)


def since_plan(project: Project, weighed: WeighedRedo) -> Replan:
    """Return a choice beside the plan that was kept last."""
    engine_id = weighed.terms.engine_id
    with project.read() as reader:
        plans = reader.all(RedoPlan, engine_id=engine_id)
        tasks = reader.all(RedoTask, engine_id=engine_id)
    plan = plans[-1] if plans else None
    on_plan = set(plan.task_ids) if plan is not None else set()
    chosen = {one.task.id for one in weighed.chosen}
    return Replan(
        weighed=weighed,
        since=plan,
        done=tuple(task for task in tasks if task.is_done and task.id in on_plan),
        still=tuple(task for task in tasks if task.id in chosen & on_plan),
        dropped=tuple(
            task
            for task in tasks
            if not task.is_done and task.id in on_plan and task.id not in chosen
        ),
        found=tuple(task for task in tasks if task.id in chosen - on_plan),
    )


def keep_choice(weighed: WeighedRedo, note: str = "", made_at: datetime | None = None) -> Edit:
    """Return the edit that keeps a choice as a plan that was decided on.

    Raises:
        BadInput: Nothing was chosen.
    """
    answer = weighed.answer
    if not weighed.chosen:
        raise BadInput(
            answer.conflict
            or "Nothing is worth taking the engine apart for, so there is no plan to keep. Settle "
            "that a task must be done, or write down another."
        )
    return added(
        RedoPlan(
            engine_id=weighed.terms.engine_id,
            made_at=made_at or datetime.now(UTC),
            task_ids=tuple(one.task.id for one in weighed.chosen),
            hours=answer.labour_hours or 0.0,
            money=answer.money or 0.0,
            note=note,
        )
    )
