"""How much darker or lighter is a photo than an earlier one that lies over it, light taken out?

Other light changes large areas smoothly, so the usual change around a place is taken as light. What
a small shift of the pictures could explain is no change either.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

_LEAST_LIGHT = 0.01  # of full light: below it a photo shows noise
_BURNT = 250
_SOFT_SHARE = 0.001  # of the longest side
_BLOCK_SHARE = 0.01
# Own measurement on five pairs of rendered engine photos, change beyond 0.25: newly wet places
# show it in 84 of 100, dry ones in 23. A smaller window for the light takes wet areas for shadow.
_SLACK_SHARE = 0.0025  # of the longest side: carried places are off by about so much
_BLOCKS_AROUND = 13  # the light of a place is told by so many blocks squared: larger than a leak
_MOST_LOGS = 2.5
_HALF_A_BYTE = 127

_LINEAR = (((np.arange(256) / 255 + 0.055) / 1.055) ** 2.4).astype(np.float32)
"""Light for each value of a pixel.

Source:
    IEC 61966-2-1 (sRGB); its straight foot below 0.04 is left out, which is below ``_LEAST_LIGHT``.
"""


def darkening(before: Rgb, after: Rgb, is_valid: Bools) -> tuple[Floats, Bools]:
    """Return how much darker each place became, at the least, and where that can be told.

    Args:
        before: (rows, cols, 3) the earlier photo, bent to lie over the later one.
        after: (rows, cols, 3) the later photo.
        is_valid: (rows, cols) False where the earlier photo does not show the place.

    Returns:
        (rows, cols) change of the light thrown back, as a natural logarithm: 0.69 is half as light,
        -0.69 twice as light, 0 is unchanged. And (rows, cols) False where a photo is burnt out, or
        does not show the place.
    """
    longest = max(after.shape[:2])
    was, now = _logs(before, longest), _logs(after, longest)
    can_tell = is_valid & _shows(before) & _shows(after)
    was = was - _light(was - now, can_tell, longest)
    side = 2 * max(1, round(_SLACK_SHARE * longest)) + 1
    slack = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    darker = np.maximum(cv2.erode(was, slack) - now, 0)
    lighter = np.maximum(now - cv2.dilate(was, slack), 0)
    change = np.where(can_tell, darker - lighter, 0).astype(np.float32)
    return change, can_tell


def _logs(rgb: Rgb, longest: int) -> Floats:
    light = cv2.LUT(rgb, _LINEAR) @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    logs = np.log(light + _LEAST_LIGHT).astype(np.float32)
    return np.asarray(cv2.GaussianBlur(logs, (0, 0), max(0.8, _SOFT_SHARE * longest)), np.float32)


def _shows(rgb: Rgb) -> Bools:
    burnt = (rgb.min(axis=2) >= _BURNT).astype(np.uint8)
    return np.asarray(cv2.dilate(burnt, np.ones((3, 3), np.uint8)) == 0)


def _light(change: Floats, can_tell: Bools, longest: int) -> Floats:
    """Return the usual change around each place: the median of blocks, smoothed."""
    if not can_tell.any():
        return np.zeros_like(change)
    block = max(2, round(_BLOCK_SHARE * longest))
    shrunk = (-(-change.shape[1] // block), -(-change.shape[0] // block))
    share = cv2.resize(can_tell.astype(np.float32), shrunk, interpolation=cv2.INTER_AREA)
    told = np.where(can_tell, change, 0).astype(np.float32)
    total = cv2.resize(told, shrunk, interpolation=cv2.INTER_AREA)
    usual = np.float32(np.median(change[can_tell]))
    means = np.where(share > 0, total / np.maximum(share, 1e-6), usual)
    # OpenCV has large medians of bytes only.
    steps = np.clip((means - usual) / _MOST_LOGS, -1, 1) * _HALF_A_BYTE + _HALF_A_BYTE
    middle = cv2.medianBlur(np.rint(steps).astype(np.uint8), _BLOCKS_AROUND)
    back = (middle.astype(np.float32) - _HALF_A_BYTE) / _HALF_A_BYTE * _MOST_LOGS + usual
    smooth = cv2.GaussianBlur(back, (0, 0), _BLOCKS_AROUND / 6)
    size = (change.shape[1], change.shape[0])
    return np.asarray(cv2.resize(smooth, size, interpolation=cv2.INTER_LINEAR), np.float32)
