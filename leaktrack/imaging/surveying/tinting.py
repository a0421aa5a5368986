"""Does a place have the colour that it had, as far as the light around it lets it?

What is compared without light cannot tell a black hose from the casting behind it. Light changes
slowly over a photo, a hose does not: what differs from the places around speaks of another thing.
"""

import cv2
import numpy as np

from leaktrack.imaging.carrying.flattening import STEP_PX, Floats, Picture, Rgb, bent

_BLUR_PX = 1.5
_DARK = 10.0  # grey levels, added: the noise of dark places counts little
_LIGHT_NODES = 15.0  # light is alike over so many, one standard deviation
_LEAST_WEIGHT = 1e-3
_MOST = 2.0


class Tint:
    """The colours of two photos.

    Args:
        reference: The picture of the reference photo that has the nodes.
        reference_rgb: That photo, decoded at any size.
        new: The picture of the new photo.
        new_rgb: That photo.
    """

    def __init__(self, reference: Picture, reference_rgb: Rgb, new: Picture, new_rgb: Rgb) -> None:
        self._here = _logarithms(reference_rgb, reference)[::STEP_PX, ::STEP_PX]
        self._there = _logarithms(new_rgb, new)

    def changed(self, where: Floats, likeness: Floats) -> tuple[Floats, Floats]:
        """Return how much brighter or darker nodes became, and of what other colour, 0 to 2.

        As logarithms: 0.69 is half or twice as bright as the light around would make it.

        Args:
            where: (rows, cols, 2) where the nodes lie in the new picture.
            likeness: (rows, cols) how alike they are there: what is alike tells the light.
        """
        change = bent(self._there, where) - self._here
        weight = np.maximum(likeness, 0)[..., None] ** 2 + np.float32(_LEAST_WEIGHT)
        light = _around(change * weight) / _around(weight)[..., None]
        left = np.asarray(change - light, np.float32)
        brightness = left.mean(axis=2)
        colour = np.linalg.norm(left - brightness[..., None], axis=2)
        return np.minimum(np.abs(brightness), _MOST), np.minimum(colour, _MOST)


def _logarithms(rgb: Rgb, picture: Picture) -> Floats:
    rows, cols = picture.flat.shape
    small = cv2.resize(rgb, (cols, rows), interpolation=cv2.INTER_AREA).astype(np.float32)
    blurred = cv2.GaussianBlur(small, (0, 0), _BLUR_PX)
    return np.asarray(np.log(blurred + _DARK), np.float32)


def _around(values: Floats) -> Floats:
    return np.asarray(cv2.GaussianBlur(values, (0, 0), _LIGHT_NODES), np.float32)
