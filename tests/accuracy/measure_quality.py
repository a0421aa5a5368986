"""How surely blurred and badly exposed photos are told from good ones."""

from collections.abc import Callable, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.judging import PhotoQuality, photo_quality
from tests.accuracy.truth import TrueZone

Rgb = NDArray[np.uint8]
_FULL_PX = 2000


def report(zones: Sequence[TrueZone], every: int) -> None:
    """Print which share of the photos is refused, as taken and spoiled in several ways."""
    photos = [photo.rgb() for zone in zones for photo in zone.photos][::every]
    print("spoiled by                blurred  too dark  too bright   sharpness")
    for name, spoil in _SPOILERS.items():
        found = [photo_quality(spoil(rgb)) for rgb in photos]
        sharpness = [quality.sharpness for quality in found]
        print(
            f"{name:24}  {_share(found, 'is_blurred')}     {_share(found, 'is_too_dark')}"
            f"       {_share(found, 'is_too_bright')}"
            f"   {min(sharpness):.2f} to {max(sharpness):.2f}",
            flush=True,
        )


def _share(found: list[PhotoQuality], name: str) -> str:
    return f"{np.mean([getattr(quality, name) for quality in found]):7.0%}"


def _blurred(sigma_px: float) -> Callable[[Rgb], Rgb]:
    def spoil(rgb: Rgb) -> Rgb:
        return cv2.GaussianBlur(rgb, (0, 0), sigma_px * max(rgb.shape) / _FULL_PX)

    return spoil


def _shaken(length_px: int) -> Callable[[Rgb], Rgb]:
    return lambda rgb: cv2.blur(rgb, (max(1, round(length_px * max(rgb.shape) / _FULL_PX)), 1))


def _exposed(stops: float) -> Callable[[Rgb], Rgb]:
    def spoil(rgb: Rgb) -> Rgb:
        light = (rgb / 255.0) ** 2.2 * 2.0**stops
        return (np.clip(light, 0, 1) ** (1 / 2.2) * 255).astype(np.uint8)

    return spoil


_SPOILERS: dict[str, Callable[[Rgb], Rgb]] = {
    "nothing": lambda rgb: rgb,
    "blur, 1 px at 2000": _blurred(1),
    "blur, 2 px": _blurred(2),
    "blur, 3 px": _blurred(3),
    "blur, 5 px": _blurred(5),
    "shake, 9 px": _shaken(9),
    "shake, 17 px": _shaken(17),
    "six stops darker": _exposed(-6),
    "four stops darker": _exposed(-4),
    "two stops darker": _exposed(-2),
    "one stop brighter": _exposed(1),
    "three stops brighter": _exposed(3),
}
