"""What a photo of a bare flange shows of the bead on it: widths, places off the line, defects."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx


class BeadVerdict(Enum):
    """What can be said of a whole bead."""

    CONTINUOUS = "continuous"
    DEFECTIVE = "defective"
    UNREADABLE = "unreadable"


class BeadDefectKind(Enum):
    """What is wrong with a stretch of a bead."""

    GAP = "gap"
    THIN = "thin"
    THICK = "thick"
    OFF_TRACK = "off_track"


@dataclass(frozen=True, slots=True)
class BeadPoint:
    """The bead at one place of its path.

    Attributes:
        along: From the path's start, in the audit's unit.
        width: Across the path; 0 where there is none.
        offset: Of its middle from the path, positive to the left of somebody who follows it.
        is_read: Whether the photo shows it well enough to trust this.
        at_px: The place on the path.
        station: Bolt coordinate, where the joint's bolts are known.
    """

    along: float
    width: float
    offset: float
    is_read: bool
    at_px: PointPx
    station: float | None = None


@dataclass(frozen=True, slots=True)
class BeadDefect:
    """A stretch of the bead that is not as it should be.

    Attributes:
        start: From the path's start, in the audit's unit.
        end: The same.
        least_width: The narrowest, or for a thick place the widest, of the stretch.
        score: Calibrated chance that it is there, 0 to 1.
        start_station: Bolt coordinate of the start, where the joint's bolts are known.
        end_station: Bolt coordinate of the end.
    """

    kind: BeadDefectKind
    start: float
    end: float
    least_width: float
    score: float
    start_station: float | None = None
    end_station: float | None = None

    @property
    def station(self) -> float | None:
        """Bolt coordinate of its middle; of its start where it runs over a ring's first bolt.

        >>> BeadDefect(BeadDefectKind.GAP, 10, 15, 0, 1, 4.4, 4.6).station
        4.5
        >>> BeadDefect(BeadDefectKind.GAP, 10, 15, 0, 1, 10.9, 1.1).station
        10.9
        """
        if self.start_station is None or self.end_station is None:
            return self.start_station
        if abs(self.end_station - self.start_station) > 1:
            return self.start_station
        return (self.start_station + self.end_station) / 2


@dataclass(frozen=True, slots=True)
class UnreadStretch:
    """A stretch that cannot be judged.

    Attributes:
        start: From the path's start, in the audit's unit.
        end: The same.
        reason: Such as "glare"; a word of the window's language is made of it elsewhere.
    """

    start: float
    end: float
    reason: str


class HoleSide(Enum):
    """On which side of a bolt hole a bead passes."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    AROUND = "around"
    OVER = "over"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class HolePassing:
    """How a bead passes a bolt hole.

    Attributes:
        name: The bolt's number, or what the hole is called.
        side: Left and right, of somebody who follows the path, are told where nobody knows which
            side of the joint is the inner one; None where the bead was not read there.
        along: Where on the path, in the audit's unit.
        clearance: From the rim of the hole to the bead, in the audit's unit; below 0 the bead lies
            over the rim. None where it was not read.
        at_px: The middle of the hole.
    """

    name: str
    side: HoleSide | None
    along: float
    clearance: float | None
    at_px: PointPx


@dataclass(frozen=True, slots=True)
class MisplacedBead:
    """A bolt that a bead passes on a side where the material's rule does not want it.

    Attributes:
        photo_id: The photo that shows it.
        at_px: The middle of the hole, in that photo.
    """

    bolt_number: int
    photo_id: UUID
    at_px: PointPx

    @property
    def subject(self) -> str:
        """What a departure from the rule is said to be about."""
        return f"bolt {self.bolt_number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BeadAudit:
    """A bead as measured in one photo. A proposal of the program: a person may keep or remove it.

    Attributes:
        unit: "mm" or, where the photo has no scale, "px".
        nominal: The width that was asked for, in the unit; None where nobody said.
        narrowest: Least width allowed.
        widest: Greatest width allowed.
        tolerance_source: Where both come from.
        mm_per_px: Scale at the middle of the path; None without a scale.
    """

    id: UUID = field(default_factory=new_id)
    sealing_job_id: UUID
    photo_id: UUID
    made_at: datetime
    verdict: BeadVerdict
    unit: str
    nominal: float | None = None
    narrowest: float | None = None
    widest: float | None = None
    tolerance_source: str = ""
    mm_per_px: float | None = None
    points: tuple[BeadPoint, ...] = ()
    defects: tuple[BeadDefect, ...] = ()
    unread: tuple[UnreadStretch, ...] = ()
