"""Take the light out of a photo, so that two photos taken in different light can be compared."""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]

LONGEST_PX = 720
"""Of the largest picture compared. Own measurement: flow at 1000 px was right less often (63
against 66 %) and took twice the time; at 500 px it was as often right but less exact."""

STEP_PX = 2
"""Distance of the nodes at which guesses are weighed, in halved pictures."""

LEVELS = 3
"""Pictures of one photo, each half as large as the one before: fine, middling, coarse."""

_LIGHT_PX = 4.0  # own measurement: 2.8, 6, 8, 16 and 30 px did worse
_LEAST_CONTRAST = 9.0  # grey levels squared; less is noise
_LEAST_SIDE_PX = 16


@dataclass(frozen=True, slots=True, eq=False)
class Shrinkage:
    """How a smaller picture of a photo lies over the full one.

    Attributes:
        px: How many px of the full photo are one px of the picture, across and down.
    """

    px: NDArray[np.float64]

    def to_full(self, points: Points) -> Points:
        """Return (N, 2) points of the picture in px of the full photo."""
        full: Points = (points + 0.5) * self.px - 0.5
        return full

    def to_picture(self, points: Points) -> Points:
        """Return (N, 2) points of the full photo in px of the picture."""
        small: Points = (points + 0.5) / self.px - 0.5
        return small


@dataclass(frozen=True, slots=True, eq=False)
class Picture(Shrinkage):
    """A photo made ready for comparing.

    Attributes:
        flat: (rows, cols) grey without light: local mean 0, local spread 1.
    """

    flat: Floats

    def nodes(self, step_px: int = STEP_PX) -> Floats:
        """Return (rows, cols, 2): where nodes lie that are ``step_px`` apart."""
        rows, cols = self.flat.shape
        across, down = np.meshgrid(np.arange(0, cols, step_px), np.arange(0, rows, step_px))
        return np.stack([across, down], axis=2).astype(np.float32)

    def halved(self) -> "Picture":
        """Return it half as large; light and contrast stay those of the fine picture."""
        rows, cols = (max(_LEAST_SIDE_PX, round(side / 2)) for side in self.flat.shape)
        size = self.px * self.flat.shape[::-1]
        small = cv2.resize(self.flat, (cols, rows), interpolation=cv2.INTER_AREA)
        return Picture(size / (cols, rows), np.asarray(small, np.float32))


def pictures(rgb: Rgb, size: tuple[int, int]) -> tuple[Picture, ...]:
    """Return a photo made ready for comparing, in several sizes, the largest first.

    Args:
        rgb: The upright photo or a smaller decode of it.
        size: Width and height of the full photo.
    """
    rows, cols = rgb.shape[:2]
    scale = min(1.0, LONGEST_PX / max(rows, cols))
    sides = [
        [max(_LEAST_SIDE_PX, round(side * scale / 2**level)) for side in (cols, rows)]
        for level in range(LEVELS)
    ]
    shrunk = cv2.resize(rgb, sides[0], interpolation=cv2.INTER_AREA).astype(np.float32)
    grey = np.asarray(cv2.transform(shrunk, np.full((1, 3), 1 / 3)), np.float32)
    greys = [grey]
    for smaller in sides[1:]:
        grey = np.asarray(cv2.resize(grey, smaller, interpolation=cv2.INTER_AREA), np.float32)
        greys.append(grey)
    return tuple(_picture(each, size) for each in greys)


def _picture(grey: Floats, size: tuple[int, int]) -> Picture:
    mean = cv2.GaussianBlur(grey, (0, 0), _LIGHT_PX)
    spread2 = cv2.GaussianBlur(grey * grey, (0, 0), _LIGHT_PX) - mean * mean
    flat = (grey - mean) / np.sqrt(np.maximum(spread2, 0) + _LEAST_CONTRAST)
    return Picture(np.array(size, float) / grey.shape[::-1], flat.astype(np.float32))


def bent(picture: Floats, where: Floats) -> Floats:
    """Return what a picture shows at the places ``where``; beyond its edges it goes on alike."""
    nothing: Any = None  # OpenCV's own types forbid None, which is how its manual calls it
    return np.asarray(
        cv2.remap(picture, where, nothing, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE),
        np.float32,
    )
