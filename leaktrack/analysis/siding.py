"""On which side of each bolt hole does a bead pass?"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.model.bead_audit import BeadAudit, HolePassing, HoleSide
from leaktrack.model.shapes import PointPx

Floats = NDArray[np.float64]

_AROUND_DEG = 290.0
"""Seen from the hole, a path that passes it turns by 180 degrees, one around it by 360; own
judgement."""

_FARTHEST = 8.0
"""A hole so many widths off the path and farther is none of this bead's; own judgement."""

_LEAST_CLOSED = 0.05
"""A path whose ends are nearer to one another than this share of its length is a ring."""

_LEAST_BULGE = 0.03
"""An open path that bulges less has no inner side: its area with the straight way back, over its
length squared; half a circle has 0.16, a right angle 0.06. Own judgement."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A bolt hole; ``radius`` is in the audit's unit."""

    name: str
    at: PointPx
    radius: float


def passings(
    audit: BeadAudit, holes: Sequence[Hole], is_left_inside: bool | None
) -> tuple[HolePassing, ...]:
    """Return how the bead passes each hole that lies near its path, in the path's order.

    Args:
        audit: What was measured of the bead.
        holes: In px of the same photo.
        is_left_inside: Whether the joint's inner side, that of the oil, is to the left of somebody
            who follows the path; None: not known.
    """
    if len(audit.points) < 3:
        return ()
    places = np.array([(point.at_px.x, point.at_px.y) for point in audit.points])
    along = np.array([point.along for point in audit.points])
    told = (_passing(audit, places, along, hole, is_left_inside) for hole in holes)
    return tuple(sorted((one for one in told if one is not None), key=lambda one: one.along))


def left_is_inside(path: Sequence[PointPx]) -> bool | None:
    """Return whether the inner side of a path is its left one, by how it bends; None: straight."""
    xy = np.array([(point.x, point.y) for point in path])
    if len(xy) < 3:
        return None
    x, y = (xy - xy[0]).T
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
    length = float(np.linalg.norm(np.diff(xy, axis=0), axis=1).sum())
    is_ring = np.hypot(*(xy[-1] - xy[0])) < _LEAST_CLOSED * length
    if not is_ring and abs(area) < _LEAST_BULGE * length**2:
        return None
    # With y down, a ring of positive area runs clockwise as seen: its inside is to the right.
    return area < 0


def _passing(
    audit: BeadAudit, places: Floats, along: Floats, hole: Hole, is_left_inside: bool | None
) -> HolePassing | None:
    off = np.array([hole.at.x, hole.at.y]) - places
    away_px = np.hypot(off[:, 0], off[:, 1])
    nearest = int(away_px.argmin())
    is_ring = np.hypot(*(places[-1] - places[0])) < _LEAST_CLOSED * np.ptp(along) / _unit(
        places, along, nearest
    )
    unit = _unit(places, along, nearest)
    away = float(away_px[nearest]) * unit
    widths = [point.width for point in audit.points if point.is_read and point.width > 0]
    if not widths:
        return None
    is_past_end = nearest in {0, len(places) - 1} and not is_ring
    if is_past_end or away > hole.radius + _FARTHEST * float(np.median(widths)):
        return None
    point = audit.points[nearest]
    at = float(along[nearest])
    if not point.is_read or point.width == 0:
        return HolePassing(hole.name, None, at, None, hole.at)
    way = places[min(nearest + 1, len(places) - 1)] - places[max(nearest - 1, 0)]
    # With y down, what lies to the left of the way has a negative cross product with it.
    cross = float(way[0] * off[nearest, 1] - way[1] * off[nearest, 0])
    beyond = (-np.sign(cross) * away) - point.offset  # of the bead, to the left
    clearance = abs(beyond) - point.width / 2 - hole.radius
    side = _side(beyond, hole, is_left_inside)
    if side is not HoleSide.OVER and _turned(off, away_px, nearest) > np.radians(_AROUND_DEG):
        side = HoleSide.AROUND
    return HolePassing(hole.name, side, at, round(float(clearance), 3), hole.at)


def _side(beyond: float, hole: Hole, is_left_inside: bool | None) -> HoleSide:
    """Return the side from how far to the left of the bead the hole lies."""
    if abs(beyond) < hole.radius:
        return HoleSide.OVER
    if is_left_inside is None:
        return HoleSide.RIGHT if beyond > 0 else HoleSide.LEFT
    is_hole_outside = (beyond > 0) != is_left_inside
    return HoleSide.INSIDE if is_hole_outside else HoleSide.OUTSIDE


def _turned(off: Floats, away_px: Floats, nearest: int) -> float:
    """Return by how much the path turns about a hole, in radians, while it is near."""
    is_near = away_px < 3 * away_px[nearest]
    first, last = nearest, nearest
    while first > 0 and is_near[first - 1]:
        first -= 1
    while last < len(off) - 1 and is_near[last + 1]:
        last += 1
    turns = np.unwrap(np.arctan2(off[first : last + 1, 1], off[first : last + 1, 0]))
    return abs(float(turns[-1] - turns[0]))


def _unit(places: Floats, along: Floats, index: int) -> float:
    """Return units to a px of the photo, about a place of the path."""
    first, last = max(0, index - 5), min(len(places) - 1, index + 5)
    seen = float(np.linalg.norm(np.diff(places[first : last + 1], axis=0), axis=1).sum())
    return abs(float(along[last] - along[first])) / max(seen, 1e-9)
