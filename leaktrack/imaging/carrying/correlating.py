"""How alike are two pictures around each pixel, brightness and contrast taken out?"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats

_LEAST_SPREAD2 = np.float32(0.02)  # of flattened pictures, whose spread is 1; less is noise
_PLAIN_SPREAD2 = np.float32(0.1)


class Correlated:
    """One picture, ready to be compared with many.

    Args:
        picture: (rows, cols) without light.
        window_px: Side of the square compared around each pixel.
        step_px: Only one pixel of so many, across and down, is told.
    """

    def __init__(self, picture: Floats, window_px: int, step_px: int = 1) -> None:
        self._picture = picture
        self._window = (window_px, window_px)
        self._told = np.s_[::step_px, ::step_px]
        self._mean, self._spread2 = self._mean_and_spread2(picture)

    def is_plain(self) -> NDArray[np.bool_]:
        """Return (rows, cols) where there is hardly anything to compare."""
        return np.asarray(self._spread2 < _PLAIN_SPREAD2)

    def to(self, other: Floats) -> Floats:
        """Return (rows, cols) local correlations with another picture, -1 to 1."""
        return self._alike(other, *self._mean_and_spread2(other))

    def to_part(self, other: "Correlated", part: tuple[slice, slice]) -> Floats:
        """Return the same with a part of another picture, as large, that is known already."""
        return self._alike(other._picture[part], other._mean[part], other._spread2[part])

    def _alike(self, other: Floats, mean: Floats, spread2: Floats) -> Floats:
        alike = self._blurred(self._picture * other)
        alike -= self._mean * mean
        spread = self._spread2 * spread2
        alike /= np.sqrt(spread, out=spread)
        return alike

    def _mean_and_spread2(self, picture: Floats) -> tuple[Floats, Floats]:
        mean, spread2 = self._blurred(picture), self._blurred(picture * picture)
        spread2 -= mean * mean
        return mean, np.maximum(spread2, _LEAST_SPREAD2, out=spread2)

    def _blurred(self, picture: Floats) -> Floats:
        blurred = np.asarray(cv2.blur(picture, self._window), np.float32)
        return np.ascontiguousarray(blurred[self._told])
