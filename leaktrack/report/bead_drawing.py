"""Draw a seal's bead: a ribbon of its measured width between the widths allowed, and its faults."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import tzinfo

from leaktrack.model.bead_audit import BeadDefectKind
from leaktrack.model.joint_strip import JointStrip, StripBead, StripFault, StripRow
from leaktrack.model.strip_words import cure_words, tolerance_words
from leaktrack.model.words import word
from leaktrack.report.amounts import short_day
from leaktrack.report.markup import Markup, element, joined, void

HEIGHT = 92.0
"""Of a seal's row with its bead, in units of the strip's view box."""

LEFT = 265.0
RIGHT = 975.0
"""Where the chart lies across the strip's view box; labels stand left of it."""

_RIBBON_TOP, _RIBBON = 24.0, 44.0
_HIGHEST = 1.9  # times the usual width: what is wider is cut off
_SIGN = 11.0
_LETTER = 8.5  # width of a letter of a fault's name, about


@dataclass(frozen=True, slots=True)
class Axis:
    """Turns a station into a place across the chart."""

    first: float
    last: float

    def x(self, station: float) -> float:
        """Return where a station lies."""
        span = self.last - self.first or 1.0
        share = min(1.0, max(0.0, (station - self.first) / span))
        return LEFT + share * (RIGHT - LEFT)


def bead_row(
    strip: JointStrip, row: StripRow, axis: Axis, top: float, zone: tzinfo | None
) -> Markup:
    """Return a seal with its beads as SVG elements.

    Args:
        strip: The chart.
        row: Of a sealing job with beads.
        axis: Across the chart.
        top: Of the row.
        zone: In which the date is told.
    """
    ribbon_top = top + _RIBBON_TOP
    ground = void(
        "rect", x=LEFT, y=ribbon_top, width=RIGHT - LEFT, height=_RIBBON, class_="d-unseen d-line"
    )
    return joined(
        _label(row, top, zone),
        ground,
        *(each for bead in row.beads for each in _allowed(strip, bead, axis, ribbon_top)),
        *(each for bead in row.beads for each in _ribbon(strip, bead, axis, ribbon_top)),
        *(each for bead in row.beads for each in _unread(strip, bead, axis, ribbon_top)),
        *_faults(strip, row, axis, top),
        untightened(row, axis, top + _RIBBON_TOP - 9),
    )


def fault_columns(
    strip: JointStrip, row: StripRow | None, axis: Axis, top: float, height: float
) -> Markup:
    """Return where a seal's bead is broken or thin, as columns over a row below it."""
    columns = [
        _column(axis.x(start), axis.x(end), top, height)
        for bead in (row.beads if row is not None else ())
        for fault in bead.faults
        if fault.kind is not BeadDefectKind.THICK
        for start, end in strip.pieces(fault.start, fault.end)
    ]
    return joined(*columns)


def untightened(row: StripRow, axis: Axis, y: float) -> Markup:
    """Return a struck ring at each bolt that no recorded tightening names."""
    rings = []
    for number in row.untightened:
        x = axis.x(float(number))
        rings.append(
            void("circle", cx=x, cy=y, r=5, class_="d-paper d-warning-line", stroke_width=1.8)
        )
        stroke = f"M{x - 8:.1f} {y + 8:.1f}L{x + 8:.1f} {y - 8:.1f}"
        rings.append(void("path", d=stroke, class_="d-warning-line", stroke_width=1.8))
    return joined(*rings)


def _column(left: float, right: float, top: float, height: float) -> Markup:
    right = max(right, left + 2)
    edges = f"M{left:.1f} {top:.1f}v{height:.1f}M{right:.1f} {top:.1f}v{height:.1f}"
    return joined(
        void("rect", x=left, y=top, width=right - left, height=height, class_="d-warning-sheet"),
        void("path", d=edges, class_="d-warning-line", stroke_width=1, stroke_dasharray="2 2"),
    )


def _label(row: StripRow, top: float, zone: tzinfo | None) -> Markup:
    lines = [cure_words(row.cured_h)]
    lines += dict.fromkeys(tolerance_words(bead) for bead in row.beads)
    told = [line for line in lines if line]
    middle = top + _RIBBON_TOP + _RIBBON / 2
    first = middle + 6 - 10 * len(told)
    date = f"{short_day(row.at, zone)}  sealed"
    return joined(
        element("text", date, x=0, y=first, font_size=18, class_="d-accent"),
        *(
            element("text", line, x=0, y=first + 19 * place, font_size=15.5, class_="d-quiet")
            for place, line in enumerate(told, start=1)
        ),
    )


def _allowed(strip: JointStrip, bead: StripBead, axis: Axis, top: float) -> Iterator[Markup]:
    """Yield the ground of what was shown, and on it where the bead's edges may run."""
    scale, middle = _RIBBON / (_HIGHEST * bead.usual), top + _RIBBON / 2
    low = (bead.narrowest or 0.0) * scale
    high = min((bead.widest or bead.usual * _HIGHEST) * scale, _RIBBON)
    if not bead.stations:
        return
    for start, end in strip.pieces(bead.stations[0], bead.stations[-1]):
        left, width = axis.x(start), axis.x(end) - axis.x(start)
        yield void("rect", x=left, y=top, width=width, height=_RIBBON, class_="d-paper d-line")
        if bead.narrowest is None and bead.widest is None:
            continue
        for upper in (middle - high / 2, middle + low / 2):
            yield void(
                "rect",
                x=left,
                y=upper,
                width=width,
                height=(high - low) / 2,
                class_="d-sheet d-accent-line",
                stroke_width=0.8,
            )


def _ribbon(strip: JointStrip, bead: StripBead, axis: Axis, top: float) -> Iterator[Markup]:
    """Yield one shape for each stretch that was read and has no gap; the narrowest counts."""
    scale, middle = _RIBBON / (_HIGHEST * bead.usual), top + _RIBBON / 2
    for run in strip.bead_runs(bead):
        halves: dict[int, float] = {}
        for station, width in run:
            x = round(axis.x(station))
            half = min(width * scale, _RIBBON) / 2
            halves[x] = min(half, halves.get(x, half))
        edge = sorted(halves.items())
        upper = [f"{x} {middle - half:.1f}" for x, half in edge]
        lower = [f"{x} {middle + half:.1f}" for x, half in reversed(edge)]
        path = f"M{'L'.join(upper + lower)}Z"
        yield void("path", d=path, class_="d-quiet d-ink-line", stroke_width=0.8)


def _unread(strip: JointStrip, bead: StripBead, axis: Axis, top: float) -> Iterator[Markup]:
    for stretch in bead.unread:
        for start, end in strip.pieces(stretch.start, stretch.end):
            left, right = axis.x(start), axis.x(end)
            yield void(
                "rect", x=left, y=top, width=right - left, height=_RIBBON, class_="d-unseen d-line"
            )
            yield element(
                "text",
                "?",
                x=(left + right) / 2,
                y=top + _RIBBON / 2 + 6,
                text_anchor="middle",
                font_size=16,
                class_="d-ink",
            )


def _faults(strip: JointStrip, row: StripRow, axis: Axis, top: float) -> Iterator[Markup]:
    """Yield for each fault its extent, its sign, and its name where there is room."""
    placed = [
        (axis.x(strip.wrapped((fault.start + fault.end) / 2)), fault)
        for bead in row.beads
        for fault in bead.faults
    ]
    bottom = top + _RIBBON_TOP + _RIBBON
    named: list[tuple[float, float]] = []
    for x, fault in sorted(placed, key=lambda one: (one[1].kind is not BeadDefectKind.GAP, one[0])):
        yield _extent(strip, fault, axis, bottom)
        yield _sign(fault.kind, x, bottom + 4)
        name = word(fault.kind)
        half = len(name) * _LETTER / 2
        if all(x + half < start or x - half > end for start, end in named):
            named.append((x - half, x + half))
            yield element(
                "text", name, x=x, y=top + 17, text_anchor="middle", font_size=16, class_="d-ink"
            )


def _extent(strip: JointStrip, fault: StripFault, axis: Axis, bottom: float) -> Markup:
    brackets = []
    for start, end in strip.pieces(fault.start, fault.end):
        left = axis.x(start)
        right = max(axis.x(end), left + 2)
        brackets.append(f"M{left:.1f} {bottom - 6:.1f}v6H{right:.1f}v-6")
    return void("path", d="".join(brackets), class_="d-none d-ink-line", stroke_width=2.4)


def _sign(kind: BeadDefectKind, x: float, top: float) -> Markup:
    """Return a full triangle for a gap, an open one for thin, a diamond for thick, else a ring."""
    half = _SIGN / 2
    if kind in (BeadDefectKind.GAP, BeadDefectKind.THIN):
        ground = "d-ink" if kind is BeadDefectKind.GAP else "d-paper"
        path = f"M{x:.1f} {top:.1f}l{half} {_SIGN}h{-_SIGN}Z"
        return void("path", d=path, class_=f"{ground} d-ink-line", stroke_width=1.4)
    if kind is BeadDefectKind.THICK:
        path = f"M{x:.1f} {top:.1f}l{half} {half}l{-half} {half}l{-half} {-half}Z"
        return void("path", d=path, class_="d-paper d-ink-line", stroke_width=1.4)
    return void(
        "circle", cx=x, cy=top + half, r=half, class_="d-paper d-ink-line", stroke_width=1.4
    )
