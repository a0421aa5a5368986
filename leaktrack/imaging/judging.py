"""Is a photo good enough to compare with others? Sharpness and exposure."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_LONGEST_PX = 1000
_TILE_PX = 32
_FINEST_PX, _FINE_PX, _COARSE_PX = 0.8, 1.6, 3.2
_TELLING_SHARE = 5  # one tile in five, the ones with most detail, tells how sharp the photo is

# Own measurement on 41 rendered engine photos at 1000 px: all sharp ones are above 0.54 in their
# worse direction; a Gaussian blur of 1.5 px brings all below 0.44, 9 px of shake below 0.48.
SHARP = 0.5
# Own judgement, for values from 0 to 255.
_DARK, _BRIGHT = 20, 250
_TOO_DARK_SHARE, _TOO_BRIGHT_SHARE = 0.5, 0.15


@dataclass(frozen=True, slots=True)
class PhotoQuality:
    """How a photo turned out.

    Attributes:
        sharpness: Contrast of the finest details against that of coarser ones, in the direction
            in which it is less; about 0.6 for a sharp photo. It does not depend on the light.
        share_too_dark: Share of pixels in which nothing can be seen any more.
        share_too_bright: Share of burnt-out pixels.
    """

    sharpness: float
    share_too_dark: float
    share_too_bright: float

    @property
    def is_blurred(self) -> bool:
        """Whether a leak's edge could hardly be told."""
        return self.sharpness < SHARP

    @property
    def is_too_dark(self) -> bool:
        """Whether half of it is black."""
        return self.share_too_dark > _TOO_DARK_SHARE

    @property
    def is_too_bright(self) -> bool:
        """Whether much of it is burnt out."""
        return self.share_too_bright > _TOO_BRIGHT_SHARE


def photo_quality(rgb: NDArray[np.uint8]) -> PhotoQuality:
    """Return how a photo turned out.

    Args:
        rgb: (rows, cols, 3), the photo or a smaller decode of at least 1000 px.
    """
    grey = np.asarray(cv2.cvtColor(_shrunk(rgb), cv2.COLOR_RGB2GRAY), np.uint8)
    return PhotoQuality(
        sharpness=min(_sharpness(grey), _sharpness(np.ascontiguousarray(grey.T))),
        share_too_dark=float(np.mean(grey < _DARK)),
        share_too_bright=float(np.mean(grey > _BRIGHT)),
    )


def _shrunk(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    rows, cols = rgb.shape[:2]
    scale = _LONGEST_PX / max(rows, cols)
    if scale >= 1:
        return rgb
    size = (max(1, round(cols * scale)), max(1, round(rows * scale)))
    return cv2.resize(rgb, size, interpolation=cv2.INTER_AREA).astype(np.uint8)


def _sharpness(grey: NDArray[np.uint8]) -> float:
    """Return the sharpness along the rows, where detail is richest; 0 without any detail."""
    rows, cols = grey.shape
    if min(rows, cols) < 2 * _TILE_PX:
        return 1.0  # too small a picture to tell
    picture = grey.astype(np.float32)
    finest, fine, coarse = (
        cv2.GaussianBlur(picture, (0, 0), sigmaX=sigma, sigmaY=_FINEST_PX)
        for sigma in (_FINEST_PX, _FINE_PX, _COARSE_PX)
    )
    tiles = (cols // _TILE_PX, rows // _TILE_PX)
    details, forms = (
        cv2.resize(band * band, tiles, interpolation=cv2.INTER_AREA).ravel()
        for band in (finest - fine, fine - coarse)
    )
    telling = np.argsort(forms)[-max(1, len(forms) // _TELLING_SHARE) :]
    return float(np.sqrt(np.median(details[telling] / (forms[telling] + 1))))
