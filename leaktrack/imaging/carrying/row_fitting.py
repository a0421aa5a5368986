"""Where does a row of like things, seen in one photo, lie in another one?

A straight row in perspective moves as a line does: shifted, turned, stretched, and closer together
towards its far end. What stands a little off the line is turned and stretched with it.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points

_STIFF_PERSPECTIVE = 1e-3  # pull towards none, where few things say
_STIFF_BESIDE = 3e-4  # pull of what is off the line towards turning with it
_NARROWEST, _WIDEST = 0.3, 3.0  # how much nearer or further than the middle a row's end may be
_ROUNDS = 3
_ROBUST_ROUNDS = 10
_LEAST_APART = 0.5  # of half the row


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """A row in the reference photo, told along itself.

    Attributes:
        along: (N,) place along the row; 0 in its middle, about -1 and 1 at its ends.
        beside: (N,) distance from its line in the same unit, to the left of the way along.
        direction: Unit vector along the row, in the reference photo.
        unit_px: Px of the reference photo for 1.
    """

    along: NDArray[np.float64]
    beside: NDArray[np.float64]
    direction: Points
    unit_px: float


def row_of(points: Points) -> Row:
    """Return (N, 2) points, at least two that differ, told along the row they form."""
    away = points - points.mean(axis=0)
    unit = max(float(np.linalg.norm(away, axis=1).max()), 1e-9)
    direction = np.linalg.svd(away, full_matrices=False)[2][0]
    across = np.array([-direction[1], direction[0]])
    return Row(away @ direction / unit, away @ across / unit, direction, unit)


@dataclass(frozen=True, slots=True, eq=False)
class RowMotion:
    """Where a row lies in the new photo."""

    terms: NDArray[np.float64]
    middle: Points
    unit_px: float

    def places(self, row: Row, shift: float = 0.0) -> Points:
        """Return (N, 2) where the things of a row lie, or things a little further along it."""
        shift_x, shift_y, along_x, along_y, nearing, beside_x, beside_y = self.terms
        u, v = row.along + shift, row.beside
        depth = np.clip(1 + nearing * u, _NARROWEST, _WIDEST)
        x = (shift_x + along_x * u + (beside_x - along_y) * v) / depth
        y = (shift_y + along_y * u + (beside_y + along_x) * v) / depth
        return np.stack([x, y], axis=1) * self.unit_px + self.middle


def row_motion(row: Row, there: Points, weight: NDArray[np.float64]) -> RowMotion:
    """Return the motion that takes a row to (N, 2) places best, by (N,) weights."""
    middle = np.average(there, axis=0, weights=weight)
    unit = max(float(np.linalg.norm(there - middle, axis=1).max()), 1e-9)
    x, y = ((there - middle) / unit).T
    u, v, none, one = row.along, row.beside, np.zeros(len(x)), np.ones(len(x))
    of_x = np.stack([one, none, u, -v, -u * x, v, none], axis=1)
    of_y = np.stack([none, one, v, u, -u * y, none, v], axis=1)
    design, wanted = np.concatenate([of_x, of_y]), np.concatenate([x, y])
    stiff = np.array([1e-9, 1e-9, 1e-9, 1e-9, _STIFF_PERSPECTIVE, _STIFF_BESIDE, _STIFF_BESIDE])
    depth, terms = one, np.zeros(7)
    for _ in range(_ROUNDS):
        each = np.tile(weight / weight.mean() / depth**2, 2)[:, None]
        normal = (design * each).T @ design + len(x) * np.diag(stiff)
        terms = np.linalg.solve(normal, (design * each).T @ wanted)
        depth = np.clip(1 + terms[4] * u, _NARROWEST, _WIDEST)
    return RowMotion(terms, middle, unit)


def robust_row_motion(
    row: Row, there: Points, weight: NDArray[np.float64], usual_px: float
) -> RowMotion:
    """Return the motion that most of a row agrees with; things off by far more do not count.

    Args:
        row: The row in the reference photo.
        there: (N, 2) where its things seem to lie in the new one.
        weight: (N,) how far each is trusted.
        usual_px: How far off a trusted place usually is.
    """
    off = _off_from_likeliest_pair(row, there, weight, 3 * usual_px)
    tolerance = 3 * usual_px
    motion = row_motion(row, there, weight / (1 + (off / tolerance) ** 2))
    for _ in range(_ROBUST_ROUNDS - 1):
        off = np.linalg.norm(motion.places(row) - there, axis=1)
        tolerance = max(usual_px, 0.7 * tolerance)
        motion = row_motion(row, there, weight / (1 + (off / tolerance) ** 2))
    return motion


def _off_from_likeliest_pair(
    row: Row, there: Points, weight: NDArray[np.float64], tolerance_px: float
) -> NDArray[np.float64]:
    """Return how far all are off where two of them, the likeliest two, are taken as right."""
    here = row.along + 1j * row.beside
    seen = there[:, 0] + 1j * there[:, 1]
    best, most = np.zeros(len(here)), -1.0
    for one, other in combinations(range(len(here)), 2):
        if abs(row.along[one] - row.along[other]) < _LEAST_APART:
            continue
        turn = (seen[other] - seen[one]) / (here[other] - here[one])
        off = np.abs(seen[one] + turn * (here - here[one]) - seen)
        agreed = float(np.sum(weight / (1 + (off / tolerance_px) ** 2)))
        if agreed > most:
            best, most = off, agreed
    return best
