"""What to do in a teardown, day by day and person by person."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.model.caution import Caution
from leaktrack.model.redo_plan import RedoPart
from leaktrack.model.redo_problem import Slot, WorkKind

CLOCK_H = 24.0
"""Hours from one morning to the next."""


@dataclass(frozen=True, slots=True)
class DatedSlot:
    """A piece of work on the clock: people go home, cures go on.

    Attributes:
        spans: Hours from the morning of the first day, begin and end of each day's part. A cure
            has one span.
    """

    slot: Slot
    spans: tuple[tuple[float, float], ...]

    @property
    def begin_h(self) -> float:
        """When it begins."""
        return self.spans[0][0]

    @property
    def end_h(self) -> float:
        """When it is over."""
        return self.spans[-1][1]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """A piece of work, or a part of it, on one day.

    Attributes:
        record_id: Of the access step or task.
        worker: Who does it, counted from 1; None for a cure.
        begin_h: Hours from that day's morning.
        end_h: The same; beyond the day for a cure that goes on.
        hours: Person-hours of it on that day.
        whole_hours: Of all of it.
        is_continued: It was begun on a day before.
        goes_on: It is not finished on that day.
        instructions: What else to know: tightening, what the material asks for.
    """

    record_id: UUID
    kind: WorkKind
    name: str
    worker: int | None
    begin_h: float
    end_h: float
    hours: float
    whole_hours: float
    is_continued: bool = False
    goes_on: bool = False
    parts: tuple[RedoPart, ...] = ()
    tools: tuple[str, ...] = ()
    instructions: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetDay:
    """One day.

    Attributes:
        number: Counted from 1, the day on which work begins.
        lines: By person, each in order; cures last.
    """

    number: int
    lines: tuple[SheetLine, ...]


@dataclass(frozen=True, slots=True)
class NeededPart:
    """A part or fluid to have at hand, and the names of what takes it."""

    part: RedoPart
    taken_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StillCuring:
    """A task that was ticked off and cures yet.

    Attributes:
        blocks_refit: What it needed off may go back on only after that.
    """

    name: str
    until: datetime
    blocks_refit: bool


@dataclass(frozen=True, slots=True)
class WorkSheet:
    """All that is to be done, what was off already put back included.

    Attributes:
        slots: The same on the clock, in the order in which it begins.
        parts: Counts of the same part summed, single-use parts first.
        ready_h: Hours from the first morning until all work and all cures are over.
        curing: What was done before and cures yet; these times are on the calendar.
    """

    days: tuple[SheetDay, ...]
    slots: tuple[DatedSlot, ...]
    parts: tuple[NeededPart, ...]
    cautions: tuple[Caution, ...]
    day_hours: float
    ready_h: float
    curing: tuple[StillCuring, ...] = ()

    @property
    def ready_day(self) -> int:
        """The day on which it is ready, counted from 1."""
        return int(max(self.ready_h - 1e-9, 0) // CLOCK_H) + 1
