"""Link the pictures of an index: how the camera moved from one to the next, and where it was cut.

While a video is indexed, all points of two pictures in a row are at hand. Where one motion takes
many of them along, the camera moved on and the motion is kept; where none does, the film was cut or
the camera swept round, and what the one picture shows says nothing about the other.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.learned_matching import Features

Plane = NDArray[np.float64]
Motion = NDArray[np.float32]

LEAST_LINKED = 16
"""Own measurement on two films, 11 cuts each: nearly all have 34 and more; at cuts 10 at most."""

_POINTS = 512  # of each picture
_LEAST_ALIKE = 0.8  # cosine of two descriptors
_ALONG = 0.01  # of the picture's longer side


def link(before: Features, after: Features) -> tuple[int, Motion]:
    """Return how many points one motion takes from a picture to the next, and that motion.

    The motion is (2, 3), in shares of the pictures' sides; all 0 where there is none.
    """
    one, other = before.strongest(_POINTS), after.strongest(_POINTS)
    nothing = 0, np.zeros((2, 3), np.float32)
    if not len(one.xy) or not len(other.xy):
        return nothing
    alike = one.descriptors @ other.descriptors.T
    there, back = alike.argmax(1), alike.argmax(0)
    here = np.arange(len(there))
    kept = (back[there] == here) & (alike[here, there] > _LEAST_ALIKE)
    if kept.sum() < LEAST_LINKED:
        return nothing
    motion, agrees = cv2.estimateAffine2D(
        one.xy[kept],
        other.xy[there[kept]],
        method=cv2.RANSAC,
        ransacReprojThreshold=_ALONG * max(before.size),
        confidence=0.999,
    )
    if motion is None:
        return nothing
    plane = to_shares(other.size) @ np.vstack([motion, [0, 0, 1]]) @ to_px(one.size)
    return int(agrees.sum()), plane[:2].astype(np.float32)


def to_shares(size: tuple[int, int]) -> Plane:
    """Return what turns px of a picture of a size into shares of its sides."""
    width, height = size
    return np.array([[1 / width, 0, 0.5 / width], [0, 1 / height, 0.5 / height], [0, 0, 1]])


def to_px(size: tuple[int, int]) -> Plane:
    """Return what turns shares of a picture's sides into px of it at a size."""
    width, height = size
    return np.array([[width, 0, -0.5], [0, height, -0.5], [0, 0, 1.0]])
