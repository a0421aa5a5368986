"""Draw a joint strip: the joint unrolled, bolts as ticks, beads, one row for each inspection."""

from collections.abc import Sequence
from datetime import tzinfo

from leaktrack.model.joint_strip import JointStrip, StripMark, StripRow
from leaktrack.model.leak import wetness
from leaktrack.model.strip_words import (
    WITHIN,
    cure_words,
    doubt_words,
    fault_words,
    place_of_words,
    untightened_words,
)
from leaktrack.model.words import grade_words, word
from leaktrack.report import bead_drawing, grade_sign
from leaktrack.report.amounts import day, short_day
from leaktrack.report.bead_drawing import LEFT, RIGHT, Axis, bead_row, fault_columns, untightened
from leaktrack.report.colors import grade_class
from leaktrack.report.markup import Markup, element, joined, void

WIDTH = 1000.0
"""Of the drawing's view box; all sizes below are in its units."""

_SCALE_HEIGHT = 46.0
_ROW = 50.0
_JOB_ROW = 30.0
_LABEL_LETTERS = 32
_SIGN_GAP = 8.0
_LETTER = 7.6  # width of a letter beside a sign, about
_MOST_WORDED = 3  # marks in a row: more, and their grades have no room in words
_CAP = 4.0
_CURE_WIDTH = 140.0  # "ran after 14 days"


def strip_drawing(strip: JointStrip, zone: tzinfo | None) -> tuple[Markup, float]:
    """Return a joint strip as SVG elements, and the height of its view box.

    Args:
        strip: The chart's values.
        zone: In which dates are told.
    """
    axis = Axis(strip.first, strip.last)
    top = _SCALE_HEIGHT
    pieces = []
    for place, row in enumerate(strip.rows):
        if row.beads:
            pieces.append(bead_row(strip, row, axis, top, zone))
        elif row.job:
            pieces.append(_job_row(row, axis, top, zone))
        else:
            above = strip.job_row_above(place)
            seal = None if above is None else strip.rows[above]
            pieces.append(_row(strip, row, seal, axis, top, zone))
        top += _height(row)
    return joined(*pieces, _scale(strip, axis)), top + 6


def _height(row: StripRow) -> float:
    if row.beads:
        return bead_drawing.HEIGHT
    return _JOB_ROW if row.job else _ROW


def strip_sentences(strip: JointStrip, zone: tzinfo | None) -> str:
    """Return what the drawing shows, in words."""
    numbers = [bolt.number for bolt in strip.bolts]
    bolts = f", bolts {numbers[0]} to {numbers[-1]}" if len(numbers) > 1 else ""
    rows = [_row_sentence(strip, row, zone) for row in strip.rows]
    return " ".join([f"{strip.joint.name}{bolts}, unrolled.", *rows])


def _row_sentence(strip: JointStrip, row: StripRow, zone: tzinfo | None) -> str:
    if row.job:
        told = [
            text for text in ("sealed", cure_words(row.cured_h), untightened_words(row)) if text
        ]
        return f"{day(row.at, zone)}: {', '.join(told)}.{_bead_sentence(strip, row)}"
    marks = "; ".join(_mark_words(strip, mark) for mark in row.shown_marks)
    nothing = "no marks" if row.seen else "no photo with the line of this joint"
    return f"{day(row.at, zone)}: {marks or nothing}."


def _mark_words(strip: JointStrip, mark: StripMark) -> str:
    doubt = doubt_words(mark)
    return (
        f"leak {mark.leak_number} at {_where(strip, mark.station)}{f' {doubt}' if doubt else ''}, "
        f"{grade_words(mark.grade)}"
    )


def _bead_sentence(strip: JointStrip, row: StripRow) -> str:
    if not row.beads:
        return ""
    told = [
        f"{fault_words(fault, bead.unit)}, at {_where(strip, (fault.start + fault.end) / 2)}"
        for bead in row.beads
        for fault in bead.faults
    ]
    told += [
        f"cannot be read ({each.reason}) at {_where(strip, (each.start + each.end) / 2)}"
        for bead in row.beads
        for each in bead.unread
    ]
    verdicts = ", ".join(dict.fromkeys(word(bead.verdict) for bead in row.beads))
    return f" Its bead: {'; '.join(told) or verdicts}."


def _where(strip: JointStrip, station: float) -> str:
    return place_of_words(strip.wrapped(station), has_bolts=bool(strip.bolts))


def _scale(strip: JointStrip, axis: Axis) -> Markup:
    """Draw the joint itself with its bolts."""
    ticks = [_tick(axis.x(bolt.station), str(bolt.number)) for bolt in strip.bolts]
    if strip.joint.is_closed and strip.bolts:
        ticks.append(_tick(RIGHT, str(strip.bolts[0].number)))
    line = void(
        "rect", x=LEFT, y=_SCALE_HEIGHT - 12, width=RIGHT - LEFT, height=5, class_="d-accent"
    )
    title = element(
        "text", "bolt", x=LEFT - 16, y=20, text_anchor="end", font_size=18, class_="d-quiet"
    )
    return joined(line, title, *ticks)


def _tick(x: float, label: str) -> Markup:
    return joined(
        void("circle", cx=x, cy=_SCALE_HEIGHT - 9.5, r=6, class_="d-paper d-accent-line"),
        element("text", label, x=x, y=20, text_anchor="middle", font_size=18, class_="d-ink"),
    )


def _guides(strip: JointStrip, axis: Axis, top: float) -> Markup:
    """Draw a fine line down a row below each bolt."""
    lines = "".join(f"M{axis.x(bolt.station):.1f} {top:.1f}v{_ROW}" for bolt in strip.bolts)
    return void("path", d=lines, class_="d-line", stroke_width=1, stroke_dasharray="2 3")


def _row(
    strip: JointStrip,
    row: StripRow,
    seal: StripRow | None,
    axis: Axis,
    top: float,
    zone: tzinfo | None,
) -> Markup:
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
    unseen = void("rect", x=LEFT, y=band, width=RIGHT - LEFT, height=height, class_="d-unseen")
    return joined(
        _label(short_day(row.at, zone), title, top),
        unseen,
        *seen,
        _guides(strip, axis, top) if strip.bolts else None,
        fault_columns(strip, seal, axis, top, _ROW),
        _marks(strip, row, axis, top),
    )


def _label(date: str, title: str, top: float) -> Markup:
    short = title if len(title) <= _LABEL_LETTERS else f"{title[: _LABEL_LETTERS - 1]}…"
    return joined(
        element("text", date, x=0, y=top + (21 if short else 31), font_size=18, class_="d-ink"),
        element("text", short, x=0, y=top + 41, font_size=15.5, class_="d-quiet")
        if short
        else None,
    )


def _marks(strip: JointStrip, row: StripRow, axis: Axis, top: float) -> Markup:
    placed = sorted(
        (axis.x(strip.wrapped(mark.station)), mark.leak_number, mark) for mark in row.shown_marks
    )
    names = [f"leak {number}, {word(mark.grade)}" for _, number, mark in placed]
    if len(names) > _MOST_WORDED:
        names = [f"leak {number}" for _, number, _ in placed]
    lefts = _sign_places([x for x, _, _ in placed], names)
    return joined(
        *(_wet(strip, mark, axis, top) for _, _, mark in placed),
        *(
            _mark(strip, mark, x, top, left, name)
            for (x, _, mark), left, name in zip(placed, lefts, names, strict=True)
        ),
    )


def _sign_places(xs: Sequence[float], names: Sequence[str]) -> list[float]:
    """Return where each sign begins: right of its tick, but never over the one before it."""
    lefts: list[float] = []
    free = 0.0
    for x, name in zip(xs, names, strict=True):
        room = grade_sign.WIDTH + 10 + _LETTER * len(name)
        lefts.append(max(min(x + _SIGN_GAP, RIGHT - room), free))
        free = lefts[-1] + room
    return lefts


def _wet(strip: JointStrip, mark: StripMark, axis: Axis, top: float) -> Markup | None:
    if wetness(mark.grade) in (None, 0):
        return None
    return joined(
        *(
            void(
                "rect",
                x=axis.x(start),
                y=top + _ROW - 14,
                width=max(3.0, axis.x(end) - axis.x(start)),
                height=7,
                class_=f"{grade_class('g', mark.grade)} d-edge",
                stroke_width=0.7,
            )
            for start, end in strip.pieces(mark.wet_from, mark.wet_to)
        )
    )


def _mark(
    strip: JointStrip, mark: StripMark, x: float, top: float, sign_left: float, name: str
) -> Markup:
    tick = void(
        "path",
        d=f"M{x:.1f} {top + 5:.1f}V{top + _ROW - 5:.1f}",
        class_="d-ink-line",
        stroke_width=2.2,
    )
    number = element(
        "text",
        name,
        x=sign_left + grade_sign.WIDTH + 4,
        y=top + 24,
        font_size=16,
        class_="d-ink",
    )
    return joined(
        _doubt(strip, mark, x, top),
        tick,
        grade_sign.grade_sign(mark.grade, sign_left, top + 8),
        number,
    )


def _doubt(strip: JointStrip, mark: StripMark, x: float, top: float) -> Markup | None:
    """Return how far to each side the source may lie: a line with caps below the row."""
    if mark.sigma is None:
        return None
    reach = WITHIN * mark.sigma / (strip.last - strip.first or 1.0) * (RIGHT - LEFT)
    start, end, y = max(LEFT, x - reach), min(RIGHT, x + reach), top + _ROW - 3
    path = f"M{start:.1f} {y - _CAP:.1f}v{2 * _CAP}M{end:.1f} {y - _CAP:.1f}v{2 * _CAP}"
    path += f"M{start:.1f} {y:.1f}H{end:.1f}"
    return void("path", d=path, class_="d-ink-line", stroke_width=1.4)


def _job_row(row: StripRow, axis: Axis, top: float, zone: tzinfo | None) -> Markup:
    middle = top + _JOB_ROW / 2
    label = f"{short_day(row.at, zone)}  sealed"
    cure = cure_words(row.cured_h)
    return joined(
        element("text", label, x=0, y=middle + 6, font_size=18, class_="d-accent"),
        void(
            "path",
            d=f"M{LEFT:.1f} {middle:.1f}H{RIGHT - (_CURE_WIDTH if cure else 0):.1f}",
            class_="d-accent-line",
            stroke_width=2,
            stroke_dasharray="9 5",
        ),
        element(
            "text",
            cure,
            x=RIGHT,
            y=middle + 5,
            text_anchor="end",
            font_size=15.5,
            class_="d-accent",
        )
        if cure
        else None,
        untightened(row, axis, middle),
    )
