"""On what terms a teardown is planned, and how long its work really took."""

from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from leaktrack.model.identity import new_id
from leaktrack.model.redo_problem import WorkKind

HOUR_RATE = 80.0
"""Money for an hour of labour. Own proposal; a workshop knows its own."""

MESS_MONEY = 40.0
"""Lost oil, cleaning, the risk of a leak on the road; one leak. Own proposal."""

DAY_HOURS = 8.0
"""Hours that one person works in a day. Common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RedoTerms:
    """On what terms the work on one engine is weighed and ordered; one for each engine.

    Attributes:
        hour_rate: Money for an hour of labour.
        mess: Money for what a leak costs beside the work on it.
        workers: How many people work on it.
        day_hours: Hours that each of them works in a day.
        hours_budget: Upper limit on all labour.
        money_budget: Upper limit on parts and fluids.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    hour_rate: float = HOUR_RATE
    mess: float = MESS_MONEY
    workers: int = 1
    day_hours: float = DAY_HOURS
    hours_budget: float | None = None
    money_budget: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkTime:
    """How long somebody really worked on an access step or on a task.

    Attributes:
        access_step_id: The step, for taking off and refitting.
        redo_task_id: The task otherwise.
        kind: Never a cure: nobody works on that.
        hours: Person-hours.
    """

    id: UUID = field(default_factory=new_id)
    engine_id: UUID
    access_step_id: UUID | None = None
    redo_task_id: UUID | None = None
    kind: WorkKind
    hours: float
    done_at: datetime
    done_by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class WorkEstimate:
    """How long a piece of work takes, by what was written down and what was recorded.

    Attributes:
        hours: What is reckoned with.
        written_hours: What stands in the step or task.
        count: How many times were recorded, over all engines of the project.
        spread_h: Standard deviation of the recorded times; None below two.
    """

    hours: float
    written_hours: float
    count: int = 0
    spread_h: float | None = None
