"""Fill outlines in a picture of black and white."""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.model.shapes import Outline

_PARTS_OF_PX = 16
"""Corners are taken to this part of a pixel."""


def filled(outlines: Sequence[Outline], size_px: tuple[int, int]) -> NDArray[np.uint8]:
    """Return a (rows, cols) picture, 255 on and within the outlines and 0 elsewhere.

    Args:
        outlines: In px of the picture; may overlap and reach beyond it.
        size_px: Width and height of the picture.
    """
    width, height = size_px
    mask = np.zeros((height, width), np.uint8)
    shift = _PARTS_OF_PX.bit_length() - 1
    for outline in outlines:
        corners = np.array([[corner.x, corner.y] for corner in outline], np.float64)
        # One by one: filled together, what two of them share would be left out.
        cv2.fillPoly(mask, [np.round(corners * _PARTS_OF_PX).astype(np.int32)], 255, shift=shift)
    return mask
