"""Find the same points in two photos by how brightness changes around them, without training.

Scale and turning do not matter to it, but light does: between two looks at an oily casting it finds
hardly anything. It is for photos that the trained networks cannot match.

Source:
    D. Lowe, "Distinctive image features from scale-invariant keypoints", IJCV 2004; the square root
    of descriptors: R. Arandjelovic, A. Zisserman, CVPR 2012.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.learned_matching import Features, Rgb

_MOST_POINTS = 4000
_LEAST_CONTRAST = 0.012  # own measurement: more points on smooth castings than with 0.04
_EDGE_LIMIT = 16
_NEXT_BEST = 0.8  # of the distance to the second best (Lowe 2004: 0.8 keeps 95 % of right ones)
_ROWS_AT_ONCE = 1024


def gradient_features(rgb: Rgb, size: tuple[int, int]) -> Features:
    """Return distinct points of a photo.

    Args:
        rgb: The upright photo, or a smaller decode of it.
        size: Width and height of the full photo.
    """
    grey = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY)
    # Any octave layers but three found fewer right matches.
    finder = cv2.SIFT.create(_MOST_POINTS, 3, _LEAST_CONTRAST, _EDGE_LIMIT)
    mask = np.full(grey.shape, 255, np.uint8)
    points, found = finder.detectAndCompute(grey, mask)
    if not points:
        return Features(np.empty((0, 2), np.float32), np.empty((0, 128), np.float32), size)
    to_full = np.array([size[0] / rgb.shape[1], size[1] / rgb.shape[0]], np.float32)
    at = np.array([point.pt for point in points], np.float32)
    total = np.asarray(found, np.float32).sum(axis=1, keepdims=True).clip(1e-9)
    return Features((at + 0.5) * to_full - 0.5, np.sqrt(found / total).astype(np.float32), size)


def gradient_matches(one: Features, other: Features) -> NDArray[np.int64]:
    """Return (K, 2) rows (i, j): point i of the one photo looks like point j of the other."""
    if len(one.xy) < 2 or len(other.xy) < 2:
        return np.empty((0, 2), np.int64)
    forth, is_clear = _nearest(one, other)
    back, _ = _nearest(other, one)
    is_mutual = back[forth] == np.arange(len(forth))
    rows = np.nonzero(is_mutual & is_clear)[0]
    return np.stack([rows, forth[rows]], axis=1).astype(np.int64)


def _nearest(one: Features, other: Features) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Return each point's most alike point in the other photo, and whether it is clearly that."""
    nearest, is_clear = [], []
    for first in range(0, len(one.xy), _ROWS_AT_ONCE):
        alike = one.descriptors[first : first + _ROWS_AT_ONCE] @ other.descriptors.T
        two = np.partition(alike, -2, axis=1)[:, -2:]
        distance = np.sqrt(np.maximum(2 - 2 * two, 0))  # of unit vectors
        nearest.append(alike.argmax(axis=1))
        is_clear.append(distance[:, 1] < _NEXT_BEST * distance[:, 0])
    return np.concatenate(nearest), np.concatenate(is_clear)
