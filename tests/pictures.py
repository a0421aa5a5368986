"""Drawn photos with known stains, tilt and EXIF: the truth is in the code.

Everything here is invented and drawn by NumPy and OpenCV from a fixed seed.
"""

from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.ExifTags import IFD, Base

Rgb = NDArray[np.uint8]

# How pixels must be stored so that EXIF orientation n shows them upright (EXIF 2.32, tag 274).
_STORED = {
    1: lambda rgb: rgb,
    2: lambda rgb: rgb[:, ::-1],
    3: lambda rgb: rgb[::-1, ::-1],
    4: lambda rgb: rgb[::-1],
    5: lambda rgb: rgb.transpose(1, 0, 2),
    6: lambda rgb: np.rot90(rgb, 1),
    7: lambda rgb: rgb[::-1, ::-1].transpose(1, 0, 2),
    8: lambda rgb: np.rot90(rgb, -1),
}


@dataclass(frozen=True)
class Stain:
    """A wet area painted on a drawn photo.

    Attributes:
        x: Middle, pixels.
        y: Middle, pixels.
        radius_px: Half its width; it is an ellipse that runs down, 1.5 times as high.
        darkness: Share of the light it takes away, 0 to 1.
    """

    x: float
    y: float
    radius_px: float = 30
    darkness: float = 0.45


def four_corners(width: int = 96, height: int = 64) -> Rgb:
    """Return a picture whose corners differ: red, green, blue, white from top left, clockwise."""
    rgb = np.zeros((height, width, 3), np.uint8)
    half_y, half_x = height // 2, width // 2
    rgb[:half_y, :half_x] = (220, 30, 30)
    rgb[:half_y, half_x:] = (30, 200, 30)
    rgb[half_y:, half_x:] = (30, 30, 220)
    rgb[half_y:, :half_x] = (240, 240, 240)
    return rgb


def casting(width: int = 1000, height: int = 750, seed: int = 1) -> Rgb:
    """Return a drawn casting: rough metal, a cover with ribs, a joint and a row of bolts."""
    rng = np.random.default_rng(seed)
    rgb = np.stack([_rough(rng, width, height)] * 3, axis=2) + np.float32([118, 120, 124])
    top, bottom = int(height * 0.3), int(height * 0.62)
    rgb[top:bottom] += np.float32([22, 20, 14])
    for rib_x in rng.integers(0, width, 14):
        cv2.line(rgb, (int(rib_x), top), (int(rib_x) + 25, bottom), (96, 98, 100), 5, cv2.LINE_AA)
    cv2.line(rgb, (0, bottom), (width, bottom + 12), (40, 42, 44), 4, cv2.LINE_AA)
    for bolt_x in np.linspace(width * 0.06, width * 0.94, 9):
        _draw_bolt(rgb, int(bolt_x), bottom - 34, turn_deg=float(rng.uniform(0, 60)))
    _draw_marks(rgb, rng)
    return np.clip(rgb, 0, 255).astype(np.uint8)


def stained(rgb: Rgb, *stains: Stain) -> tuple[Rgb, NDArray[np.bool_]]:
    """Return the photo with wet areas, darker and browner, and the mask of what is wet."""
    ys, xs = np.mgrid[: rgb.shape[0], : rgb.shape[1]].astype(np.float32)
    photo, wet = rgb.astype(np.float32), np.zeros(rgb.shape[:2], bool)
    for stain in stains:
        inside = np.hypot(xs - stain.x, (ys - stain.y) / 1.5) <= stain.radius_px
        soft = cv2.GaussianBlur(inside.astype(np.float32), (0, 0), 1.2)[:, :, None]
        photo *= 1 - soft * stain.darkness * np.float32([0.8, 1.0, 1.25])
        wet |= inside
    return np.clip(photo, 0, 255).astype(np.uint8), wet


def tilt(
    width: int, height: int, *, turn_deg: float = 0, zoom: float = 1, lean: float = 0
) -> NDArray[np.float64]:
    """Return the 3 x 3 matrix that takes pixels of a photo to those of one from another place.

    Args:
        width: Of both photos.
        height: Of both photos.
        turn_deg: How far the camera is rolled.
        zoom: How much nearer it is.
        lean: How much nearer the right edge is than the left one, such as 0.2.
    """
    to_middle = np.array([[1, 0, -width / 2], [0, 1, -height / 2], [0, 0, 1.0]])
    angle = np.deg2rad(turn_deg)
    turned = zoom * np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    seen = np.eye(3)
    seen[:2, :2] = turned
    seen[2, 0] = -lean / width
    return np.linalg.inv(to_middle) @ seen @ to_middle


def seen_through(rgb: Rgb, matrix: NDArray[np.float64]) -> Rgb:
    """Return the photo as it looks after the matrix moved its pixels; the rest mirrors the edge."""
    size = (rgb.shape[1], rgb.shape[0])
    return cv2.warpPerspective(
        rgb, matrix, size, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT
    )


def relit(rgb: Rgb, *, gain: float = 1, gamma: float = 1, seed: int = 2) -> Rgb:
    """Return the photo in other light: exposure, contrast, a soft shadow, a little noise."""
    rng = np.random.default_rng(seed)
    rows, cols = rgb.shape[:2]
    shade = cv2.resize(
        rng.uniform(0.75, 1.2, (3, 4)).astype(np.float32), (cols, rows), None, 0, 0, 2
    )
    light = (rgb / 255.0) ** gamma * gain * shade[:, :, None] * 255
    return np.clip(light + rng.normal(0, 2, rgb.shape), 0, 255).astype(np.uint8)


def write_photo(
    path: Path,
    upright: Rgb,
    *,
    orientation: int = 1,
    taken: str | bytes | None = None,
    offset: str | None = None,
    quality: int = 92,
) -> Path:
    """Write a JPEG, PNG, WebP or TIFF, by the ending, as a camera would that was held turned.

    Args:
        path: Where.
        upright: What a reader must show.
        orientation: EXIF orientation, 1 to 8; the pixels are stored accordingly.
        taken: DateTimeOriginal, such as "2026:03:21 15:03:51".
        offset: OffsetTimeOriginal, such as "+01:00".
        quality: Of JPEG; WebP and TIFF are written without loss.
    """
    exif = Image.Exif()
    exif[Base.Orientation] = orientation
    if taken is not None:
        exif.get_ifd(IFD.Exif)[Base.DateTimeOriginal] = taken
    if offset is not None:
        exif.get_ifd(IFD.Exif)[Base.OffsetTimeOriginal] = offset
    stored = Image.fromarray(np.ascontiguousarray(_STORED[orientation](upright)))
    options = {".jpg": {"quality": quality, "subsampling": 0}, ".webp": {"lossless": True}}
    stored.save(path, exif=exif, **options.get(path.suffix, {}))
    return path


def _rough(rng: np.random.Generator, width: int, height: int) -> NDArray[np.float32]:
    """Return cast roughness: noise of several grain sizes, mean 0."""
    rough = np.zeros((height, width), np.float32)
    for grain_px, depth in ((2, 9), (5, 9), (14, 10), (60, 16)):
        small = rng.normal(0, depth, (height // grain_px + 2, width // grain_px + 2))
        rough += cv2.resize(small.astype(np.float32), (width, height), None, 0, 0, cv2.INTER_CUBIC)
    return rough


def _draw_bolt(rgb: NDArray[np.float32], x: int, y: int, turn_deg: float) -> None:
    angles = np.deg2rad(turn_deg + np.arange(0, 360, 60))
    corners = np.stack([x + 15 * np.cos(angles), y + 15 * np.sin(angles)], 1).astype(np.int32)
    cv2.circle(rgb, (x, y), 21, (92, 92, 96), -1, cv2.LINE_AA)
    cv2.fillPoly(rgb, [corners], (178, 178, 172), cv2.LINE_AA)
    cv2.circle(rgb, (x, y), 6, (120, 120, 118), -1, cv2.LINE_AA)


def _draw_marks(rgb: NDArray[np.float32], rng: np.random.Generator) -> None:
    """Scatter scratches and pits, which make places of the drawn metal different."""
    rows, cols = rgb.shape[:2]
    for _ in range(160):
        x, y = int(rng.integers(0, cols)), int(rng.integers(0, rows))
        tone = float(rng.uniform(50, 210))
        end = (x + int(rng.integers(-30, 30)), y + int(rng.integers(-18, 18)))
        cv2.line(rgb, (x, y), end, (tone, tone, tone), int(rng.integers(1, 4)), cv2.LINE_AA)
        cv2.circle(rgb, end, int(rng.integers(2, 8)), (tone * 0.7, tone * 0.7, tone * 0.7), -1)
