"""What to redo while the engine is apart, and what must come off to reach it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.caution import Caution
from leaktrack.model.identity import new_id


@dataclass(frozen=True, slots=True)
class AnyOf:
    """A choice of ways in: all access steps of one of them must be off.

    Attributes:
        routes: Ids of access steps, way by way.
    """

    routes: tuple[tuple[UUID, ...], ...]


StepNeed = UUID | AnyOf
"""The id of an access step that must be off, or a choice of ways in."""


def steps_in(needs: Iterable[StepNeed]) -> Iterator[UUID]:
    """Return the ids of all steps that some needs name, whichever way in is taken."""
    for need in needs:
        if isinstance(need, AnyOf):
            yield from (step_id for route in need.routes for step_id in route)
        else:
            yield need


class RedoDecision(Enum):
    """What a person has settled about a task before anything is weighed."""

    DECIDE = "decide"
    MUST = "must"
    NEVER = "never"


@dataclass(frozen=True, slots=True)
class RedoPart:
    """A part or fluid that a piece of work takes; its price is among the money of that work."""

    name: str
    count: int = 1
    is_single_use: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessStep:
    """Something that must come off, drain or move aside.

    Attributes:
        hours: Person-hours to take it off.
        refit_hours: Person-hours to put it back.
        money: Single-use parts and fluids.
        is_done: It is off already, so it costs nothing now.
        needs: What must be off before it.
        template: Id of what it was taken from in the library of steps and tasks; empty if a person
            wrote it.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    name: str
    hours: float
    refit_hours: float = 0.0
    money: float = 0.0
    is_done: bool = False
    needs: tuple[StepNeed, ...] = ()
    cautions: tuple[Caution, ...] = ()
    position: int = 0
    parts: tuple[RedoPart, ...] = ()
    tools: tuple[str, ...] = ()
    template: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RedoTask:
    """Work that can be done in a teardown: seal a joint again, or something that rides along.

    Attributes:
        joint_id: The joint it seals again.
        check_id: The check that asked for it.
        cure_h: Hours to wait after it before the engine may run.
        needs: What must be off before it.
        decision: Whether a person settled beforehand that it is done, or left.
        does_cure_block_refit: What it needs off may go back on only after the cure.
        chance: A person's own number in place of the computed one: how likely leaving it asks for
            work later, 0 to 1.
        mess: A person's own money in place of the usual for lost oil, cleaning and risk.
        template: Id of what it was taken from in the library of steps and tasks; empty if a person
            wrote it.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    name: str
    joint_id: UUID | None = None
    check_id: UUID | None = None
    hours: float
    money: float = 0.0
    cure_h: float = 0.0
    needs: tuple[StepNeed, ...] = ()
    cautions: tuple[Caution, ...] = ()
    is_done: bool = False
    decision: RedoDecision = RedoDecision.DECIDE
    does_cure_block_refit: bool = False
    chance: float | None = None
    mess: float | None = None
    parts: tuple[RedoPart, ...] = ()
    tools: tuple[str, ...] = ()
    template: str = ""


class TaskReason(Enum):
    """Why a task is on the redo list."""

    CONFIRMED_CAUSE = "confirmed_cause"
    SUSPECTED_CAUSE = "suspected_cause"
    CHECK_FAILED = "check_failed"
    CHECK_OPEN = "check_open"
    RIDES_ALONG = "rides_along"


@dataclass(frozen=True, slots=True)
class PlannedTask:
    """A task on the list.

    Attributes:
        reasons: Why it is here, with the leak or check each is about.
        alone_hours: Labour if it were the only task.
        added_hours: Labour it adds to the other tasks on the list.
    """

    task: RedoTask
    reasons: tuple[tuple[TaskReason, UUID], ...]
    alone_hours: float
    added_hours: float


@dataclass(frozen=True, slots=True)
class RedoList:
    """What to redo, with shared access counted once.

    Attributes:
        steps: Access steps in the order in which they come off.
        without_task: Joints with a suspected or confirmed cause, and checks that ride along, for
            which nobody has written a task yet; they are missing from the hours.
        hours: All labour: taking off, tasks, refitting.
        alone_hours: The same work done one task at a time, each with its own teardown.
        cure_h: The longest cure.
    """

    tasks: tuple[PlannedTask, ...]
    steps: tuple[AccessStep, ...]
    without_task: tuple[tuple[TaskReason, UUID], ...]
    hours: float
    alone_hours: float
    money: float
    cure_h: float
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RedoPlan:
    """A redo list that somebody decided on.

    Attributes:
        task_ids: What was on it.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    made_at: datetime
    task_ids: tuple[UUID, ...] = ()
    hours: float = 0.0
    money: float = 0.0
    note: str = ""
