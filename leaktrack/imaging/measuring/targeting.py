"""Find a printed square target in a photo and tell the scale at it.

The target is a marker of the open dictionary DICT_4X4_50, 30 mm wide unless said otherwise.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.cornering import fitted_corners
from leaktrack.model.shapes import PointPx, area_px2

Square = tuple[PointPx, PointPx, PointPx, PointPx]
DEFAULT_SIDE_MM = 30.0
_LEAST_SIDE_PX = 16  # below, the corners are worth nothing; own judgement


@dataclass(frozen=True, slots=True)
class TargetScale:
    """A target found in a photo.

    Attributes:
        corners_px: Its four corners from the printed top left, clockwise.
        side_mm: Its printed side.
        mm_per_px: Scale at the target, in its plane, averaged over directions: right for areas.
        tilt: Shortest side against the longest; 1 where the camera looked straight at it.
        marker: Its number in the dictionary.
        sigma_px: One standard deviation of a corner's place in x and in y.
    """

    corners_px: Square
    side_mm: float
    mm_per_px: float
    tilt: float
    marker: int
    sigma_px: float


def square_target(
    rgb: NDArray[np.uint8], side_mm: float = DEFAULT_SIDE_MM, shrunk_by: float = 1.0
) -> TargetScale | None:
    """Return the largest target in a photo, or None.

    The scale holds near the target and in its plane only. A surface dz nearer to a camera at
    distance Z reads 2 dz/Z too large in area.

    Args:
        rgb: (rows, cols, 3), the upright photo or a smaller decode of it.
        side_mm: Printed side of the black square.
        shrunk_by: Full photo's width over that of ``rgb``; places and scale are the full photo's.
    """
    grey = np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    seen = _large_markers(grey, shrunk_by)
    if not seen:
        grey = _lifted(rgb)
        seen = _large_markers(grey, shrunk_by)
    if not seen:
        return None
    rough, marker = max(seen, key=lambda one: area_px2(_corners(one[0], 1.0)))
    fitted = fitted_corners(grey, rough, marker)
    square = _corners(fitted.corners_px, shrunk_by)
    sides = _sides_px(square)
    mm_per_px = side_mm / math.sqrt(area_px2(square))
    tilt = min(sides) / max(sides)
    return TargetScale(square, side_mm, mm_per_px, tilt, marker, fitted.sigma_px * shrunk_by)


def squares_seen(rgb: NDArray[np.uint8], shrunk_by: float = 1.0) -> list[Square]:
    """Return the corners of every target in a photo, in px of the full photo; see above.

    They lie a pixel or two inside the true corners: good enough to stay clear of the targets.
    """
    grey = np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    return [_corners(corners, shrunk_by) for corners, _ in _markers(grey)]


def _large_markers(
    grey: NDArray[np.uint8], shrunk_by: float
) -> list[tuple[NDArray[np.float64], int]]:
    """Return the rough corners and number of every target that is large enough."""
    return [
        (corners, marker)
        for corners, marker in _markers(grey)
        if min(_sides_px(_corners(corners, shrunk_by))) >= _LEAST_SIDE_PX
    ]


def _lifted(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a dark photo with its contrast spread, place by place, by its brightest channel.

    Under an ultraviolet lamp paper is blue, and blue hardly counts in grey.
    """
    brightest = np.ascontiguousarray(rgb.max(axis=2))
    return np.asarray(cv2.createCLAHE(clipLimit=8.0, tileGridSize=(8, 8)).apply(brightest))


def _markers(grey: NDArray[np.uint8]) -> list[tuple[NDArray[np.float64], int]]:
    """Return the rough corners of every target, and its number."""
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    found, markers, _ = cv2.aruco.ArucoDetector(dictionary, settings).detectMarkers(grey)
    if markers is None:
        return []
    return [
        (np.asarray(corners, np.float64).reshape(4, 2), int(marker))
        for corners, marker in zip(found, np.asarray(markers).ravel(), strict=True)
    ]


def _corners(corners: NDArray[np.float64], shrunk_by: float) -> Square:
    full = (corners + 0.5) * shrunk_by - 0.5
    first, second, third, fourth = (PointPx(float(x), float(y)) for x, y in full)
    return first, second, third, fourth


def _sides_px(square: Square) -> list[float]:
    return [square[i].distance_px(square[(i + 1) % 4]) for i in range(4)]
