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
    """

    def __init__(self, picture: Floats, window_px: int) -> None:
        self._picture = picture
        self._window = (window_px, window_px)
        self._mean, self._spread2 = self._mean_and_spread2(picture)

    def is_plain(self) -> NDArray[np.bool_]:
        """Return (rows, cols) where there is hardly anything to compare."""
        return np.asarray(self._spread2 < _PLAIN_SPREAD2)

    def to(self, other: Floats) -> Floats:
        """Return (rows, cols) local correlations with another picture, -1 to 1."""
        mean, spread2 = self._mean_and_spread2(other)
        together = self._blurred(self._picture * other) - self._mean * mean
        alike: Floats = together / np.sqrt(self._spread2 * spread2)
        return alike

    def _mean_and_spread2(self, picture: Floats) -> tuple[Floats, Floats]:
        mean = self._blurred(picture)
        return mean, np.maximum(self._blurred(picture * picture) - mean * mean, _LEAST_SPREAD2)

    def _blurred(self, picture: Floats) -> Floats:
        return np.asarray(cv2.blur(picture, self._window), np.float32)
