"""Bend one photo so that it lies over another."""

from typing import Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.matching.moving import Points

Rgb = NDArray[np.uint8]

_GRID_PX = 12


class Placing(Protocol):
    """What tells where places of a reference photo lie in a new one."""

    @property
    def state(self) -> AlignmentState:
        """Whether it could be told."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the new photo."""

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the reference lie, with how far that can be trusted."""

    def places(self, points: Points) -> Points:
        """Return where (N, 2) points of the reference lie."""


def laid_over(
    alignment: Placing, new: Rgb, shape: tuple[int, ...], reference_width: int
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
    xy = alignment.places(full)
    shrunk = (xy + 0.5) * (new.shape[1] / alignment.size[0]) - 0.5
    coarse = shrunk.reshape(*grid_x.shape, 2).astype(np.float32)
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32) / _GRID_PX
    where = np.asarray(cv2.remap(coarse, x, y, cv2.INTER_LINEAR), np.float32)
    bent = cv2.remap(new, where[..., 0], where[..., 1], cv2.INTER_LINEAR)
    last = np.array([new.shape[1] - 1, new.shape[0] - 1])
    is_valid = np.asarray(((where >= 0) & (where <= last)).all(axis=2))
    return np.asarray(bent, np.uint8), is_valid
