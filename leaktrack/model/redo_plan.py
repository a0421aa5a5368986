"""What to redo while the engine is apart, and what must come off to reach it."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.caution import Caution
from leaktrack.model.identity import new_id


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessStep:
    """Something that must come off, drain or move aside.

    Attributes:
        hours: Person-hours to take it off.
        refit_hours: Person-hours to put it back.
        money: Single-use parts and fluids.
        is_done: It is off already, so it costs nothing now.
        needs: Ids of the steps that must be off before it.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    name: str
    hours: float
    refit_hours: float = 0.0
    money: float = 0.0
    is_done: bool = False
    needs: tuple[UUID, ...] = ()
    cautions: tuple[Caution, ...] = ()
    position: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RedoTask:
    """Work that can be done in a teardown: seal a joint again, or something that rides along.

    Attributes:
        joint_id: The joint it seals again.
        check_id: The check that asked for it.
        cure_h: Hours to wait after it before the engine may run.
        needs: Ids of the access steps it needs.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    name: str
    joint_id: UUID | None = None
    check_id: UUID | None = None
    hours: float
    money: float = 0.0
    cure_h: float = 0.0
    needs: tuple[UUID, ...] = ()
    cautions: tuple[Caution, ...] = ()
    is_done: bool = False


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
