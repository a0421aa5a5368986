"""The joint strip: a joint unrolled into a straight chart, with what each inspection saw of it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.model.engine import Joint
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx


@dataclass(frozen=True, slots=True)
class StripBolt:
    """A bolt as a tick of the chart.

    Attributes:
        station: Its bolt coordinate, which is its number.
        station_mm: Its place in mm, where measured.
    """

    number: int
    station: float
    station_mm: float | None


@dataclass(frozen=True, slots=True)
class StripMark:
    """A leak mark on the chart.

    Attributes:
        station: Bolt coordinate of its source.
        wet_from: Lowest station that its outline reaches near the joint; same as station if none.
        wet_to: Highest such station.
        at_px: The place on the joint line in the photo, to show it there.
    """

    leak_id: UUID
    leak_number: int
    mark_id: UUID
    photo_id: UUID
    station: float
    wet_from: float
    wet_to: float
    grade: SeepageGrade
    at_px: PointPx


@dataclass(frozen=True, slots=True)
class StripRow:
    """One row of the chart: an inspection with its marks, or a sealing job as a break.

    Attributes:
        seen: Stretches (from, to) of the joint that this inspection's photos show.
    """

    at: datetime
    inspection: Inspection | None
    job: SealingJob | None
    marks: tuple[StripMark, ...] = ()
    seen: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class JointStrip:
    """The chart of one joint, oldest row first.

    Attributes:
        first: Lowest station; the first bolt's number.
        last: Highest station; on a closed joint, one past the last bolt: the first bolt again.
    """

    joint: Joint
    bolts: tuple[StripBolt, ...]
    first: float
    last: float
    rows: tuple[StripRow, ...]
