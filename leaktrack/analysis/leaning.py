"""How a flange leans away from the camera, told by its bolts: far spacings look short."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.analysis.flattening import FlatPath, Floats, flattened
from leaktrack.model.shapes import PointPx

# What a lean is before anything is known: photos are taken by hand and roughly straight. Over the
# length of a path nearness changes by a quarter or so, and one way across looks shorter than the
# other by 6 % (the cosine of 20 degrees). Own judgement.
_NEARNESS_DOUBT = 0.25
_SQUEEZE_DOUBT = 0.06

# A flange beside a target leans otherwise than that by some eight degrees: over the length of a
# seal, a third of the distance to the camera, it comes nearer by 5 %, and at a slant of 20 degrees
# looks narrower by 2 %. Beyond the last figure it is seen too steeply. Own judgement.
_OTHER_NEARNESS = 0.05
_OTHER_SQUEEZE = 0.02
_STEEPEST = 0.6

# How well a spacing is known: a click on each of its ends, as a share of the path's extent, and a
# tape along the joint. Own judgement.
_CLICK_SHARE = 0.002
_TAPE_MM = 0.7

_ROUNDS = 6
_STEP = 1e-4
_ENOUGH = 1e-3  # of what it was before anything was known
_FEWEST_SPACINGS = 2
_LARGEST_OFF = 3.0  # in units of what is known: more, and a bolt or a figure is wrong
_PARTS = 4


@dataclass(frozen=True, slots=True)
class Lean:
    """How a surface lies to the camera: two numbers for nearness, two for what looks squeezed.

    Attributes:
        parts: Slope of nearness across and down, squeeze along the axes and along the diagonals.
        doubt: Rows of a (4, 4) matrix: leans that are one standard deviation off, each for a reason
            of its own, are ``parts`` plus a row.
    """

    parts: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    doubt: tuple[tuple[float, float, float, float], ...] = (
        (_NEARNESS_DOUBT, 0.0, 0.0, 0.0),
        (0.0, _NEARNESS_DOUBT, 0.0, 0.0),
        (0.0, 0.0, _SQUEEZE_DOUBT, 0.0),
        (0.0, 0.0, 0.0, _SQUEEZE_DOUBT),
    )

    @property
    def others(self) -> tuple["Lean", ...]:
        """The leans that are one standard deviation off."""
        rows = np.array(self.parts) + np.array(self.doubt)
        return tuple(Lean(_four(row), self.doubt) for row in rows)


STRAIGHT = Lean()
"""Of a flange of which nothing is known: it faces the camera, more or less."""


def laid_flat(path: Sequence[PointPx], lean: Lean, *, is_closed: bool) -> FlatPath:
    """Return a path on a surface that leans, with its flat lengths in px at its middle."""
    at = np.array([(point.x, point.y) for point in path], np.float64)
    return flattened(path, is_closed=is_closed, homography=_homography(lean.parts, at))


def lean_of_plane(path: Sequence[PointPx], to_mm: Sequence[float]) -> Lean:
    """Return how a flange leans that is parallel to a plane that was measured in the photo.

    Args:
        path: Corners of the joint's line.
        to_mm: Nine numbers, row by row: the projective map from px to mm in the plane.

    Returns:
        STRAIGHT where the path does not lie before the camera, or is seen too steeply.

    Source:
        About a place, a projective map is its slopes there over how much nearer the surface comes;
        of the slopes, the symmetric root tells the stretch, the rest only turns the surface.
    """
    at = np.array([(point.x, point.y) for point in path], np.float64)
    middle, extent = (at.max(axis=0) + at.min(axis=0)) / 2, _extent(at)
    rows = np.array(to_mm, np.float64).reshape(3, 3)
    nearness = rows[2, :2] @ middle + rows[2, 2]
    if not np.isfinite(rows).all() or nearness <= 0:
        return STRAIGHT
    there = (rows[:2, :2] @ middle + rows[:2, 2]) / nearness
    slopes = (rows[:2, :2] - np.outer(there, rows[2, :2])) / nearness
    values, ways = np.linalg.eigh(slopes.T @ slopes)
    root = (ways * np.sqrt(np.maximum(values, 0.0))) @ ways.T
    if np.trace(root) <= 0:
        return STRAIGHT
    root *= 2 / np.trace(root)
    right, down = rows[2, :2] * extent / nearness
    parts = np.array([right, down, (root[0, 0] - root[1, 1]) / 2, root[0, 1]])
    if (np.abs(parts) > _STEEPEST).any():
        return STRAIGHT
    doubts = (_OTHER_NEARNESS, _OTHER_NEARNESS, _OTHER_SQUEEZE, _OTHER_SQUEEZE)
    return Lean(_four(parts), tuple(_four(row) for row in np.diag(doubts)))


def lean_of(
    path: Sequence[PointPx],
    *,
    is_closed: bool,
    bolts_px: Sequence[float],
    bolts_mm: Sequence[float],
) -> Lean:
    """Return the likeliest lean, from bolts whose places along the joint are known in mm.

    The flange is taken as flat and the lens as straight. On a straight row of bolts this is the
    projective map of a line; round corners the other way across counts as well.

    Args:
        path: Corners of the joint's line.
        is_closed: Whether the last joins the first.
        bolts_px: Lengths along the path in px; rising. Of a closed joint the first bolt comes again
            at the end, one turn later.
        bolts_mm: Places along the joint there; rising or falling.

    Returns:
        STRAIGHT where there are fewer than two spacings, or where no lean explains them.

    Source:
        Least squares with what is known before (maximum a posteriori), by Gauss and Newton.
    """
    known_mm = np.abs(np.diff(np.array(bolts_mm, np.float64)))
    seen_px = np.diff(np.array(bolts_px, np.float64))
    if len(known_mm) < _FEWEST_SPACINGS or min(known_mm.min(), seen_px.min()) <= 0:
        return STRAIGHT
    at = np.array([(point.x, point.y) for point in path], np.float64)
    path_px = np.concatenate([at, at[:1]]) if is_closed else at
    # Of a closed joint the last bolt is the first one again, a turn later.
    dense, bolts = _with_bolts(path_px, bolts_px[:-1] if is_closed else bolts_px)
    click_px = _CLICK_SHARE * _extent(at)
    off = np.hypot(np.sqrt(2) * click_px / seen_px, np.sqrt(2) * _TAPE_MM / known_mm)

    weight = off**-2 / (off**-2).sum()

    def misfit(parts: Floats) -> Floats:
        """Return by how much the spacings differ from what is known, but for one common scale."""
        there = np.column_stack([dense, np.ones(len(dense))]) @ _homography(parts, at).T
        flat = there[:, :2] / np.maximum(there[:, 2:], 1e-9)
        lengths = np.linalg.norm(np.diff(flat, axis=0), axis=1)
        places = np.concatenate([[0.0], np.cumsum(lengths)])[bolts]
        if is_closed:
            places = np.append(places, places[0] + lengths.sum())
        ratio = np.log(np.maximum(np.diff(places), 1e-9) / known_mm)
        return np.asarray((ratio - weight @ ratio) / off, np.float64)

    before = np.array([_NEARNESS_DOUBT, _NEARNESS_DOUBT, _SQUEEZE_DOUBT, _SQUEEZE_DOUBT])
    parts = np.zeros(_PARTS)
    normal = np.diag(before**-2)
    for _ in range(_ROUNDS):
        here = misfit(parts)
        slope = np.stack([(misfit(parts + step) - here) / _STEP for step in _STEP * np.eye(_PARTS)])
        normal = slope @ slope.T + np.diag(before**-2)
        change = np.linalg.solve(normal, slope @ here + parts / before**2)
        parts = np.clip(parts - change, -2 * before, 2 * before)
        if np.abs(change / before).max() < _ENOUGH:
            break
    if np.sqrt(np.mean(misfit(parts) ** 2)) > _LARGEST_OFF:
        return STRAIGHT
    values, ways = np.linalg.eigh(np.linalg.inv(normal))
    rows = (ways * np.sqrt(np.maximum(values, 0))).T
    return Lean(_four(parts), tuple(_four(row) for row in rows))


def _with_bolts(at: Floats, bolts_px: Sequence[float]) -> tuple[Floats, NDArray[np.intp]]:
    """Return a path with corners at the bolts too, and which corners these are."""
    seen = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(at, axis=0), axis=1))])
    along = np.clip(np.array(bolts_px, np.float64), 0.0, seen[-1])
    every = np.union1d(seen, along)
    dense = np.stack([np.interp(every, seen, at[:, axis]) for axis in (0, 1)], axis=1)
    return np.asarray(dense, np.float64), np.searchsorted(every, along - 1e-9)


def _homography(parts: Sequence[float] | Floats, at: Floats) -> Floats:
    """Return the map from px to the surface whose scale at the path's middle is 1."""
    right, down, squeeze, skew = (float(part) for part in parts)
    middle, extent = (at.max(axis=0) + at.min(axis=0)) / 2, _extent(at)
    shift = np.array([[1, 0, -middle[0]], [0, 1, -middle[1]], [0, 0, 1.0]])
    lean = np.array(
        [[1 + squeeze, skew, 0], [skew, 1 - squeeze, 0], [right / extent, down / extent, 1]]
    )
    return np.asarray(lean @ shift, np.float64)


def _extent(at: Floats) -> float:
    return max(float(np.linalg.norm(np.ptp(at, axis=0))), 1e-9)


def _four(row: Floats | Sequence[float]) -> tuple[float, float, float, float]:
    a, b, c, d = (float(value) for value in row)
    return a, b, c, d
