"""Pictures that lie over a photo: where it became darker or lighter, and where nobody can tell."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from leaktrack.gui.look.theme import change_colors, mark_pen_pair

CHANGE_STEPS = (0.25, 0.5, 1.0)
"""Natural logarithms of light from which a change is a little, much, very much: a fifth, two
fifths, more than three fifths darker. Below the first, photos of dry metal differ as well."""

_STRIPE_PX = 6
STRIPES_APART_PX = 42
_LIGHTER_LINE_PX = 3
_ALPHA = 0xC8000000
_OPAQUE = 0xFF000000
_RGB = 0x00FFFFFF


def heat(darkening: NDArray[np.float32], can_tell: NDArray[np.bool_]) -> QImage:
    """Return the change as colours; lighter places are ruled, so colour is not the only sign.

    Args:
        darkening: (rows, cols) natural logarithm of how much darker a place became.
        can_tell: (rows, cols) False where that is not known; nothing is drawn there.
    """
    words = np.zeros(darkening.shape, np.uint32)
    is_on_line = (np.arange(len(darkening)) // _LIGHTER_LINE_PX % 2 == 0)[:, None]
    for is_darker in (True, False):
        change = darkening if is_darker else np.where(is_on_line, -darkening, 0)
        for least, tint in zip(CHANGE_STEPS, change_colors(is_darker=is_darker), strict=True):
            words[(change >= least) & can_tell] = _ALPHA | (tint.rgb() & _RGB)
    return to_image(words)


def stripes(is_told: NDArray[np.bool_], apart_px: int = STRIPES_APART_PX) -> QImage | None:
    """Return slanted stripes, each light beside dark, where a mask is false; None where nowhere."""
    if is_told.all():
        return None
    rows, cols = is_told.shape
    phase = np.add.outer(np.arange(rows), np.arange(cols)) % apart_px
    halo, inner = mark_pen_pair()
    dark, light = halo.color().rgb() | _OPAQUE, inner.color().rgb() | _OPAQUE
    striped = np.zeros(is_told.shape, dtype=np.uint32)
    striped[phase < _STRIPE_PX] = light
    striped[(phase >= _STRIPE_PX) & (phase < 2 * _STRIPE_PX)] = dark
    striped[is_told] = 0
    return to_image(striped)


def to_image(words: NDArray[np.uint32]) -> QImage:
    """Return a picture of its own memory from 0xAARRGGBB words."""
    rows, cols = words.shape
    words = np.ascontiguousarray(words)
    shared = QImage(words.data, cols, rows, words.strides[0], QImage.Format.Format_ARGB32)
    return shared.convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)
