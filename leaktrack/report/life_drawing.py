"""Draw how many seals of a group are still dry, over the hours that they ran."""

from collections.abc import Iterator
from math import exp, isfinite

from leaktrack.model.seal_life import GroupLife
from leaktrack.report.markup import Attributes, Markup, element, joined, void

WIDTH, HEIGHT = 1000.0, 300.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 90.0, 970.0, 20.0, 220.0
_POINTS = 60
_TEXT: Attributes = {"font_size": 18, "class_": "d-quiet"}


def life_drawing(group: GroupLife) -> Markup:
    """Return the chart of a group as SVG elements."""
    return joined(
        *_axes(group), *_steps(group), *_law(group), *(each for each in _intervals(group))
    )


def _x(hours: float, group: GroupLife) -> float:
    return _LEFT + (_RIGHT - _LEFT) * min(1.0, hours / (group.last_h or 1.0))


def _y(share: float) -> float:
    return _BOTTOM - (_BOTTOM - _TOP) * min(1.0, max(0.0, share))


def _axes(group: GroupLife) -> Iterator[Markup]:
    yield void(
        "rect",
        x=_LEFT,
        y=_TOP,
        width=_RIGHT - _LEFT,
        height=_BOTTOM - _TOP,
        class_="d-paper d-line",
    )
    for share in (0.0, 0.5, 1.0):
        text = f"{100 * share:.0f} %"
        yield element("text", text, x=_LEFT - 10, y=_y(share) + 6, text_anchor="end", **_TEXT)
    for step in range(5):
        hours = group.last_h * step / 4
        anchor = ("start", "middle", "middle", "middle", "end")[step]
        at = _x(hours, group)
        yield element("text", f"{hours:.3g}", x=at, y=_BOTTOM + 26, text_anchor=anchor, **_TEXT)
    middle = (_LEFT + _RIGHT) / 2
    words = "hours run since it was sealed"
    yield element("text", words, x=middle, y=_BOTTOM + 56, text_anchor="middle", **_TEXT)


def _steps(group: GroupLife) -> Iterator[Markup]:
    share, at, curve = 1.0, 0.0, group.curve
    spans = () if curve is None else tuple(zip(curve.spans_h, curve.masses, strict=True))
    for (start, end), mass in spans:
        yield _line(_x(at, group), _y(share), _x(start, group), _y(share))
        if curve is None or not isfinite(end) or start >= curve.known_until_h:
            return
        left, right = _x(start, group), _x(end, group)
        height = _y(share - mass) - _y(share)
        yield void(
            "rect", x=left, y=_y(share), width=right - left, height=height, class_="d-unseen"
        )
        share, at = share - mass, end
    yield _line(_x(at, group), _y(share), _RIGHT, _y(share))


def _law(group: GroupLife) -> Iterator[Markup]:
    if group.law is None:
        return
    shape, scale = group.law.shape.value, group.law.scale_h.value
    hours = [group.last_h * step / _POINTS for step in range(_POINTS + 1)]
    points = [f"{_x(at, group):.1f} {_y(exp(-((at / scale) ** shape))):.1f}" for at in hours]
    yield void(
        "path",
        d=f"M{'L'.join(points)}",
        class_="d-ink-line d-none",
        stroke_width=1.5,
        stroke_dasharray="6 5",
    )


def _intervals(group: GroupLife) -> Iterator[Markup]:
    for one in group.shares:
        if one.steps is None:
            continue
        x, low, high = _x(one.hours, group), _y(one.steps.low), _y(one.steps.high)
        yield _line(x, low, x, high, "d-ink-line")
        for y in (low, high):
            yield _line(x - 6, y, x + 6, y, "d-ink-line")


def _line(x1: float, y1: float, x2: float, y2: float, kind: str = "d-accent-line") -> Markup:
    path = f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"
    return void("path", d=path, class_=kind, stroke_width=2.5)
