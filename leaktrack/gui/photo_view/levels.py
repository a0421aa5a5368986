"""Halved copies of a picture, so that drawing it at any zoom touches few pixels."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from leaktrack.gui.pixels import as_qimage, from_qimage, to_words

COARSEST_PX = 1024
"""Halving stops when the longer side is no longer than this."""


@dataclass(frozen=True, eq=False)
class Levels:
    """A picture and its halved copies, finest first.

    Attributes:
        words: One array of 0xffRRGGBB words per level; the images share their memory.
        images: The same as Qt draws them.
    """

    words: tuple[NDArray[np.uint32], ...]
    images: tuple[QImage, ...]

    @property
    def width_px(self) -> int:
        """Width of the finest level."""
        return self.images[0].width()

    @property
    def height_px(self) -> int:
        """Height of the finest level."""
        return self.images[0].height()

    def for_width(self, wanted_px: float) -> QImage:
        """Return the coarsest level that is still at least so wide, or the finest there is."""
        fine_enough = [image for image in self.images if image.width() >= wanted_px]
        return fine_enough[-1] if fine_enough else self.images[0]


def levels_of(rgb: NDArray[np.uint8]) -> Levels:
    """Return the levels of an upright (rows, cols, 3) RGB picture; meant for a worker thread."""
    return _levels(to_words(rgb))


def levels_of_image(image: QImage) -> Levels:
    """Return the levels of a Qt image."""
    return _levels(from_qimage(image))


def _levels(finest: NDArray[np.uint32]) -> Levels:
    words = [finest]
    while max(words[-1].shape) > COARSEST_PX:
        words.append(halved(words[-1]))
    return Levels(tuple(words), tuple(as_qimage(each) for each in words))


def halved(words: NDArray[np.uint32]) -> NDArray[np.uint32]:
    """Return a picture of half the size, each pixel the mean of four; an odd last row is dropped.

    >>> blues = np.array([[0xFF000000, 0xFF000004], [0xFF000004, 0xFF000008]], np.uint32)
    >>> hex(halved(blues)[0, 0])
    '0xff000004'
    """
    rows, cols = (size - size % 2 for size in words.shape)
    above, below = words[0:rows:2], words[1:rows:2]
    rows_met = _mean(above, below)
    return _mean(rows_met[:, 0:cols:2], rows_met[:, 1:cols:2])


def _mean(a: NDArray[np.uint32], b: NDArray[np.uint32]) -> NDArray[np.uint32]:
    # All four bytes of a word at once: (a & b) + (a ^ b) / 2 is the mean, rounded down, and masking
    # the lowest bit of each byte keeps bytes from leaking into their neighbours.
    half = a ^ b
    half &= np.uint32(0xFEFEFEFE)
    half >>= np.uint32(1)
    half += a & b
    return half
