"""What changed between two inspections."""

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from leaktrack.model.leak import Leak, LeakMark, SeepageGrade


class Change(Enum):
    """How a leak fared from one inspection to a later one."""

    NEW = "new"
    GROWING = "growing"
    STEADY = "steady"
    SHRINKING = "shrinking"
    GONE = "gone"
    STILL_DRY = "still_dry"
    NOT_SEEN = "not_seen"


@dataclass(frozen=True, slots=True)
class Sighting:
    """What one inspection saw of one leak: the worst of its marks there.

    Attributes:
        grade: Not seen where the inspection has no mark of it.
        mark: The mark the grade comes from.
        nothing_noticed: There is no mark, but the zone was photographed and nobody had marked this
            leak by then; so it was not noticed there, which is less than seen to be dry.
        area_mm2: Wet area, where that photo has a scale.
        extent_mm: How long it is, likewise.
        area_sigma_mm2: One standard deviation of the area; None where that is not known.
        extent_sigma_mm: The same of how long it is.
    """

    inspection_id: UUID
    grade: SeepageGrade
    mark: LeakMark | None = None
    area_px: float | None = None
    area_mm2: float | None = None
    extent_mm: float | None = None
    nothing_noticed: bool = False
    area_sigma_mm2: float | None = None
    extent_sigma_mm: float | None = None


@dataclass(frozen=True, slots=True)
class LeakChange:
    """One leak at two inspections."""

    leak: Leak
    before: Sighting
    after: Sighting
    change: Change


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two inspections of one zone, or of the whole engine where ``zone_id`` is None."""

    before_id: UUID
    after_id: UUID
    zone_id: UUID | None
    changes: tuple[LeakChange, ...]


@dataclass(frozen=True, slots=True)
class LeakHistory:
    """One leak at every inspection of its engine, oldest first."""

    leak: Leak
    sightings: tuple[Sighting, ...]
