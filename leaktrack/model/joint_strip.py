"""The joint strip: a joint unrolled into a straight chart, with its bead and what each look saw.

Stations of a closed joint may run below the first bolt or past the last one where a stretch goes
over it; ``JointStrip.pieces`` says where such a stretch lies on the chart.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from leaktrack.model.bead_audit import BeadDefectKind, BeadVerdict
from leaktrack.model.engine import Joint
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.sealing_job import Deviation, Evidence, SealingJob
from leaktrack.model.shapes import PointPx

Stretch = tuple[float, float]
"""From one station to another."""


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
        sigma: One standard deviation of the station; None: not known.
        sigma_mm: The same in mm; None where nothing tells the scale.
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
    sigma: float | None = None
    sigma_mm: float | None = None


@dataclass(frozen=True, slots=True)
class StripSight:
    """Where one photo shows the joint.

    Attributes:
        places: Along the joint's line, by rising station.
    """

    photo_id: UUID
    places: tuple[tuple[float, PointPx], ...]

    def at(self, station: float) -> PointPx | None:
        """Return where the photo shows a station; None where it does not."""
        stations = [each for each, _ in self.places]
        if not stations or not stations[0] - 1e-6 <= station <= stations[-1] + 1e-6:
            return None
        index = min(max(bisect_right(stations, station), 1), len(stations) - 1)
        (low, start), (high, end) = self.places[index - 1], self.places[index]
        share = (station - low) / (high - low) if high > low else 0.0
        return PointPx(start.x + share * (end.x - start.x), start.y + share * (end.y - start.y))


@dataclass(frozen=True, slots=True)
class StripWidth:
    """The bead's width at one station, in the bead's unit; 0 where there is none."""

    station: float
    width: float
    is_read: bool
    at_px: PointPx


@dataclass(frozen=True, slots=True)
class StripFault:
    """A stretch of a bead that is not as it should be.

    Attributes:
        length: Along the joint, in the bead's unit.
        least_width: The narrowest of it, or the widest of a thick place, in the bead's unit.
        score: Chance that it is there, 0 to 1.
    """

    kind: BeadDefectKind
    start: float
    end: float
    length: float
    least_width: float
    score: float


@dataclass(frozen=True, slots=True)
class StripUnread:
    """A stretch of a bead that its photo does not show well enough."""

    start: float
    end: float
    reason: str


@dataclass(frozen=True)
class StripBead:
    """What one photo shows of a job's bead, along the joint.

    Attributes:
        unit: "mm", or "px" where the photo has no scale; widths of two such photos do not compare.
        narrowest: Least width allowed; None where nobody said.
        widest: Greatest width allowed.
        widths: By rising station; those of a closed joint may run past its last bolt.
    """

    photo_id: UUID
    verdict: BeadVerdict
    unit: str
    nominal: float | None
    narrowest: float | None
    widest: float | None
    widths: tuple[StripWidth, ...]
    faults: tuple[StripFault, ...] = ()
    unread: tuple[StripUnread, ...] = ()

    @cached_property
    def usual(self) -> float:
        """The width that others are told against: the one asked for, else the middle one read."""
        read = sorted(each.width for each in self.widths if each.is_read and each.width > 0)
        return self.nominal or (read[len(read) // 2] if read else 1.0)

    @cached_property
    def stations(self) -> tuple[float, ...]:
        """Those of the widths."""
        return tuple(each.station for each in self.widths)

    def width_at(self, station: float) -> StripWidth | None:
        """Return the width nearest to a station; None where the photo does not show it."""
        if not self.widths or not self.stations[0] <= station <= self.stations[-1]:
            return None
        index = bisect_right(self.stations, station)
        near = self.widths[max(0, index - 1) : index + 1]
        return min(near, key=lambda each: abs(each.station - station))


@dataclass(frozen=True, slots=True)
class StripRow:
    """One row of the chart: an inspection with its marks, or a sealing job as a break.

    Attributes:
        seen: Stretches (from, to) of the joint that this inspection's photos show.
        sights: Where they show them.
        beads: What photos show of the job's bead, one for each photo.
        cured_h: Hours from closing the joint until the engine ran first; None: not known.
        spans: Footage that shows the job.
        deviations: Where the job departs from its material's rule.
        untightened: Bolts that no recorded tightening names, where others are named.
    """

    at: datetime
    inspection: Inspection | None
    job: SealingJob | None
    marks: tuple[StripMark, ...] = ()
    seen: tuple[Stretch, ...] = ()
    sights: tuple[StripSight, ...] = ()
    beads: tuple[StripBead, ...] = ()
    cured_h: float | None = None
    spans: tuple[Evidence, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    untightened: tuple[int, ...] = ()

    @property
    def shown_marks(self) -> list[StripMark]:
        """The worst mark of each leak, along the joint: several photos may show a leak."""
        by_leak: dict[int, StripMark] = {}
        for mark in self.marks:
            other = by_leak.get(mark.leak_number)
            if other is None or (wetness(mark.grade) or 0) > (wetness(other.grade) or 0):
                by_leak[mark.leak_number] = mark
        return sorted(by_leak.values(), key=lambda mark: mark.station)


@dataclass(frozen=True, slots=True)
class JointStrip:
    """The chart of one joint, oldest row first.

    Attributes:
        first: Lowest station; the first bolt's number.
        last: Highest station; on a closed joint, one past the last bolt: the first bolt again.
        unplaced: Photos whose leaks are not on the chart, since no line tells stations there.
    """

    joint: Joint
    bolts: tuple[StripBolt, ...]
    first: float
    last: float
    rows: tuple[StripRow, ...]
    unplaced: tuple[UUID, ...] = ()

    def wrapped(self, station: float) -> float:
        """Return where a station lies on the chart; that of an open joint may lie beyond it."""
        if not self.joint.is_closed or self.first <= station <= self.last:
            return station
        return (station - self.first) % (self.last - self.first) + self.first

    def pieces(self, low: float, high: float) -> tuple[Stretch, ...]:
        """Return a stretch as the pieces of it that lie on the chart, from low to high."""
        if not self.joint.is_closed:
            start, end = max(low, self.first), min(high, self.last)
            return ((start, end),) if start <= end else ()
        turn = self.last - self.first
        if high - low >= turn:
            return ((self.first, self.last),)
        start = self.wrapped(low)
        end = start + high - low
        if end <= self.last:
            return ((start, end),)
        return ((self.first, end - turn), (start, self.last))

    def holds(self, low: float, high: float, station: float, slack: float = 0.0) -> bool:
        """Return whether a station lies in a stretch, or a little beside it."""
        return any(start <= station <= end for start, end in self.pieces(low - slack, high + slack))

    def bead_runs(self, bead: StripBead) -> list[list[tuple[float, float]]]:
        """Return stations and widths of a bead in runs that were read and have no gap.

        No run goes over the end of the chart.
        """
        runs: list[list[tuple[float, float]]] = [[]]
        before = self.first
        for each in bead.widths:
            station = self.wrapped(each.station)
            is_there = each.is_read and each.width > 0
            if not is_there or station < before:
                runs.append([])
            if is_there:
                runs[-1].append((station, each.width))
            before = station
        return [run for run in runs if run]

    def turns(self, station: float) -> tuple[float, ...]:
        """Return all values that a line or a bead may use for a station."""
        if not self.joint.is_closed:
            return (station,)
        turn = self.last - self.first
        return tuple(station + count * turn for count in (0, 1, -1, 2))

    def job_row_above(self, row: int) -> int | None:
        """Return which row is the sealing job in force at a row; the row itself if it is one."""
        rows: Sequence[StripRow] = self.rows
        return next((place for place in range(row, -1, -1) if rows[place].job), None)
