"""Draw a joint strip: the joint unrolled, its bolts as ticks, one row for each inspection."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo

from leaktrack.model.joint_strip import JointStrip, StripMark, StripRow
from leaktrack.model.leak import wetness
from leaktrack.model.words import grade_words, station_words
from leaktrack.report import grade_sign
from leaktrack.report.amounts import day, short_day
from leaktrack.report.colors import grade_class
from leaktrack.report.markup import Markup, element, joined, void

WIDTH = 1000.0
"""Of the drawing's view box; all sizes below are in its units."""

_LEFT = 265.0  # labels stand left of the chart
_RIGHT = 975.0
_SCALE_HEIGHT = 46.0
_ROW = 50.0
_JOB_ROW = 30.0
_LABEL_LETTERS = 32
_SIGN_GAP = 8.0
_NUMBER_WIDTH = 66.0  # "leak 12" beside a sign


@dataclass(frozen=True, slots=True)
class _Axis:
    """Turns a station into a place across the chart."""

    first: float
    last: float

    def x(self, station: float) -> float:
        span = self.last - self.first or 1.0
        share = min(1.0, max(0.0, (station - self.first) / span))
        return _LEFT + share * (_RIGHT - _LEFT)


def strip_drawing(strip: JointStrip, zone: tzinfo | None) -> tuple[Markup, float]:
    """Return a joint strip as SVG elements, and the height of its view box.

    Args:
        strip: The chart's values.
        zone: In which dates are told.
    """
    axis = _Axis(strip.first, strip.last)
    top = _SCALE_HEIGHT
    pieces = []
    for row in strip.rows:
        pieces.append(_job_row(row, top, zone) if row.job else _row(row, axis, top, zone))
        top += _JOB_ROW if row.job else _ROW
    return joined(*pieces, _scale(strip, axis, top)), top + 6


def strip_sentences(strip: JointStrip, zone: tzinfo | None) -> str:
    """Return what the drawing shows, in words."""
    numbers = [bolt.number for bolt in strip.bolts]
    bolts = f", bolts {numbers[0]} to {numbers[-1]}" if len(numbers) > 1 else ""
    rows = [_row_sentence(row, zone) for row in strip.rows]
    return " ".join([f"{strip.joint.name}{bolts}, unrolled.", *rows])


def shown_marks(row: StripRow) -> list[StripMark]:
    """Return the worst mark of each leak in a row, along the joint: photos may repeat a leak."""
    by_leak: dict[int, StripMark] = {}
    for mark in row.marks:
        other = by_leak.get(mark.leak_number)
        if other is None or (wetness(mark.grade) or 0) > (wetness(other.grade) or 0):
            by_leak[mark.leak_number] = mark
    return sorted(by_leak.values(), key=lambda mark: mark.station)


def _row_sentence(row: StripRow, zone: tzinfo | None) -> str:
    if row.job:
        return f"{day(row.at, zone)}: sealed."
    marks = "; ".join(
        f"leak {mark.leak_number} at {station_words(mark.station)}, {grade_words(mark.grade)}"
        for mark in shown_marks(row)
    )
    nothing = "no marks" if row.seen else "no photo with the line of this joint"
    return f"{day(row.at, zone)}: {marks or nothing}."


def _scale(strip: JointStrip, axis: _Axis, bottom: float) -> Markup:
    """Draw the joint itself with its bolts, and a fine line down the rows below each of them."""
    ticks = [_tick(axis.x(bolt.station), str(bolt.number), bottom) for bolt in strip.bolts]
    if strip.joint.is_closed and strip.bolts:
        ticks.append(_tick(_RIGHT, str(strip.bolts[0].number), bottom))
    line = void(
        "rect", x=_LEFT, y=_SCALE_HEIGHT - 12, width=_RIGHT - _LEFT, height=5, class_="d-accent"
    )
    title = element(
        "text", "bolt", x=_LEFT - 16, y=20, text_anchor="end", font_size=18, class_="d-quiet"
    )
    return joined(line, title, *ticks)


def _tick(x: float, label: str, bottom: float) -> Markup:
    return joined(
        void(
            "path",
            d=f"M{x:.1f} {_SCALE_HEIGHT - 2:.1f}V{bottom:.1f}",
            class_="d-edge",
            stroke_width=0.7,
            stroke_dasharray="2 3",
        ),
        void("circle", cx=x, cy=_SCALE_HEIGHT - 9.5, r=6, class_="d-paper d-accent-line"),
        element("text", label, x=x, y=20, text_anchor="middle", font_size=18, class_="d-ink"),
    )


def _row(row: StripRow, axis: _Axis, top: float, zone: tzinfo | None) -> Markup:
    inspection = row.inspection
    title = inspection.title if inspection else ""
    band = top + 5
    height = _ROW - 10
    seen = [
        void(
            "rect",
            x=axis.x(start),
            y=band,
            width=axis.x(end) - axis.x(start),
            height=height,
            class_="d-paper d-line",
        )
        for start, end in row.seen
    ]
    unseen = void("rect", x=_LEFT, y=band, width=_RIGHT - _LEFT, height=height, class_="d-unseen")
    return joined(
        _label(short_day(row.at, zone), title, top), unseen, *seen, _marks(row, axis, top)
    )


def _label(date: str, title: str, top: float) -> Markup:
    short = title if len(title) <= _LABEL_LETTERS else f"{title[: _LABEL_LETTERS - 1]}…"
    return joined(
        element("text", date, x=0, y=top + (21 if short else 31), font_size=18, class_="d-ink"),
        element("text", short, x=0, y=top + 41, font_size=15.5, class_="d-quiet")
        if short
        else None,
    )


def _marks(row: StripRow, axis: _Axis, top: float) -> Markup:
    marks = shown_marks(row)
    lefts = _sign_places([axis.x(mark.station) for mark in marks])
    return joined(*(_mark(mark, axis, top, left) for mark, left in zip(marks, lefts, strict=True)))


def _sign_places(xs: Sequence[float]) -> list[float]:
    """Return where each sign begins: right of its tick, but never over the one before it."""
    room = grade_sign.WIDTH + _NUMBER_WIDTH
    lefts: list[float] = []
    for x in xs:
        after_last = lefts[-1] + room if lefts else 0.0
        lefts.append(max(min(x + _SIGN_GAP, _RIGHT - room), after_last))
    return lefts


def _mark(mark: StripMark, axis: _Axis, top: float, sign_left: float) -> Markup:
    x = axis.x(mark.station)
    wet_from, wet_to = axis.x(mark.wet_from), axis.x(mark.wet_to)
    wet = void(
        "rect",
        x=wet_from,
        y=top + _ROW - 14,
        width=max(3.0, wet_to - wet_from),
        height=7,
        class_=f"{grade_class('g', mark.grade)} d-edge",
        stroke_width=0.7,
    )
    tick = void(
        "path",
        d=f"M{x:.1f} {top + 5:.1f}V{top + _ROW - 5:.1f}",
        class_="d-ink-line",
        stroke_width=2.2,
    )
    number = element(
        "text",
        f"leak {mark.leak_number}",
        x=sign_left + grade_sign.WIDTH + 4,
        y=top + 24,
        font_size=16,
        class_="d-ink",
    )
    is_wet = wetness(mark.grade) not in (None, 0)
    return joined(
        wet if is_wet else None,
        tick,
        grade_sign.grade_sign(mark.grade, sign_left, top + 8),
        number,
    )


def _job_row(row: StripRow, top: float, zone: tzinfo | None) -> Markup:
    middle = top + _JOB_ROW / 2
    label = f"{short_day(row.at, zone)}  sealed"
    return joined(
        element("text", label, x=0, y=middle + 6, font_size=18, class_="d-accent"),
        void(
            "path",
            d=f"M{_LEFT:.1f} {middle:.1f}H{_RIGHT:.1f}",
            class_="d-accent-line",
            stroke_width=2,
            stroke_dasharray="9 5",
        ),
    )
