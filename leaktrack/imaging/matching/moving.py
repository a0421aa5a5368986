"""Where does a place go with the matched places around it, and with the surface they lie on?"""

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import KDTree

Points = NDArray[np.float64]

NEIGHBOURS = 20
_FLATTEN = 0.15  # pull towards the dominant plane where neighbours say little
_ROUNDS = 4


def moved(
    points: Points,
    here: Points,
    there: Points,
    plane: NDArray[np.float64],
    *,
    neighbours: int = NEIGHBOURS,
    is_own: bool = False,
) -> tuple[Points, NDArray[np.float64], NDArray[np.float64]]:
    """Return where points go with the matches around them, with residual and distance in px.

    A weighted affine motion on top of the plane's, fitted again with less weight for strays.

    Args:
        points: (N, 2) places in the one photo.
        here: (K, 2) matched places in it.
        there: (K, 2) the same in the other photo.
        plane: (3, 3) homography of the surface that most of them lie on.
        neighbours: How many of the nearest matches are asked.
        is_own: The points are the matches themselves and must not vote for themselves.
    """
    distance, near = nearest_of(points, here, min(neighbours, len(here) - 1), is_own=is_own)
    reach = np.maximum(distance[:, -1:], 1.0)
    offset = (here[near] - points[:, None]) / reach[..., None]
    off_plane = there[near] - through(plane, here[near].reshape(-1, 2)).reshape(*near.shape, 2)
    terms = np.concatenate([np.ones_like(offset[..., :1]), offset], axis=2)
    closeness = np.exp(-((1.6 * distance / reach) ** 2))
    weight = closeness.copy()
    for _ in range(_ROUNDS):
        weighted = (terms * weight[..., None]).transpose(0, 2, 1)
        normal = weighted @ terms + np.diag([1e-6, _FLATTEN, _FLATTEN])
        motion = np.linalg.solve(normal, weighted @ off_plane)
        stray = lengths(off_plane - terms @ motion)
        usual = np.maximum(1.5 * np.median(stray, axis=1, keepdims=True), 1.5)
        weight = closeness / (1 + (stray / usual) ** 2) ** 2
    residual = np.sqrt((weight * stray**2).sum(axis=1) / weight.sum(axis=1))
    nearest = distance[:, :4].mean(axis=1)
    return through(plane, points) + motion[:, 0], residual, nearest


def nearest_of(
    points: Points, places: Points, count: int, *, is_own: bool = False
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Return (N, count) distances to the places nearest to each point, and which, nearest first.

    Args:
        points: (N, 2) in px.
        places: (K, 2), more than ``count`` of them.
        count: How many places to each point.
        is_own: The points are the places themselves, and none is near to itself.
    """
    found = KDTree(places).query(points, range(1, count + 1 + is_own))
    distance, near = np.asarray(found[0], np.float64), np.asarray(found[1], np.int64)
    if is_own:
        # Of two matches in one place either may come first.
        last = np.argsort(near == np.arange(len(points))[:, None], axis=1, kind="stable")[:, :-1]
        distance = np.take_along_axis(distance, last, axis=1)
        near = np.take_along_axis(near, last, axis=1)
    return distance, near


def lengths(vectors: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return the lengths of vectors of two on the last axis; far faster than NumPy's own ways."""
    across, down = vectors[..., 0], vectors[..., 1]
    return np.asarray(np.sqrt(across * across + down * down))


def through(plane: NDArray[np.float64], points: Points) -> Points:
    """Return where a (3, 3) homography takes (N, 2) points."""
    there = cv2.perspectiveTransform(points.reshape(-1, 1, 2), plane)
    return np.asarray(there, np.float64).reshape(-1, 2)


def surface(
    here: Points, there: Points, tolerance_px: float
) -> tuple[NDArray[np.float64], NDArray[np.bool_]] | None:
    """Return the homography that most matches agree with, and which do; None without a sane one."""
    plane, agrees = cv2.findHomography(
        here, there, cv2.USAC_MAGSAC, tolerance_px, maxIters=5000, confidence=0.999
    )
    if plane is None:
        return None
    # A mirrored or hugely scaled plane is no photo of the same zone; but one photo may have many
    # more pixels than the other.
    areas = [float(np.prod(points.std(axis=0)).clip(1e-9)) for points in (here, there)]
    if not 0.1 < np.linalg.det(plane[:2, :2]) * areas[0] / areas[1] < 10:
        return None
    return np.asarray(plane, np.float64), np.asarray(agrees).ravel() > 0


def epipolar(
    here: Points, there: Points, off: float, confidence: float, tries: int
) -> tuple[NDArray[np.float64], NDArray[np.bool_]] | None:
    """Return the fundamental matrix of two photos and which matches it explains; None without one.

    Args:
        here: (N, 2) matched places of the one photo.
        there: (N, 2) the same in the other, in the same unit.
        off: How far a match may lie from its line, in that unit.
        confidence: How surely the best matrix is found, 0 to 1.
        tries: At most.
    """
    try:
        matrix, inside = cv2.findFundamentalMat(
            here, there, cv2.USAC_MAGSAC, off, confidence, maxIters=tries
        )
    except cv2.error:  # OpenCV 5.0 refuses a model of its own, once in a thousand pictures
        return None
    if matrix is None or matrix.shape != (3, 3) or inside is None:
        return None
    return np.asarray(matrix, np.float64), np.asarray(inside).ravel() > 0
