"""Follow a place through a video from a picture in which it is known, by optical flow.

The index holds a picture every second or so. What is asked for may be in sight between two of them
only: where a picture shows what lies beside it, the pictures before and after are looked through.

Source:
    J. Shi, C. Tomasi, "Good Features to Track", CVPR 1994; B. Lucas, T. Kanade, IJCAI 1981.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.learned_matching import Rgb

Plane = NDArray[np.float64]
Grey = NDArray[np.uint8]

STEP_MS = 250
"""So often a picture is looked at on the way: between two of them a hand moves a camera little."""

REACH_MS = 2_000
"""So far a place is followed to either side."""

_LONGEST_PX = 320
_POINTS = 200
_LEAST_POINTS = 25
_LEAST_SHARE = 0.5  # of the points must move as one plane does; own judgement
_THERE_AND_BACK_PX = 1.0
_ON_PLANE_PX = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """Where a place lies in a picture that was come to.

    Attributes:
        number: Of the picture, counted from the first that was given.
        plane: (3, 3) from px of the photo to px of the picture.
    """

    number: int
    plane: Plane


def small_grey(rgb: Rgb) -> Grey:
    """Return an upright picture as it is followed."""
    scale = _LONGEST_PX / max(rgb.shape[:2])
    size = max(8, round(rgb.shape[1] * scale)), max(8, round(rgb.shape[0] * scale))
    small = cv2.resize(rgb, size, interpolation=cv2.INTER_AREA)
    return cv2.cvtColor(small, cv2.COLOR_RGB2GRAY).astype(np.uint8)


def followed(
    pictures: Sequence[Grey], known: int, plane: Plane, size: tuple[int, int]
) -> list[Followed]:
    """Return where a place lies in the pictures before and after one, as far as it can be told.

    Args:
        pictures: In their order, as of ``small_grey``.
        known: The number of the one in which the place is known.
        plane: (3, 3) from px of the photo to px of that picture at its full size.
        size: Width and height of the pictures at their full size.
    """
    scale = pictures[known].shape[1] / size[0]
    offset = (scale - 1) / 2
    small = np.array([[scale, 0, offset], [0, scale, offset], [0, 0, 1]])
    found = [Followed(known, plane)]
    for way in (range(known + 1, len(pictures)), range(known - 1, -1, -1)):
        there, last = np.eye(3), known
        for number in way:
            step = _step(pictures[last], pictures[number])
            if step is None:
                break
            there, last = step @ there, number
            found.append(Followed(number, np.linalg.inv(small) @ there @ small @ plane))
    return sorted(found, key=lambda one: one.number)


def _step(one: Grey, other: Grey) -> Plane | None:
    """Return how one picture moves onto the next; None where they do not go together."""
    corners = cv2.goodFeaturesToTrack(one, _POINTS, 0.01, 6)
    if corners is None or len(corners) < _LEAST_POINTS:
        return None
    moved, is_found, _ = cv2.calcOpticalFlowPyrLK(one, other, corners, corners.copy())
    back, is_back, _ = cv2.calcOpticalFlowPyrLK(other, one, moved, moved.copy())
    away = np.linalg.norm((back - corners).reshape(-1, 2), axis=1)
    kept = (is_found.ravel() > 0) & (is_back.ravel() > 0) & (away < _THERE_AND_BACK_PX)
    if kept.sum() < _LEAST_POINTS:
        return None
    plane, agrees = cv2.findHomography(
        corners[kept], moved[kept], cv2.USAC_MAGSAC, _ON_PLANE_PX, maxIters=1000, confidence=0.999
    )
    if plane is None or agrees.sum() < max(_LEAST_POINTS, _LEAST_SHARE * len(corners)):
        return None
    return np.asarray(plane, np.float64)
