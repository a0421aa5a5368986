"""Where the things of a joint strip lie, and how a place on it is read out; no drawing here."""

from collections.abc import Sequence
from dataclasses import dataclass

from leaktrack.model.joint_strip import JointStrip, StripMark, StripRow
from leaktrack.model.words import grade_words, station_words


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


def label_step(bolts: int, width_px: float, label_px: float) -> int:
    """Return which bolts get a number: 1 for each, 2 for every other, then 5, 10, ...

    >>> label_step(18, 900, 20), label_step(40, 300, 20)
    (1, 5)
    """
    for step in (1, 2, 5, 10, 20, 50, 100):
        if bolts / step * label_px <= width_px:
            return step
    return 200


def newest_first(strip: JointStrip) -> tuple[StripRow, ...]:
    """Return the rows as they are drawn: like the logbook, newest on top."""
    return tuple(reversed(strip.rows))


def is_seen(row: StripRow, station: float) -> bool:
    """Return whether an inspection's photos show that place of the joint."""
    return any(start <= station <= end for start, end in row.seen)


def mark_at(row: StripRow, station: float, slack: float) -> StripMark | None:
    """Return the mark at a station, the one whose source is nearest; None if there is none.

    Args:
        row: An inspection's row.
        station: Bolt coordinate.
        slack: How far beside a wet stretch still counts, in bolt coordinates.
    """
    near = [mark for mark in row.marks if mark.wet_from - slack <= station <= mark.wet_to + slack]
    return min(near, key=lambda mark: abs(mark.station - station), default=None)


def row_name(row: StripRow) -> str:
    """Return what a row is called at the left of the chart."""
    day = row.at.astimezone()
    date = f"{day.day} {day:%b}"
    if row.inspection is None:
        return f"{date}  sealed"
    return f"{date}  {row.inspection.title or 'inspection'}"


def place_words(strip: JointStrip, row: StripRow, station: float, slack: float) -> str:
    """Return what the chart shows at a place, in words."""
    where = _station_words(strip, station).capitalize()
    if row.inspection is None:
        return f"{where}: sealed on {_date_words(row)}. Rows below are of the seal before."
    mark = mark_at(row, station, slack)
    title = row.inspection.title or word_of_inspection()
    if mark is not None:
        stretch = ""
        if mark.wet_to > mark.wet_from:
            stretch = f", wet from {_station_words(strip, mark.wet_from)} to {mark.wet_to:.1f}"
        return f"{where}, {title}: leak {mark.leak_number}, {grade_words(mark.grade)}{stretch}"
    if not is_seen(row, station):
        return f"{where}, {title}: not seen"
    return f"{where}, {title}: no mark"


def word_of_inspection() -> str:
    """Return what an inspection without a title is called."""
    return "inspection"


def _date_words(row: StripRow) -> str:
    return f"{row.at.astimezone():%Y-%m-%d}"


def _station_words(strip: JointStrip, station: float) -> str:
    if strip.bolts:
        return station_words(station)
    return f"{station * 100:.0f} % of its length"


def next_mark_station(marks: Sequence[StripMark], station: float, direction: int) -> float | None:
    """Return the station of the next mark along the joint; None if there is none on that side.

    Args:
        marks: Those of one row.
        station: Where to start from, in bolt coordinates.
        direction: 1 towards higher numbers, -1 towards lower ones.
    """
    beyond = [mark.station for mark in marks if (mark.station - station) * direction > 1e-6]
    return min(beyond, key=lambda each: abs(each - station), default=None)
