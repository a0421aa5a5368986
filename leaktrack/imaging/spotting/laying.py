"""Lay an earlier photo over a later one, with how far each place of it can be trusted."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

_LEAST_SIDE_PX = 64  # of a picture worth comparing
_LEAST_CONTRAST = 0.02  # of a picture that shows anything, as a spread of stored values
_STEP_PX = 6
_NOWHERE_PX = -1e5
_NOT_PLACED_SHARE = 0.05  # of the longest side: the doubt where no place is given


@dataclass(frozen=True, slots=True, eq=False)
class Earlier:
    """An earlier photo as it lies over the later one, at working size.

    Attributes:
        rgb: (rows, cols, 3).
        doubt_px: (rows, cols) one standard deviation of where places lie.
        is_placed: (rows, cols) whether it is known where the place lies, and the photo shows it.
    """

    rgb: Rgb
    doubt_px: Floats
    is_placed: Bools


def shows_something(rgb: Rgb) -> bool:
    """Return whether a picture is large enough and neither all black nor all white."""
    small = min(rgb.shape[:2]) < _LEAST_SIDE_PX
    return not small and float(rgb[::4, ::4].std()) > _LEAST_CONTRAST * 255


def laid(placing: Placing, before: Rgb, shape: tuple[int, ...], after_width: int) -> Earlier:
    """Return an earlier photo laid over the later one.

    Args:
        placing: Carries places of the later photo to the earlier one; must not have failed.
        before: The earlier photo or a smaller decode of it.
        shape: Rows and columns of the later photo at working size.
        after_width: Width of the full later photo, in px.
    """
    rows, cols = shape[:2]
    px = after_width / cols
    across, down = np.arange(0, cols + _STEP_PX, _STEP_PX), np.arange(0, rows + _STEP_PX, _STEP_PX)
    grid = np.stack(np.meshgrid(across, down), axis=2)
    full: Points = np.asarray((grid.reshape(-1, 2) + 0.5) * px - 0.5, np.float64)
    carried = placing.carry(full)
    there = np.nan_to_num(placing.places(full), nan=_NOWHERE_PX)
    places = (there + 0.5) * (before.shape[1] / placing.size[0]) - 0.5
    unknown = _NOT_PLACED_SHARE * max(rows, cols)
    sigma = np.where(np.isfinite(carried.sigma_px), carried.sigma_px / px, unknown)
    table = np.column_stack([places, sigma]).reshape(*grid.shape[:2], 3).astype(np.float32)
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32) / _STEP_PX
    where = np.asarray(cv2.remap(table, x, y, cv2.INTER_LINEAR), np.float32)
    bent = cv2.remap(before, where[..., 0], where[..., 1], cv2.INTER_LINEAR)
    last = np.array([before.shape[1] - 1, before.shape[0] - 1])
    is_inside = ((where[..., :2] >= 0) & (where[..., :2] <= last)).all(axis=2)
    return Earlier(np.asarray(bent, np.uint8), where[..., 2].copy(), np.asarray(is_inside))
