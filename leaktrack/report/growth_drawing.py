"""Draw a leak over running hours as a vector: its looks, wipes and the trend with its interval."""

from collections.abc import Iterator

from leaktrack.model.growth import Measure
from leaktrack.model.growth_chart import ChartPoint, GrowthChart, ticks
from leaktrack.model.leak import wetness
from leaktrack.model.units import digits_of, in_units
from leaktrack.model.words import grade_words
from leaktrack.report.colors import grade_class
from leaktrack.report.markup import Markup, element, joined, void

WIDTH = 1000.0
HEIGHT = 330.0
"""Of the drawing's view box; all sizes below are in its units."""

_LEFT, _RIGHT = 110.0, 975.0
_TOP, _BOTTOM = 40.0, 285.0
_ROOM = 20.0
"""Between the axes and the first look, and dry ones, whose marks would lie on them."""
_RADIUS = 13.0
_LETTERS = 18.0
_SYMBOLS = {Measure.AREA: "mm²", Measure.EXTENT: "mm", Measure.GRADE: ""}


def growth_drawing(chart: GrowthChart) -> tuple[Markup, float]:
    """Return what is inside the ``svg`` element, and the height of its view box."""
    parts = joined(
        void(
            "rect", x=_LEFT, y=_TOP, width=_RIGHT - _LEFT, height=_BOTTOM - _TOP,
            class_="d-paper d-line",
        ),
        *_trend(chart),
        *_value_axis(chart),
        *_hour_axis(chart),
        *_wipes(chart),
        *_limit(chart),
        *_runs(chart),
        *(each for point in chart.points for each in _point(chart, point)),
    )  # fmt: skip
    return parts, HEIGHT


def _trend(chart: GrowthChart) -> Iterator[Markup]:
    if chart.band:
        yield void("path", d=f"{_path(chart, chart.band)}Z", class_="d-sheet")
    if chart.line:
        yield void(
            "path",
            d=_path(chart, chart.line),
            class_="d-none d-accent-line",
            stroke_width=2.4,
            stroke_dasharray="9 5" if chart.band else "3 5",
        )


def _value_axis(chart: GrowthChart) -> Iterator[Markup]:
    factor, unit = in_units(1.0, _SYMBOLS[chart.measure])
    for shown in ticks(0.0, chart.highest * factor):
        y = _y(chart, shown / factor)
        yield void("path", d=f"M{_LEFT:.1f} {y:.1f}H{_RIGHT:.1f}", class_="d-none d-line")
        yield _text(digits_of(shown), _LEFT - 8, y + 6, "end")
    yield _text(unit or "grade", _LEFT, _TOP - 14, "start", "d-quiet")


def _hour_axis(chart: GrowthChart) -> Iterator[Markup]:
    for hours in ticks(chart.first_hours, chart.last_hours):
        x = _x(chart, hours)
        yield void("path", d=f"M{x:.1f} {_BOTTOM:.1f}v6", class_="d-none d-ink-line")
        yield _text(f"{digits_of(hours)} h", x, _BOTTOM + 26, "middle")


def _wipes(chart: GrowthChart) -> Iterator[Markup]:
    for hours in chart.wipes:
        x = _x(chart, hours)
        yield void(
            "path",
            d=f"M{x:.1f} {_TOP:.1f}V{_BOTTOM:.1f}",
            class_="d-none d-ink-line",
            stroke_width=1.2,
            stroke_dasharray="8 3 2 3",
        )
        yield _text("wiped", x, _TOP - 8, "middle", "d-quiet")


def _limit(chart: GrowthChart) -> Iterator[Markup]:
    if chart.limit is None:
        return
    y = _y(chart, chart.limit.value)
    yield void(
        "path",
        d=f"M{_LEFT:.1f} {y:.1f}H{_RIGHT:.1f}",
        class_="d-none d-warning-line",
        stroke_dasharray="6 4",
    )
    yield _text(f"from here {grade_words(chart.limit.grade)}", _LEFT + 8, y - 6, "start")


def _runs(chart: GrowthChart) -> Iterator[Markup]:
    for run in chart.runs:
        if len(run) > 1:
            path = _path(chart, tuple((point.hours, point.value) for point in run))
            yield void("path", d=path, class_="d-none d-ink-line", stroke_width=1.6)


def _point(chart: GrowthChart, point: ChartPoint) -> Iterator[Markup]:
    x, y = _x(chart, point.hours), _y(chart, point.value)
    if point.sigma:
        top = _y(chart, point.value + point.sigma)
        low = _y(chart, max(0.0, point.value - point.sigma))
        bar = f"M{x:.1f} {top:.1f}V{low:.1f}M{x - 5:.1f} {top:.1f}h10M{x - 5:.1f} {low:.1f}h10"
        yield void("path", d=bar, class_="d-none d-ink-line", stroke_width=1.6)
    ground = f"{grade_class('g', point.grade)} d-ink-line"
    yield void("circle", cx=x, cy=y, r=_RADIUS, class_=ground, stroke_width=1.8)
    digit = str(wetness(point.grade))
    yield _text(digit, x, y + 6.5, "middle", grade_class("on", point.grade))


def _text(text: str, x: float, y: float, anchor: str, class_: str = "d-ink") -> Markup:
    return element("text", text, x=x, y=y, text_anchor=anchor, font_size=_LETTERS, class_=class_)


def _path(chart: GrowthChart, corners: tuple[tuple[float, float], ...]) -> str:
    return "M" + "L".join(f"{_x(chart, h):.1f} {_y(chart, v):.1f}" for h, v in corners)


def _x(chart: GrowthChart, hours: float) -> float:
    share = (hours - chart.first_hours) / (chart.last_hours - chart.first_hours)
    return _LEFT + _ROOM + share * (_RIGHT - _LEFT - _ROOM - _RADIUS)


def _y(chart: GrowthChart, value: float) -> float:
    up = min(max(value / chart.highest, 0.0), 1.0)
    return _BOTTOM - _ROOM - up * (_BOTTOM - _TOP - _ROOM)
