"""Take access steps and tasks for an engine from the library, fitted to its joints."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from uuid import UUID

from leaktrack.model.engine import Engine, Joint
from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.record import Edit, added
from leaktrack.model.redo_library import LibraryStep, LibraryTask, Offer, RedoLibrary
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoTask, StepNeed
from leaktrack.model.redo_problem import Need, WorkKind
from leaktrack.model.redo_terms import WorkEstimate
from leaktrack.workflows.estimate_times import Times, called, estimate, recorded_times
from leaktrack.workflows.find_engine import joints_of_engine
from leaktrack.workflows.project import Project
from leaktrack.workflows.read_fields import ids_in
from leaktrack.workflows.read_redo_library import redo_library


def offers(project: Project, engine_id: UUID) -> tuple[Offer, ...]:
    """Return all that the library has, as it is for an engine: steps, then tasks.

    Raises:
        BadInput: A library cannot be used.
        MissingRecord: There is no such engine.
    """
    library = redo_library(project)
    project.get(Engine, engine_id)
    with project.read() as reader:
        times = recorded_times(reader)
        steps = reader.all(AccessStep, engine_id=engine_id)
        tasks = reader.all(RedoTask, engine_id=engine_id)
        joints = joints_of_engine(reader, engine_id)
    has_steps = _known_steps(library, steps)
    return tuple(
        [
            Offer(
                item=step,
                is_taken=step.id in has_steps,
                estimate=_estimate(times, step.id, WorkKind.TAKE_OFF, step.hours),
                refit=_estimate(times, step.id, WorkKind.REFIT, step.refit_hours),
            )
            for step in library.steps
        ]
        + [_task_offer(task, joints, tasks, times) for task in library.tasks]
    )


def add_from_library(
    project: Project,
    engine_id: UUID,
    ids: Sequence[str],
    joint_ids: Mapping[str, Sequence[UUID]] | None = None,
) -> Edit:
    """Return the edit that adds steps and tasks of the library to an engine.

    Steps that are needed come along, whichever way in is taken; what the engine has already, by
    this library or by its name, is not added again. A task is added once for each joint that it
    fits.

    Args:
        project: The open project.
        engine_id: Which engine.
        ids: Of steps and tasks of the library.
        joint_ids: For which joints a task is wanted, by its id, in place of those it fits.

    Raises:
        BadInput: A library cannot be used, or has no such step or task.
        MissingRecord: There is no such engine.
    """
    library = redo_library(project)
    by_id: dict[str, LibraryStep | LibraryTask] = {one.id: one for one in library.steps}
    by_id |= {one.id: one for one in library.tasks}
    unknown = next((one for one in ids if one not in by_id), None)
    if unknown is not None:
        raise BadInput(
            f"The library has no {unknown!r}. It has: {', '.join(by_id)}. Nothing was added."
        )
    engine = project.get(Engine, engine_id)
    with project.read() as reader:
        steps = reader.all(AccessStep, engine_id=engine.id)
        tasks = reader.all(RedoTask, engine_id=engine.id)
        joints = joints_of_engine(reader, engine.id)
    wanted = [by_id[one] for one in dict.fromkeys(ids)]
    made = _new_steps(library, wanted, engine.id, steps)
    known = _known_steps(library, steps) | {step.template: step.id for step in made}
    has_tasks = {(task.template, task.joint_id) for task in tasks}
    new_tasks = []
    for item in wanted:
        if isinstance(item, LibraryTask):
            chosen = (joint_ids or {}).get(item.id)
            fitting = _fitting(item, joints)
            if chosen is not None:
                fitting = [joint for joint in joints if joint.id in chosen]
            new_tasks += list(_new_tasks(item, fitting, engine.id, known, has_tasks))
    return added(*made, *new_tasks)


def _known_steps(library: RedoLibrary, present: Sequence[AccessStep]) -> dict[str, UUID]:
    """Return the engine's steps by the library's ids; those written by hand go by their name."""
    id_of = {" ".join(step.name.casefold().split()): step.id for step in library.steps}
    by_name = {id_of.get(called(step)): step.id for step in present if not step.template}
    found = {key: step_id for key, step_id in by_name.items() if key is not None}
    return found | {step.template: step.id for step in present if step.template}


def _new_steps(
    library: RedoLibrary,
    wanted: Iterable[LibraryStep | LibraryTask],
    engine_id: UUID,
    present: Sequence[AccessStep],
) -> list[AccessStep]:
    """Return the steps that are wanted or needed and not there yet, in the library's order."""
    by_id = {step.id: step for step in library.steps}
    known = _known_steps(library, present)
    found: set[str] = set()
    waiting = [one.id for one in wanted if isinstance(one, LibraryStep)]
    waiting += [key for one in wanted for need in one.needs for key in ids_in(need)]
    while waiting:
        key = waiting.pop()
        if key not in found and key not in known:
            found.add(key)
            waiting += [other for need in by_id[key].needs for other in ids_in(need)]
    new = [step for step in library.steps if step.id in found]
    known |= {step.id: new_id() for step in new}
    first = max((step.position for step in present), default=-1) + 1
    return [
        AccessStep(
            id=known[step.id],
            engine_id=engine_id,
            name=step.name,
            hours=step.hours,
            refit_hours=step.refit_hours,
            money=step.money,
            needs=_needs(step.needs, known),
            cautions=step.cautions,
            parts=step.parts,
            tools=step.tools,
            template=step.id,
            position=first + number,
        )
        for number, step in enumerate(new)
    ]


def _new_tasks(
    item: LibraryTask,
    joints: Sequence[Joint],
    engine_id: UUID,
    known: Mapping[str, UUID],
    has: set[tuple[str, UUID | None]],
) -> Iterator[RedoTask]:
    wanted: Sequence[Joint | None] = joints or [None]
    for joint in wanted:
        joint_id = None if joint is None else joint.id
        if (item.id, joint_id) in has:
            continue
        yield RedoTask(
            engine_id=engine_id,
            name=item.name.replace("{joint}", joint.name if joint is not None else "the joint"),
            joint_id=joint_id,
            hours=item.hours,
            money=item.money,
            cure_h=item.cure_h,
            does_cure_block_refit=item.does_cure_block_refit,
            needs=_needs(item.needs, known),
            cautions=item.cautions,
            parts=item.parts,
            tools=item.tools,
            template=item.id,
        )


def _task_offer(
    task: LibraryTask,
    joints: Sequence[Joint],
    present: Sequence[RedoTask],
    times: Times,
) -> Offer:
    # A joint for which somebody wrote a task by hand needs none of the library.
    has = {one.joint_id for one in present if one.template in ("", task.id)}
    free = [joint for joint in _fitting(task, joints) if joint.id not in has]
    is_there = any(one.template == task.id for one in present)
    return Offer(
        item=task,
        joint_ids=tuple(joint.id for joint in free),
        joint_names=tuple(joint.name for joint in free),
        is_taken=is_there and not free,
        estimate=_estimate(times, task.id, WorkKind.TASK, task.hours),
    )


def _fitting(task: LibraryTask, joints: Sequence[Joint]) -> list[Joint]:
    """Return the joints whose name has all words of one of the texts, and whose seal is right."""
    return [
        joint
        for joint in joints
        if (not task.seal_kinds or joint.seal_kind in task.seal_kinds)
        and any(
            all(word in joint.name.casefold() for word in text.casefold().split())
            for text in task.fits
        )
    ]


def _needs(needs: Sequence[Need], known: Mapping[str, UUID]) -> tuple[StepNeed, ...]:
    return tuple(
        known[need]
        if isinstance(need, str)
        else AnyOf(tuple(tuple(known[key] for key in route) for route in need.routes))
        for need in needs
    )


def _estimate(times: Times, template: str, kind: WorkKind, hours: float) -> WorkEstimate:
    return estimate(hours, times.get((f"#{template}", kind), ()))
