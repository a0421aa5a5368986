"""Points, paths and outlines in the pixels of an upright photo.

The centre of the top-left pixel is (0, 0); x runs right and y runs down.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

_ROWS = 48
"""So many rows are laid over an outline to measure what covers it: 2 % of its height each."""


@dataclass(frozen=True, slots=True)
class PointPx:
    """A place in an upright photo."""

    x: float
    y: float

    def distance_px(self, other: "PointPx") -> float:
        """Return how far the other point is away.

        >>> PointPx(0, 0).distance_px(PointPx(3, 4))
        5.0
        """
        return math.hypot(self.x - other.x, self.y - other.y)


Outline = tuple[PointPx, ...]
"""The corners of a closed shape, in order; the last joins the first."""


@dataclass(frozen=True, slots=True)
class BoxPx:
    """An upright rectangle in a photo."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class PathFoot:
    """The place on a path that is nearest to some point.

    Attributes:
        at: The place itself.
        segment: Index of the segment it lies on; segment i runs from point i to point i + 1.
        fraction: How far along that segment, 0 to 1.
        along_px: Length of the path from its first point to here.
        distance_px: How far the point is away from here.
    """

    at: PointPx
    segment: int
    fraction: float
    along_px: float
    distance_px: float


def segments(path: Sequence[PointPx], *, is_closed: bool) -> list[tuple[PointPx, PointPx]]:
    """Return the pieces between neighbouring points, with the closing one if the path is closed."""
    pieces = list(pairwise(path))
    if is_closed and len(path) > 2:
        pieces.append((path[-1], path[0]))
    return pieces


def length_px(path: Sequence[PointPx], *, is_closed: bool = False) -> float:
    """Return the length of a path.

    >>> length_px([PointPx(0, 0), PointPx(3, 0), PointPx(3, 4)])
    7.0
    >>> length_px([PointPx(0, 0), PointPx(3, 0), PointPx(3, 4)], is_closed=True)
    12.0
    """
    return math.fsum(start.distance_px(end) for start, end in segments(path, is_closed=is_closed))


def crosses_itself(path: Sequence[PointPx], *, is_closed: bool) -> bool:
    """Return whether two pieces of a path cross; touching, or going back along it, is no crossing.

    >>> a, b, c, d = PointPx(0, 0), PointPx(4, 4), PointPx(4, 0), PointPx(0, 4)
    >>> crosses_itself([a, b, c, d], is_closed=False), crosses_itself([a, c, b, d], is_closed=True)
    (True, False)
    """
    return any(
        _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0
        for (a, b), (c, d) in combinations(segments(path, is_closed=is_closed), 2)
    )


def area_px2(outline: Sequence[PointPx]) -> float:
    """Return the area inside a closed outline that does not cross itself.

    Source:
        Shoelace formula.

    >>> area_px2([PointPx(0, 0), PointPx(4, 0), PointPx(4, 3), PointPx(0, 3)])
    12.0
    """
    twice = math.fsum(
        a.x * b.y - b.x * a.y for a, b in segments(outline, is_closed=True) if len(outline) > 2
    )
    return abs(twice) / 2


def extent_px(outline: Sequence[PointPx]) -> float:
    """Return the greatest distance between two corners: how long a wet area is.

    >>> extent_px([PointPx(0, 0), PointPx(4, 0), PointPx(4, 3), PointPx(2, 1)])
    5.0
    """
    if not outline:
        return 0.0
    one, other = longest_way(outline)
    return one.distance_px(other)


def longest_way(outline: Sequence[PointPx]) -> tuple[PointPx, PointPx]:
    """Return the two corners that are furthest from each other; there must be one at least.

    >>> longest_way([PointPx(0, 0), PointPx(4, 0), PointPx(4, 3), PointPx(2, 1)])
    (PointPx(x=0, y=0), PointPx(x=4, y=3))
    """
    hull = _hull(outline)  # a grown outline has hundreds of corners, its hull a few dozen
    return max(((a, b) for a in hull for b in hull), key=lambda pair: pair[0].distance_px(pair[1]))


def _hull(points: Sequence[PointPx]) -> list[PointPx]:
    """Return the corners of the convex hull.

    Source:
        Andrew's monotone chain (Information Processing Letters 9, 1979), from memory.
    """
    ordered = sorted(set(points), key=lambda point: (point.x, point.y))
    return (
        _half_hull(ordered)[:-1] + _half_hull(ordered[::-1])[:-1] if len(ordered) > 2 else ordered
    )


def _half_hull(ordered: Sequence[PointPx]) -> list[PointPx]:
    chain: list[PointPx] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: PointPx, b: PointPx, c: PointPx) -> float:
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)


def box_around(points: Sequence[PointPx]) -> BoxPx:
    """Return the smallest upright rectangle that holds all points.

    Raises:
        ValueError: There are no points.
    """
    if not points:
        raise ValueError("a box needs at least one point")
    left, top = min(p.x for p in points), min(p.y for p in points)
    return BoxPx(left, top, max(p.x for p in points) - left, max(p.y for p in points) - top)


def contains(outline: Sequence[PointPx], point: PointPx) -> bool:
    """Return whether a point lies inside a closed outline.

    >>> square = [PointPx(0, 0), PointPx(4, 0), PointPx(4, 4), PointPx(0, 4)]
    >>> contains(square, PointPx(1, 2)), contains(square, PointPx(5, 2))
    (True, False)
    """
    inside = False
    for a, b in segments(outline, is_closed=True):
        if (a.y > point.y) != (b.y > point.y):
            crossing_x = a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x)
            inside ^= point.x < crossing_x
    return inside


def covered_share(outline: Sequence[PointPx], covers: Sequence[Sequence[PointPx]]) -> float:
    """Return which share of an outline's area lies in at least one of some others, 0 to 1.

    Measured along rows, so it is a little off where an outline is no more than a few rows high.

    >>> square = [PointPx(0, 0), PointPx(4, 0), PointPx(4, 4), PointPx(0, 4)]
    >>> right = [PointPx(3, -1), PointPx(9, -1), PointPx(9, 9), PointPx(3, 9)]
    >>> covered_share(square, [right]), covered_share(square, [right, right])
    (0.25, 0.25)
    >>> covered_share(square, [])
    0.0
    """
    if not outline or not covers:
        return 0.0
    box = box_around(outline)
    whole = covered = 0.0
    for row in range(_ROWS):
        y = box.top + (row + 0.5) * box.height / _ROWS
        own = _spans_at(outline, y)
        over = _joined([span for cover in covers for span in _spans_at(cover, y)])
        whole += sum(end - start for start, end in own)
        covered += sum(
            max(0.0, min(end, cover_end) - max(start, cover_start))
            for start, end in own
            for cover_start, cover_end in over
        )
    return covered / whole if whole else 0.0


def _spans_at(outline: Sequence[PointPx], y: float) -> list[tuple[float, float]]:
    """Return the stretches of a row that lie inside an outline, from left to right."""
    crossings = sorted(
        a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)
        for a, b in segments(outline, is_closed=True)
        if (a.y > y) != (b.y > y)
    )
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def _joined(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return stretches that do not overlap and hold the same places."""
    joined: list[tuple[float, float]] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined


def nearest_on_path(path: Sequence[PointPx], point: PointPx, *, is_closed: bool) -> PathFoot:
    """Return the place on a path that is nearest to a point.

    Raises:
        ValueError: The path has fewer than two points.

    >>> foot = nearest_on_path([PointPx(0, 0), PointPx(10, 0)], PointPx(4, 3), is_closed=False)
    >>> foot.at, foot.fraction, foot.distance_px
    (PointPx(x=4.0, y=0.0), 0.4, 3.0)
    """
    if len(path) < 2:
        raise ValueError("a path needs at least two points")
    best: PathFoot | None = None
    walked_px = 0.0
    for index, (start, end) in enumerate(segments(path, is_closed=is_closed)):
        fraction = _fraction_along(start, end, point)
        at = PointPx(start.x + fraction * (end.x - start.x), start.y + fraction * (end.y - start.y))
        piece_px = start.distance_px(end)
        foot = PathFoot(at, index, fraction, walked_px + fraction * piece_px, at.distance_px(point))
        if best is None or foot.distance_px < best.distance_px:
            best = foot
        walked_px += piece_px
    assert best is not None  # two points make a segment
    return best


def _fraction_along(start: PointPx, end: PointPx, point: PointPx) -> float:
    dx, dy = end.x - start.x, end.y - start.y
    squared = dx * dx + dy * dy
    if squared == 0:
        return 0.0
    return min(1.0, max(0.0, ((point.x - start.x) * dx + (point.y - start.y) * dy) / squared))
