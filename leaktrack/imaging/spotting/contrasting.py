"""Tell how a photo differs from an earlier one that lies over it, pixel by pixel.

A wet film darkens rough metal and tints it; it keeps the texture and ends sharply. Other light
changes large areas smoothly, a shadow does not tint, a part that moved brings another texture, and
what lies a little off is darker on one side and lighter on the other.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

CLUES = (
    "darker, fine",
    "darker, coarse",
    "darker than all around was",
    "darker than all near was",
    "redder than all near was",
    "yellower than all near was",
    "unrest around",
    "redder, fine",
    "redder, coarse",
    "less blue, coarse",
    "dark, close around",
    "was dark, close around",
    "dark, wide around",
    "was dark, wide around",
    "red",
    "was red",
    "yellow",
    "was yellow",
    "dark, left and right",
    "was dark, left and right",
    "likeness, fine",
    "likeness, coarse",
    "rougher",
    "rough",
    "glossier",
    "gloss around",
    "edge",
    "was edge",
    "brightness",
    "redness",
    "blueness",
    "doubt",
)
"""What is told of each pixel, in the order of ``clues``."""

_LEAST_LIGHT = 0.004  # of full light: below it is noise
_FINE_PX, _COARSE_PX = 1.2, 3.5
_RING_PX = 12.0
_BEHIND_SHARE = 14  # the longest side against the window that light is told by
_GLOSS_PX = 15
_BURNT = 247  # of 255, in all colours
_SLACK_PX, _NEAR_PX = 2, 8  # so far places are off, mostly and at worst
_AROUND_PX = 20.0
_TALL_PX = (7, 25, 31)  # width, height, and the width of what is beside it
LIKENESS_PX = (4.0, 10.0)
"""How far round a pixel textures are compared."""

_LEAST_SPREAD = 0.03
_MOST_DOUBT_PX = 8.0
_BOXES_FROM_PX = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """What one photo alone shows, each (rows, cols), as logarithms of light.

    Attributes:
        tone: The light itself.
        red: Red against green.
        blue: Blue against green.
        fine: How much darker than what is close around it.
        coarse: How much darker than what is wide around it.
        redder: How much redder than what is wide around it.
        yellower: How much less blue than what is wide around it.
        tall: How much darker than what is left and right of it, along a stretch of its height.
        rough: How much light changes from pixel to pixel.
        gloss: How much brighter than what is around it, in small spots.
        edge: How steeply light changes.
        is_burnt: Whether it is burnt out.
    """

    tone: Floats
    red: Floats
    blue: Floats
    fine: Floats
    coarse: Floats
    redder: Floats
    yellower: Floats
    tall: Floats
    rough: Floats
    gloss: Floats
    edge: Floats
    is_burnt: Bools


def _nothing() -> None:
    """Do nothing."""


def look(rgb: Rgb, tick: Callable[[], None] = _nothing) -> Look:
    """Return a photo made ready for comparing.

    Args:
        rgb: (rows, cols, 3), upright.
        tick: Called several times a second; may raise to stop.
    """
    light = cv2.LUT(rgb, _LINEAR) + np.float32(_LEAST_LIGHT)
    logs = cv2.log(np.asarray(cv2.GaussianBlur(light, (0, 0), 0.7), np.float32))
    tick()
    reds, green, blues = cv2.split(logs)
    tone = np.asarray(0.3 * reds + 0.5 * green + 0.2 * blues, np.float32)
    red, blue = _soft(reds - green, 1.0), _soft(blues - green, 1.0)
    burnt = cv2.dilate((rgb.min(axis=2) > _BURNT).astype(np.uint8), np.ones((3, 3), np.uint8))
    behind = max(tone.shape) // _BEHIND_SHARE
    fine = _soft(tone, _FINE_PX)
    tick()
    tall = cv2.blur(fine, (1, _TALL_PX[1]))
    narrow, wide = (cv2.blur(tall, (width, 1)) for width in _TALL_PX[::2])
    tick()
    across = cv2.Sobel(fine, cv2.CV_32F, 1, 0, ksize=3) / 8
    down = cv2.Sobel(fine, cv2.CV_32F, 0, 1, ksize=3) / 8
    return Look(
        tone=tone,
        red=red,
        blue=blue,
        fine=_soft(tone, _RING_PX) - fine,
        coarse=-_level(_soft(tone, _COARSE_PX), behind),
        redder=_soft(_level(red, behind), _FINE_PX),
        yellower=-_soft(_level(blue, behind), _FINE_PX),
        tall=np.asarray(wide - narrow, np.float32),
        rough=np.sqrt(np.maximum(_soft((tone - fine) ** 2, _COARSE_PX), 0)),
        gloss=_soft(np.clip(tone - _median(tone, _GLOSS_PX), 0, 1), 1.0),
        edge=_soft(np.asarray(cv2.magnitude(across, down), np.float32), 1.0),
        is_burnt=burnt > 0,
    )


def clues(after: Look, before: Look, doubt_px: Floats) -> Iterator[Floats]:
    """Yield (rows, cols) for each of ``CLUES``: how the later photo differs from the earlier one.

    Args:
        after: The later photo.
        before: The earlier one, bent to lie over it.
        doubt_px: (rows, cols) one standard deviation of where places lie.
    """
    behind = max(after.tone.shape) // _BEHIND_SHARE
    darker = _level(before.tone - after.tone, behind)
    fine = _soft(darker, _FINE_PX)
    yield fine
    yield _soft(darker, _COARSE_PX)
    slack = np.ones((2 * _SLACK_PX + 1,) * 2, np.uint8)
    own = _soft(after.tone, _FINE_PX)
    yield np.clip(np.asarray(cv2.erode(own + fine, slack), np.float32) - own, 0, None)
    near = np.ones((2 * _NEAR_PX + 1,) * 2, np.uint8)
    for name in ("coarse", "redder", "yellower"):
        was = np.asarray(cv2.dilate(_soft(getattr(before, name), _FINE_PX), near), np.float32)
        yield _soft(getattr(after, name), _FINE_PX) - was
    yield _soft(np.abs(fine), _AROUND_PX)
    redder = _level(after.red - before.red, behind)
    yield _soft(redder, _FINE_PX)
    yield _soft(redder, _COARSE_PX)
    yield -_soft(_level(after.blue - before.blue, behind), _COARSE_PX)
    for name in ("fine", "coarse", "redder", "yellower", "tall"):
        yield getattr(after, name)
        yield getattr(before, name)
    for window_px in LIKENESS_PX:
        yield likeness(after.tone, before.tone, window_px)
    yield after.rough - before.rough
    yield after.rough
    yield after.gloss - before.gloss
    yield np.asarray(cv2.dilate(after.gloss, np.ones((9, 9), np.uint8)), np.float32)
    yield after.edge
    yield before.edge
    for picture in (own, after.red, after.blue):
        yield _soft(picture, _COARSE_PX) - np.float32(np.median(picture[::4, ::4]))
    yield np.minimum(doubt_px, np.float32(_MOST_DOUBT_PX))


def _level(picture: Floats, window_px: int) -> Floats:
    """Return a picture less what lies behind it on a larger scale."""
    return np.asarray(picture - _median(picture, window_px), np.float32)


def _median(picture: Floats, window_px: int) -> Floats:
    """Return the median over a window, computed on a smaller picture: it is smooth anyway."""
    rows, cols = picture.shape
    shrunk_by = max(1, window_px // 14)
    size = (max(1, cols // shrunk_by), max(1, rows // shrunk_by))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    middle = float(np.median(small))
    levels = np.clip((small - middle) * 50 + 128, 0, 255).astype(np.uint8)
    kernel = max(3, window_px // shrunk_by | 1)
    calm = cv2.medianBlur(levels, kernel).astype(np.float32)
    calm = (_soft(calm, kernel / 8) - 128) / 50 + middle
    return np.asarray(cv2.resize(calm, (cols, rows), interpolation=cv2.INTER_LINEAR), np.float32)


def likeness(one: Floats, other: Floats, window_px: float = LIKENESS_PX[-1]) -> Floats:
    """Return how alike the texture of two pictures is, round each pixel: their correlation."""
    one_off, other_off = one - _soft(one, window_px), other - _soft(other, window_px)
    together = _soft(one_off * other_off, window_px)
    spreads = np.abs(_soft(one_off**2, window_px) * _soft(other_off**2, window_px))
    return np.asarray(together / np.sqrt(spreads + _LEAST_SPREAD**4), np.float32)


def _soft(picture: Floats, sigma_px: float) -> Floats:
    """Return a picture blurred; coarsely where that cannot be told from finely, but faster."""
    if sigma_px < _BOXES_FROM_PX:
        size = 2 * round(2.5 * sigma_px) + 1
        return np.asarray(cv2.GaussianBlur(picture, (size, size), sigma_px), np.float32)
    side = round(np.sqrt(6 * sigma_px**2 + 1)) | 1  # two boxes spread as far as one bell
    return np.asarray(cv2.blur(cv2.blur(picture, (side, side)), (side, side)), np.float32)


# Source: IEC 61966-2-1 (sRGB): from stored values to light.
_STORED = np.arange(256) / 255
_LINEAR = np.where(_STORED <= 0.04045, _STORED / 12.92, ((_STORED + 0.055) / 1.055) ** 2.4).astype(
    np.float32
)
