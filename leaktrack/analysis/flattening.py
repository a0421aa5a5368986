"""Lay a path of a photo flat: lengths along it as they are on the surface, not as they are seen.

What lies farther off looks shorter. A map of the surface, called a homography, tells by how much.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from leaktrack.model.shapes import PointPx

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FlatPath:
    """A path's length in the photo and on the flat surface, corner by corner.

    Attributes:
        seen_px: Length along the path in the photo at each corner, from 0; a closed path comes back
            to its first corner at the end.
        flat: The same on the surface, in a unit of its own.
        nearness: How near each corner is to the camera, in a unit of its own; above 0.
        is_closed: Whether it goes round and round; else its scale goes on beyond its ends.
    """

    seen_px: tuple[float, ...]
    flat: tuple[float, ...]
    nearness: tuple[float, ...]
    is_closed: bool = False

    @property
    def total(self) -> float:
        """Flat length of the whole path."""
        return self.flat[-1]

    def flat_at(self, along_px: float) -> float:
        """Return the flat length after some length in the photo.

        Source:
            A homography takes (1 - t) A + t B to the point that divides its images of A and B by
            t wB : (1 - t) wA, where w are their third coordinates.
        """
        turns = floor(along_px / self.seen_px[-1]) if self.is_closed else 0
        index, share = _piece(self.seen_px, along_px - turns * self.seen_px[-1])
        start, end = self.nearness[index], self.nearness[index + 1]
        if share < 0:
            share *= end / start
        elif share > 1:
            share = 1 + (share - 1) * start / end
        else:
            share = share * end / ((1 - share) * start + share * end)
        length = self.flat[index + 1] - self.flat[index]
        return turns * self.total + self.flat[index] + share * length

    def flats_at(self, along_px: Floats) -> Floats:
        """Return ``flat_at`` for many lengths, of shape (n,)."""
        seen, flat, nearness = np.array(self.seen_px), np.array(self.flat), np.array(self.nearness)
        kept = np.concatenate([[True], np.diff(seen) > 0])  # a piece without length holds nothing
        seen, flat, nearness = seen[kept], flat[kept], nearness[kept]
        if len(seen) < 2:
            return np.array([self.flat_at(float(each)) for each in along_px])
        turns = np.floor(along_px / seen[-1]) if self.is_closed else np.zeros(len(along_px))
        inside = along_px - turns * seen[-1]
        index = np.clip(np.searchsorted(seen, inside, side="right") - 1, 0, len(seen) - 2)
        start, end = nearness[index], nearness[index + 1]
        share = (inside - seen[index]) / (seen[index + 1] - seen[index])
        within = np.clip(share, 0.0, 1.0)
        told = within * end / ((1 - within) * start + within * end)
        told = np.where(share < 0, share * end / start, told)
        told = np.where(share > 1, 1 + (share - 1) * start / end, told)
        length = flat[index + 1] - flat[index]
        return np.asarray(turns * self.total + flat[index] + told * length, np.float64)

    def seen_at(self, flat: float) -> float:
        """Return the length in the photo after some flat length; the inverse of ``flat_at``."""
        turns = floor(flat / self.total) if self.is_closed else 0
        index, share = _piece(self.flat, flat - turns * self.total)
        start, end = self.nearness[index], self.nearness[index + 1]
        if share < 0:
            share *= start / end
        elif share > 1:
            share = 1 + (share - 1) * end / start
        else:
            share = share * start / ((1 - share) * end + share * start)
        length = self.seen_px[index + 1] - self.seen_px[index]
        return turns * self.seen_px[-1] + self.seen_px[index] + share * length

    def flat_per_px(self, along_px: float) -> float:
        """Return how much flat length a px of the photo's path is, at a place."""
        return self.flat_at(along_px + 0.5) - self.flat_at(along_px - 0.5)


def flattened(
    path: Sequence[PointPx], *, is_closed: bool, homography: Floats | None = None
) -> FlatPath:
    """Return a path with its flat lengths.

    Args:
        path: At least two corners.
        is_closed: Whether the last joins the first.
        homography: (3, 3), from px to the surface in any unit; None: the surface faces the camera,
            and flat lengths are px.

    Returns:
        Where the map puts a corner behind the camera it cannot be right, and is left out.
    """
    at = np.array([(point.x, point.y) for point in path], np.float64)
    if is_closed:
        at = np.concatenate([at, at[:1]])
    seen = _lengths(at)
    level = FlatPath(tuple(seen), tuple(seen), (1.0,) * len(at), is_closed)
    if homography is None:
        return level
    there = np.column_stack([at, np.ones(len(at))]) @ homography.T
    nearness = there[:, 2] if there[0, 2] > 0 else -there[:, 2]
    if nearness.min() <= 0:
        return level
    flat = _lengths(there[:, :2] / there[:, 2:])
    return FlatPath(tuple(seen), tuple(flat), tuple(nearness.tolist()), is_closed)


def _lengths(at: Floats) -> list[float]:
    steps = np.linalg.norm(np.diff(at, axis=0), axis=1)
    return [0.0, *np.cumsum(steps).tolist()]


def _piece(ends: Sequence[float], value: float) -> tuple[int, float]:
    """Return the piece that a value lies in, and how far along it; pieces without length not."""
    index = min(max(bisect_right(ends, value) - 1, 0), len(ends) - 2)
    while index > 0 and ends[index + 1] <= ends[index]:
        index -= 1
    length = ends[index + 1] - ends[index]
    return index, (value - ends[index]) / length if length > 0 else 0.0
