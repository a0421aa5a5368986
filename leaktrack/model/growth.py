"""How a leak grew over running hours."""

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from leaktrack.model.leak import Leak, SeepageGrade


class Measure(Enum):
    """What of a leak is followed over the hours."""

    AREA = "area"
    EXTENT = "extent"
    GRADE = "grade"


class TrendState(Enum):
    """What the looks say about a measure."""

    GROWING = "growing"
    SHRINKING = "shrinking"
    LEVEL = "level"
    CANNOT_SAY = "cannot_say"


class GrowthGap(Enum):
    """Why a trend cannot be told."""

    NO_HOURS = "no_hours"
    NOT_MEASURED = "not_measured"
    TOO_FEW = "too_few"


@dataclass(frozen=True, slots=True)
class GrowthPoint:
    """What one look saw of a leak.

    Attributes:
        hours: Run by then since the rebuild; None where nobody wrote it down.
        area_mm2: Wet area; None where that photo has no scale; 0 where it was seen to be dry.
        area_sigma_mm2: One standard deviation, where known.
        extent_mm: How long the wet area is, likewise.
        series: Counted from 0; each wipe begins another.
    """

    inspection_id: UUID
    hours: float | None
    grade: SeepageGrade
    area_mm2: float | None
    area_sigma_mm2: float | None
    extent_mm: float | None
    extent_sigma_mm: float | None
    series: int


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line over running hours: ``level`` at ``hours``, ``per_hour`` beyond."""

    hours: float
    level: float
    per_hour: float

    def at(self, hours: float) -> float:
        """Return its value at some hours."""
        return self.level + self.per_hour * (hours - self.hours)


@dataclass(frozen=True, slots=True)
class Trend:
    """How a measure went since the last wipe.

    Attributes:
        state: Whether it grows, as far as the looks can tell.
        looks: How many looks since the last wipe it rests on.
        likely: The robust line through them; None without.
        slowest: The line with the least growth that the looks allow; None where they allow any.
        fastest: That with the most.
        confidence: The chance that the true growth lies between both, 0 to 1; None without them.
        gap: Why it cannot be told.
    """

    measure: Measure
    state: TrendState
    looks: int
    likely: Line | None = None
    slowest: Line | None = None
    fastest: Line | None = None
    confidence: float | None = None
    gap: GrowthGap | None = None


@dataclass(frozen=True, slots=True)
class NextGrade:
    """When a leak reaches the next grade's extent, if it goes on as since the last wipe.

    Attributes:
        grade: The next one.
        extent_mm: Where it begins.
        hours: Of running from the last look on, likely; None where that cannot be told.
        least_hours: At the earliest; None where that cannot be told.
        most_hours: At the latest; None where it may never get there.
    """

    grade: SeepageGrade
    extent_mm: float
    hours: float | None = None
    least_hours: float | None = None
    most_hours: float | None = None


@dataclass(frozen=True, slots=True)
class Growth:
    """One leak over running hours.

    Attributes:
        points: One for each look that saw it, oldest first.
        until: The look that the trends reach to, as its place in ``points``; -1 for none.
        trends: Of its area, extent and grade from the wipe before that look up to it.
        next_grade: None where that look has no extent, or it is beyond the last limit.
    """

    leak: Leak
    points: tuple[GrowthPoint, ...]
    until: int
    trends: tuple[Trend, ...]
    next_grade: NextGrade | None

    @property
    def in_trend(self) -> tuple[GrowthPoint, ...]:
        """The looks from the last wipe up to the one in question."""
        if self.until < 0:
            return ()
        series = self.points[self.until].series
        return tuple(each for each in self.points[: self.until + 1] if each.series == series)

    def trend(self, measure: Measure) -> Trend:
        """Return the trend of one measure."""
        return next(each for each in self.trends if each.measure is measure)
