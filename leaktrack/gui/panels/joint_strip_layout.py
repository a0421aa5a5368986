"""Where the things of a joint strip lie, and in which order the keyboard meets them; no drawing."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from leaktrack.model.joint_strip import (
    JointStrip,
    Stretch,
    StripBead,
    StripFault,
    StripMark,
    StripRow,
    StripUnread,
)
from leaktrack.model.shapes import PointPx
from leaktrack.model.strip_words import WITHIN


@dataclass(frozen=True, slots=True)
class StripScale:
    """Turns stations into x, in px of the chart, and back."""

    first: float
    last: float
    left_px: float
    width_px: float

    def x(self, station: float) -> float:
        """Return where a station lies."""
        span = max(self.last - self.first, 1e-9)
        return self.left_px + (station - self.first) / span * self.width_px

    def station(self, x: float) -> float:
        """Return the station at x, kept on the joint."""
        fraction = (x - self.left_px) / max(self.width_px, 1e-9)
        return self.first + min(1.0, max(0.0, fraction)) * (self.last - self.first)


@dataclass(frozen=True, slots=True)
class StripHeights:
    """How high the parts of a chart are, in px.

    Attributes:
        axis: The flange with its bolts.
        row: An inspection, or a seal of whose bead nothing is known.
        band: A seal with its bead.
    """

    axis: int
    row: int
    band: int

    @classmethod
    def of(cls, text_px: int, target_px: int) -> "StripHeights":
        """Return the heights for a height of text and the least side of what is to be hit."""
        row = max(text_px + 6, target_px)
        return cls(axis=text_px + 12, row=row, band=max(round(3.6 * text_px), row))

    def of_row(self, row: StripRow) -> int:
        """Return how high a row is."""
        return self.band if row.beads else self.row

    def tops(self, rows: Sequence[StripRow]) -> list[int]:
        """Return where each row begins, and after them where the last one ends."""
        tops = [self.axis]
        for row in rows:
            tops.append(tops[-1] + self.of_row(row))
        return tops


def label_step(bolts: int, width_px: float, label_px: float) -> int:
    """Return which bolts get a number: 1 for each, 2 for every other, then 5, 10, ...

    >>> label_step(18, 900, 20), label_step(40, 300, 20)
    (1, 5)
    """
    for step in (1, 2, 5, 10, 20, 50, 100):
        if bolts / step * label_px <= width_px:
            return step
    return 200


def spread(middles: Sequence[float], width: float, right: float) -> list[float]:
    """Return left edges of things of one width, near their middles but none over another.

    Args:
        middles: Rising.
        width: Of each.
        right: None reaches past it, as far as there is room.

    >>> spread([50, 55, 200], 20, 300)
    [40.0, 62.0, 190.0]
    """
    apart = width + 2
    lefts: list[float] = []
    for middle in middles:
        left = middle - width / 2
        lefts.append(max(left, lefts[-1] + apart) if lefts else left)
    limit = right - width
    for place in range(len(lefts) - 1, -1, -1):
        lefts[place] = min(lefts[place], limit)
        limit = lefts[place] - apart
    return lefts


def complement(strip: JointStrip, stretches: Iterable[Stretch]) -> list[Stretch]:
    """Return the stretches of the chart that are in none of these."""
    left: list[Stretch] = []
    at = strip.first
    for start, end in sorted(stretches):
        if start > at + 1e-6:
            left.append((at, start))
        at = max(at, end)
    return [*left, (at, strip.last)] if at < strip.last - 1e-6 else left


def covered(strip: JointStrip, bead: StripBead) -> tuple[Stretch, ...]:
    """Return the stretches of the chart that a photo of the bead shows."""
    if not bead.stations:
        return ()
    return strip.pieces(bead.stations[0], bead.stations[-1])


def is_seen(row: StripRow, station: float) -> bool:
    """Return whether an inspection's photos show that place of the joint."""
    return any(start <= station <= end for start, end in row.seen)


def mark_at(strip: JointStrip, row: StripRow, station: float, slack: float) -> StripMark | None:
    """Return the mark at a station, the one whose source is nearest; None if there is none.

    Args:
        strip: The chart.
        row: An inspection's row.
        station: Bolt coordinate.
        slack: How far beside a wet stretch still counts, in bolt coordinates.
    """
    near = [
        mark for mark in row.shown_marks if strip.holds(mark.wet_from, mark.wet_to, station, slack)
    ]
    return min(near, key=lambda mark: abs(strip.wrapped(mark.station) - station), default=None)


def faults_at(
    strip: JointStrip, job_row: StripRow | None, station: float, slack: float
) -> list[tuple[StripBead, StripFault]]:
    """Return what is wrong with a job's bead at a station, or a little beside it."""
    return [
        (bead, fault)
        for bead in (job_row.beads if job_row is not None else ())
        for fault in bead.faults
        if strip.holds(fault.start, fault.end, station, slack)
    ]


def unread_at(strip: JointStrip, bead: StripBead, station: float) -> StripUnread | None:
    """Return the unread stretch of a bead that a station lies in; None if it lies in none."""
    hit = (each for each in bead.unread if strip.holds(each.start, each.end, station))
    return next(hit, None)


def reach(mark: StripMark, slack: float) -> float:
    """Return how far from a mark's station its true place may lie, at least the slack."""
    return max(slack, WITHIN * (mark.sigma or 0.0))


def place_in_photo(
    strip: JointStrip, row: StripRow, station: float, slack: float
) -> tuple[object, PointPx] | None:
    """Return the photo (UUID) that shows a place of the chart, and where; None if none does.

    That is the photo of the mark there; else one that shows the joint there; of a seal, a photo
    of its bead, the one that could be read there first.
    """
    if row.inspection is not None:
        mark = mark_at(strip, row, station, slack)
        if mark is not None:
            return mark.photo_id, mark.at_px
    for sight in row.sights:
        for turn in strip.turns(station):
            if (at := sight.at(turn)) is not None:
                return sight.photo_id, at
    shown = [
        (not width.is_read, place, bead.photo_id, width.at_px)
        for place, bead in enumerate(row.beads)
        for turn in strip.turns(station)
        if (width := bead.width_at(turn)) is not None
    ]
    if not shown:
        return None
    _, _, photo_id, at = min(shown, key=lambda one: one[:2])
    return photo_id, at


def findings(strip: JointStrip, row: StripRow) -> list[float]:
    """Return the stations at which a row has something to tell, rising."""
    stations = [mark.station for mark in row.shown_marks]
    for bead in row.beads:
        stations += [(each.start + each.end) / 2 for each in bead.faults]
        stations += [(each.start + each.end) / 2 for each in bead.unread]
    return sorted({strip.wrapped(each) for each in stations})


def stops(strip: JointStrip, row: StripRow) -> list[float]:
    """Return the stations that the keyboard steps through in a row: bolts and findings, rising."""
    ends = [] if strip.bolts and not strip.joint.is_closed else [strip.first, strip.last]
    return sorted({*ends, *(bolt.station for bolt in strip.bolts), *findings(strip, row)})


def next_station(stations: Sequence[float], station: float, direction: int) -> float | None:
    """Return the next station along the joint; None if there is none on that side.

    Args:
        stations: To step through.
        station: Where to start from.
        direction: 1 towards higher numbers, -1 towards lower ones.
    """
    beyond = [each for each in stations if (each - station) * direction > 1e-6]
    return min(beyond, key=lambda each: abs(each - station), default=None)
