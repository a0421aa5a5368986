"""Where does a place of one photo lie in another photo of the same zone?

Matched points that move like their neighbours are kept; every other place moves with the matches
around it. Far from any match nothing is promised.
"""

from dataclasses import dataclass
from enum import Enum

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.learned_matching import Features
from leaktrack.model.place import PlaceState

Points = NDArray[np.float64]
Rgb = NDArray[np.uint8]

_LEAST_MATCHES = 40
_NEIGHBOURS = 20
_STRAY = 0.008  # of the longest side: a match that far from its neighbours' motion is wrong
_DEPTH = 0.045  # of the longest side: how far depth may move a place off the plane
_ROUNDS = 3
# Matches crowded on one part or along one line say nothing about the rest, and that is how photos
# of another engine, or mirrored ones, match. Own measurement, in squares of the longest side: 41
# pairs of one zone had 0.010 and more, the one wrong among them 0.002, 13 false ones 0.006 at most.
_LEAST_SPREAD = 0.008
_FLATTEN = 0.15  # pull towards the dominant plane where neighbours say little
# Own measurement on 84 pairs of rendered engine photos: 71 % within one sigma, 90 % within two.
_DOUBT = 1.3
_DOUBT_PER_DISTANCE = 0.12  # px for each px to the nearest matches
_HARDLY_CARRIED = 0.03  # of the longest side
_GRID_PX = 24


class AlignmentState(Enum):
    """Whether two photos could be laid over each other."""

    ALIGNED = "aligned"
    UNRELIABLE = "unreliable"
    FAILED = "failed"


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """Where points of the reference photo lie in the new one.

    Attributes:
        xy: (N, 2) in px of the new photo; not a number where hidden or outside.
        sigma_px: (N,) one standard deviation.
        states: One for each point.
    """

    xy: Points
    sigma_px: NDArray[np.float64]
    states: tuple[PlaceState, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Alignment:
    """How a new photo lies over a reference photo.

    Attributes:
        here: (N, 2) matched places in the reference photo.
        there: (N, 2) the same in the new photo.
        plane: (3, 3) homography of the surface most of them lie on.
        size: Width and height of the new photo.
    """

    state: AlignmentState
    here: Points
    there: Points
    plane: NDArray[np.float64]
    size: tuple[int, int]

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the reference photo lie in the new one."""
        if self.state is AlignmentState.FAILED or not len(points):
            lost = np.full((len(points), 2), np.nan)
            return Carried(lost, np.full(len(points), np.inf), (PlaceState.HIDDEN,) * len(points))
        xy, residual, distance = _moved(points, self.here, self.there, self.plane)
        sigma = _DOUBT * np.hypot(residual, _DOUBT_PER_DISTANCE * distance)
        limit = _HARDLY_CARRIED * max(self.size)
        width, height = self.size
        inside = (xy >= -0.5) & (xy < np.array([width - 0.5, height - 0.5]))
        is_outside = np.asarray(~inside.all(axis=1))
        states = tuple(
            PlaceState.OUTSIDE
            if outside
            else PlaceState.CARRIED
            if one <= limit
            else PlaceState.UNCERTAIN
            for outside, one in zip(is_outside, sigma, strict=True)
        )
        xy[is_outside] = np.nan
        return Carried(xy, sigma, states)


def align(reference: Features, new: Features, pairs: NDArray[np.int64]) -> Alignment:
    """Return how the new photo lies over the reference.

    Args:
        reference: Points of the reference photo.
        new: Points of the new photo.
        pairs: (K, 2) matches between them, some of them wrong.
    """
    here = reference.xy[pairs[:, 0]].astype(float)
    there = new.xy[pairs[:, 1]].astype(float)
    plane = _plane(here, there, max(new.size))
    if plane is None:
        return _failed(new.size)
    # Rows of like bolts: a match one bolt on looks right to its neighbours; depth moves less.
    is_near = np.linalg.norm(_through(plane, here) - there, axis=1) < _DEPTH * max(new.size)
    here, there = here[is_near], there[is_near]
    for _ in range(_ROUNDS):
        if len(here) < _LEAST_MATCHES:
            return _failed(new.size)
        expected, _, _ = _moved(here, here, there, plane, is_own=True)
        is_kept = np.linalg.norm(expected - there, axis=1) < _STRAY * max(new.size)
        here, there = here[is_kept], there[is_kept]
    spread = min(_spread(here, reference.size), _spread(there, new.size))
    if len(here) < _LEAST_MATCHES or spread < _LEAST_SPREAD:
        return _failed(new.size)
    enough = len(here) >= 2 * _LEAST_MATCHES
    state = AlignmentState.ALIGNED if enough else AlignmentState.UNRELIABLE
    return Alignment(state, here, there, plane, new.size)


def laid_over(
    alignment: Alignment, new: Rgb, shape: tuple[int, ...], reference_width: int
) -> tuple[Rgb, NDArray[np.bool_]]:
    """Return the new photo bent to lie over the reference, and where it shows anything at all.

    Args:
        alignment: How it lies; where that failed, the picture is black.
        new: The new photo or a smaller decode of it.
        shape: Rows and columns wanted.
        reference_width: Width of the full reference photo, in px.
    """
    rows, cols = shape[:2]
    if alignment.state is AlignmentState.FAILED:
        return np.zeros((rows, cols, 3), np.uint8), np.zeros((rows, cols), np.bool_)
    across, down = np.arange(0, cols + _GRID_PX, _GRID_PX), np.arange(0, rows + _GRID_PX, _GRID_PX)
    grid_x, grid_y = np.meshgrid(across, down)
    nodes = np.stack([grid_x.ravel(), grid_y.ravel()], axis=1).astype(np.float64)
    full = (nodes + 0.5) * (reference_width / cols) - 0.5
    xy, _, _ = _moved(full, alignment.here, alignment.there, alignment.plane)
    shrunk = (xy + 0.5) * (new.shape[1] / alignment.size[0]) - 0.5
    coarse = shrunk.reshape(*grid_x.shape, 2).astype(np.float32)
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32) / _GRID_PX
    where = np.asarray(cv2.remap(coarse, x, y, cv2.INTER_LINEAR), np.float32)
    bent = cv2.remap(new, where[..., 0], where[..., 1], cv2.INTER_LINEAR)
    last = np.array([new.shape[1] - 1, new.shape[0] - 1])
    is_valid = np.asarray(((where >= 0) & (where <= last)).all(axis=2))
    return np.asarray(bent, np.uint8), is_valid


def _failed(size: tuple[int, int]) -> Alignment:
    nothing = np.empty((0, 2))
    return Alignment(AlignmentState.FAILED, nothing, nothing, np.eye(3), size)


def _spread(points: Points, size: tuple[int, int]) -> float:
    """Return over how much of a photo points lie: the area of one standard deviation each way."""
    if len(points) < 2:
        return 0.0
    return float(np.sqrt(max(0.0, np.linalg.det(np.cov((points / max(size)).T)))))


def _plane(here: Points, there: Points, longest: int) -> NDArray[np.float64] | None:
    if len(here) < _LEAST_MATCHES:
        return None
    plane, _ = cv2.findHomography(
        here, there, cv2.USAC_MAGSAC, 0.004 * longest, maxIters=5000, confidence=0.999
    )
    if plane is None or not 0.1 < np.linalg.det(plane[:2, :2]) < 10:
        return None  # a mirrored or hugely scaled plane is no photo of the same zone
    return np.asarray(plane, np.float64)


def _moved(
    points: Points,
    here: Points,
    there: Points,
    plane: NDArray[np.float64],
    *,
    is_own: bool = False,
) -> tuple[Points, NDArray[np.float64], NDArray[np.float64]]:
    """Return where points go with the matches around them, with residual and distance in px.

    A weighted affine motion on top of the plane's, fitted again with less weight for strays.
    ``is_own``: the points are the matches themselves and must not vote for themselves.
    """
    away = np.linalg.norm(points[:, None] - here[None], axis=2)
    if is_own:
        np.fill_diagonal(away, np.inf)
    count = min(_NEIGHBOURS, len(here) - 1)
    near = np.argpartition(away, count - 1, axis=1)[:, :count]
    distance = np.take_along_axis(away, near, axis=1)
    reach = np.maximum(distance.max(axis=1, keepdims=True), 1.0)
    offset = (here[near] - points[:, None]) / reach[..., None]
    off_plane = there[near] - _through(plane, here[near].reshape(-1, 2)).reshape(*near.shape, 2)
    terms = np.concatenate([np.ones_like(offset[..., :1]), offset], axis=2)
    closeness = np.exp(-((1.6 * distance / reach) ** 2))
    weight = closeness.copy()
    for _ in range(4):
        normal = np.einsum("mki,mk,mkj->mij", terms, weight, terms)
        normal += np.diag([1e-6, _FLATTEN, _FLATTEN])
        motion = np.linalg.solve(normal, np.einsum("mki,mk,mkd->mid", terms, weight, off_plane))
        stray = np.linalg.norm(off_plane - np.einsum("mki,mid->mkd", terms, motion), axis=2)
        usual = np.maximum(1.5 * np.median(stray, axis=1, keepdims=True), 1.5)
        weight = closeness / (1 + (stray / usual) ** 2) ** 2
    residual = np.sqrt((weight * stray**2).sum(axis=1) / weight.sum(axis=1))
    nearest = np.sort(distance, axis=1)[:, :4].mean(axis=1)
    return _through(plane, points) + motion[:, 0], residual, nearest


def _through(plane: NDArray[np.float64], points: Points) -> Points:
    through = cv2.perspectiveTransform(points.reshape(-1, 1, 2), plane)
    return np.asarray(through, np.float64).reshape(-1, 2)
