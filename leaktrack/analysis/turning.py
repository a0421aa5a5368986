"""Which way round does a line go? A ring with few bolts is counted as in its other photos."""

from collections.abc import Sequence

from leaktrack.model.engine import LinePoint

TELLS_DIRECTION = 3
"""So many bolts tell which way a ring is counted: 1, 2, 1, 2 ... reads the same both ways."""


def turns_right(points: Sequence[LinePoint]) -> bool | None:
    """Return whether a ring goes round clockwise as the photo shows it; None where it is no ring.

    Source:
        The sign of the shoelace formula, with y running down.
    """
    path = [point.at for point in points]
    if len(path) < 3:
        return None
    twice = sum(a.x * b.y - b.x * a.y for a, b in zip(path, [*path[1:], path[0]], strict=True))
    return None if twice == 0 else twice > 0


def turned_like(points: tuple[LinePoint, ...], other: Sequence[LinePoint]) -> tuple[LinePoint, ...]:
    """Return a ring's line, turned round if it runs the other way than another line of the joint.

    Stations of a ring with fewer bolts than tell a direction would else depend on which way
    somebody drew it. Both photos must look at the joint from the same side.

    Args:
        points: Of the line, in the order in which it was drawn.
        other: A line of the same joint in another photo.
    """
    mine, its = turns_right(points), turns_right(other)
    return points[::-1] if None not in (mine, its) and mine is not its else points
