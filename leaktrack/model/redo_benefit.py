"""What is it worth to do a task now? The factors, each of which a person can see and doubt."""

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from leaktrack.model.redo_plan import RedoTask
from leaktrack.model.redo_problem import RedoAnswer


class ChanceFrom(Enum):
    """What says how likely a joint leaks on, or leaks again, if it is left."""

    LEAKS = "leaks"
    HISTORY = "history"
    CHECK_FAILED = "check_failed"
    CHECK_OPEN = "check_open"
    RIDES_ALONG = "rides_along"


@dataclass(frozen=True, slots=True, kw_only=True)
class Benefit:
    """Expected cost of leaving a task.

    Attributes:
        chance: That it comes back as a job of its own.
        chance_from: What says so.
        about_ids: The leaks or the check that say so.
        later_hours: Labour of a separate teardown for it, by the cheapest way in.
        later_money: Parts and fluids of that teardown.
        mess: Money for lost oil, cleaning and the risk of a leak on the road.
        hour_rate: Money for an hour of labour.
    """

    chance: float
    chance_from: ChanceFrom
    about_ids: tuple[UUID, ...] = ()
    later_hours: float
    later_money: float
    mess: float
    hour_rate: float

    @property
    def worth(self) -> float:
        """Money that doing it now is worth."""
        return self.chance * (self.later_hours * self.hour_rate + self.later_money + self.mess)


@dataclass(frozen=True, slots=True)
class WeighedTask:
    """A task with what doing it now is worth."""

    task: RedoTask
    benefit: Benefit


@dataclass(frozen=True, slots=True)
class WeighedRedo:
    """All open tasks of an engine, weighed against what they cost in one teardown.

    Attributes:
        answer: Its ids are those of the records, as text.
    """

    tasks: tuple[WeighedTask, ...]
    answer: RedoAnswer
