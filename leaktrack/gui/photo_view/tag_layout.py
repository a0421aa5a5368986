"""Where the tags of marks go, so that they cover neither each other nor what they point at."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

LEADERS_PX = (28.0, 56.0, 92.0)
"""Lengths of leaders tried, in screen px, the shortest first."""

CROWD = 60
"""Beyond so many tags they lie over each other anyway; each then gets the first free place."""

_DIRECTIONS = (
    (0.8, -0.6), (-0.8, -0.6), (0.8, 0.6), (-0.8, 0.6), (0, -1), (0, 1), (1, 0), (-1, 0),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle in screen px."""

    left: float
    top: float
    width: float
    height: float

    def overlap(self, other: "Box") -> float:
        """Return the area that both cover."""
        across = min(self.left + self.width, other.left + other.width) - max(self.left, other.left)
        down = min(self.top + self.height, other.top + other.height) - max(self.top, other.top)
        return max(0.0, across) * max(0.0, down)


def tag_boxes(
    anchors: Sequence[tuple[float, float]],
    sizes: Sequence[tuple[float, float]],
    frame: Box,
    bolts: Sequence[tuple[float, float]] = (),
) -> list[Box]:
    """Return a box for each tag, beside the place it points at.

    Args:
        anchors: The places, in screen px.
        sizes: Width and height of each tag.
        frame: The whole photo; tags stay inside where they can.
        bolts: Where numbers of bolts are, which should stay readable.
    """
    points = [Box(x - 9, y - 9, 18, 18) for x, y in (*anchors, *bolts)]
    is_crowd = len(anchors) > CROWD
    placed: list[Box] = []
    for anchor, size in zip(anchors, sizes, strict=True):
        taken, rivals = ((), ()) if is_crowd else (placed, points)
        placed.append(_best(anchor, size, frame, taken, rivals))
    return placed


def _best(
    anchor: tuple[float, float],
    size: tuple[float, float],
    frame: Box,
    taken: Sequence[Box],
    points: Sequence[Box],
) -> Box:
    """Return the first free place, else the one that covers least."""
    by_cost: dict[int, Box] = {}
    for box in _candidates(anchor, size):
        cost = _cost(box, frame, taken, points)
        if cost == 0:
            return box
        by_cost.setdefault(cost, box)
    return by_cost[min(by_cost)]


def _candidates(anchor: tuple[float, float], size: tuple[float, float]) -> Iterator[Box]:
    (x, y), (width, height) = anchor, size
    for leader in LEADERS_PX:
        for dx, dy in _DIRECTIONS:
            left = x + dx * leader + (dx - 1) / 2 * width
            yield Box(left, y + dy * leader + (dy - 1) / 2 * height, width, height)


def _cost(box: Box, frame: Box, taken: Sequence[Box], points: Sequence[Box]) -> int:
    outside = box.width * box.height - box.overlap(frame)
    covered = sum(box.overlap(other) for other in taken)
    pointed_at = sum(box.overlap(point) for point in points)
    # Whole numbers, so that of places that are equally free the first one wins.
    return round(4 * outside + 2 * covered + pointed_at)
