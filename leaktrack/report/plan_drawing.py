"""Draw a teardown as bars over the days: who does what when, and what cures meanwhile."""

from collections.abc import Mapping

from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_sentences import work_words
from leaktrack.model.work_sheet import CLOCK_H, DatedSlot, WorkSheet
from leaktrack.report.amounts import hours
from leaktrack.report.markup import Markup, element, joined, void

WIDTH = 1000.0
"""Of the drawing's view box; all sizes below are in its units."""

_LEFT, _RIGHT = 330.0, 990.0
_TOP = 34.0
_ROW = 26.0
_BAR = 16.0
_FONT = 15.0
_LETTERS = 42  # of a name: as many as fit beside the bars
_NIGHT = 0.25  # of its width; nobody works then
_HATCH = 6.0
_LEAST_FOR_A_NUMBER = 14.0


def plan_drawing(sheet: WorkSheet, names: Mapping[str, str]) -> tuple[Markup, float]:
    """Return the bars as SVG elements, and the height of the view box.

    Args:
        sheet: What is done when.
        names: Of steps and tasks by the ids that its slots have.
    """
    axis = _Axis(sheet)
    rows = list(dict.fromkeys(slot.slot.id for slot in sheet.slots))
    height = _TOP + len(rows) * _ROW + 8
    bars = [
        _bar(axis, slot, _TOP + rows.index(slot.slot.id) * _ROW + (_ROW - _BAR) / 2)
        for slot in sheet.slots
    ]
    labels = [
        element(
            "text",
            _short(names[key]),
            x=_LEFT - 12,
            y=_TOP + number * _ROW + _ROW / 2 + 5,
            text_anchor="end",
            font_size=_FONT,
            class_="d-ink",
        )
        for number, key in enumerate(rows)
    ]
    return joined(_days(axis, height), *labels, *bars), height


def plan_sentences(sheet: WorkSheet, names: Mapping[str, str]) -> str:
    """Return what the drawing shows, in words."""
    told = []
    for slot in sheet.slots:
        day, at = divmod(slot.begin_h, CLOCK_H)
        who = "" if slot.slot.worker is None else f", person {slot.slot.worker}"
        what = work_words(slot.slot.kind, names[slot.slot.id])
        told.append(
            f"{what}, from day {day + 1:g} at {at:.1f} h for "
            f"{hours(slot.slot.end_h - slot.slot.start_h)}{who}"
        )
    return "; ".join(told) + "."


class _Axis:
    """Turns hours on the clock into places; nights are drawn narrow."""

    def __init__(self, sheet: WorkSheet) -> None:
        self.day_hours = sheet.day_hours
        self.last = max(sheet.ready_h, 1e-6)
        self._unit = (_RIGHT - _LEFT) / self._wide(self.last)

    def x(self, at: float) -> float:
        return _LEFT + self._wide(at) * self._unit

    def _wide(self, at: float) -> float:
        day, within = divmod(at, CLOCK_H)
        night = max(within - self.day_hours, 0.0)
        a_day = self.day_hours + (CLOCK_H - self.day_hours) * _NIGHT
        return day * a_day + min(within, self.day_hours) + night * _NIGHT


def _days(axis: _Axis, height: float) -> Markup:
    pieces: list[Markup] = []
    day = 0
    while day * CLOCK_H < axis.last:
        left = axis.x(day * CLOCK_H)
        evening = axis.x(min(day * CLOCK_H + axis.day_hours, axis.last))
        night = axis.x(min((day + 1) * CLOCK_H, axis.last))
        if night > evening:
            pieces.append(
                void(
                    "rect",
                    x=evening,
                    y=_TOP - 6,
                    width=night - evening,
                    height=height - _TOP,
                    class_="d-unseen",
                )
            )
        pieces.append(
            void("path", d=f"M{left:.1f} {_TOP - 10}V{height - 6:.1f}", class_="d-none d-line")
        )
        if evening - left > 40:
            pieces.append(
                element(
                    "text", f"day {day + 1}", x=left + 4, y=18, font_size=_FONT, class_="d-quiet"
                )
            )
        day += 1
    return joined(*pieces)


def _bar(axis: _Axis, slot: DatedSlot, top: float) -> Markup:
    pieces: list[Markup] = []
    for begin, end in slot.spans:
        left, right = axis.x(begin), axis.x(end)
        width = max(right - left, 1.5)
        if slot.slot.kind is WorkKind.CURE:
            pieces.append(_hatched(left, top, width))
            continue
        ground = {WorkKind.TASK: "d-accent", WorkKind.TAKE_OFF: "d-ink"}.get(
            slot.slot.kind, "d-paper"
        )
        pieces.append(
            void(
                "rect",
                x=left,
                y=top,
                width=width,
                height=_BAR,
                class_=f"{ground} d-ink-line",
                stroke_width=1,
            )
        )
        if width >= _LEAST_FOR_A_NUMBER and slot.slot.worker is not None:
            is_light = slot.slot.kind is WorkKind.REFIT
            pieces.append(
                element(
                    "text",
                    str(slot.slot.worker),
                    x=left + width / 2,
                    y=top + _BAR - 4,
                    text_anchor="middle",
                    font_size=12,
                    class_="d-ink" if is_light else "d-paper",
                )
            )
    return joined(*pieces)


def _hatched(left: float, top: float, width: float) -> Markup:
    """Draw a bar of slanted lines, each cut where the bar ends."""
    lines = ""
    start = -_BAR
    while start < width:
        x_low, x_high = max(start, 0.0), min(start + _BAR, width)
        if x_high > x_low:
            low, high = _BAR - (x_low - start), _BAR - (x_high - start)
            lines += f"M{left + x_low:.1f} {top + low:.1f}L{left + x_high:.1f} {top + high:.1f}"
        start += _HATCH
    frame = void(
        "rect",
        x=left,
        y=top,
        width=width,
        height=_BAR,
        class_="d-none d-ink-line",
        stroke_width=1,
    )
    return joined(void("path", d=lines, class_="d-none d-ink-line", stroke_width=0.8), frame)


def _short(name: str) -> str:
    return name if len(name) <= _LETTERS else name[: _LETTERS - 1].rstrip() + "…"
