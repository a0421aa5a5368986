"""Small pictures of large photos, and how they are kept on disk."""

import io
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from leaktrack.imaging.reading import read_upright

CACHE_ENDING = "webp"
"""Ending of a cache file's name."""

_QUALITY = 82  # own judgement: no visible blocks at 256 px, about 10 kB each


def thumbnail(path: Path, side_px: int) -> NDArray[np.uint8]:
    """Return the upright photo shrunk into a square of that side; never enlarged.

    Raises:
        UnreadablePhoto: The file cannot be opened as a photo.
    """
    return read_upright(path, longest_px=side_px)


def shrunk(rgb: NDArray[np.uint8], side_px: int) -> NDArray[np.uint8]:
    """Return a (rows, cols, 3) RGB picture shrunk into a square of that side; never enlarged."""
    image = Image.fromarray(rgb)
    image.thumbnail((side_px, side_px))
    return np.array(image, dtype=np.uint8, order="C")


def encode_png(picture: NDArray[np.uint8]) -> bytes:
    """Return the bytes of a PNG file with exactly this picture.

    Args:
        picture: (rows, cols, 3) RGB or (rows, cols) grey.
    """
    file = io.BytesIO()
    # A low level: a frame of a video shrinks little further, and somebody waits for it.
    Image.fromarray(picture).save(file, "PNG", compress_level=3)
    return file.getvalue()


def encode_jpeg(rgb: NDArray[np.uint8]) -> bytes:
    """Return the bytes of a JPEG file of a (rows, cols, 3) RGB picture; slightly lossy."""
    file = io.BytesIO()
    Image.fromarray(rgb).save(file, "JPEG", quality=_QUALITY, optimize=True)
    return file.getvalue()


def encode_cache(rgb: NDArray[np.uint8]) -> bytes:
    """Return the bytes of a cache file for a small (rows, cols, 3) RGB picture; slightly lossy."""
    file = io.BytesIO()
    Image.fromarray(rgb).save(file, "WEBP", quality=_QUALITY, method=2)
    return file.getvalue()


def decode_cache(encoded: bytes) -> NDArray[np.uint8] | None:
    """Return the picture in a cache file, or None where the file is damaged and must be rebuilt."""
    try:
        # Not a photo but our own file: no orientation, no surprise in size.
        with Image.open(io.BytesIO(encoded), formats=("WEBP",)) as image:  # noqa: TID251
            return np.array(image.convert("RGB"), dtype=np.uint8, order="C")
    except (OSError, SyntaxError, ValueError):
        return None
