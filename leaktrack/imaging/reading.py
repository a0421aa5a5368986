"""Open a photo file: the only place that does, so every part sees the same upright picture.

Pillow decodes, because it refuses a cut-off file where OpenCV fills the rest with grey, decodes
JPEG at reduced size, and leaves Python's other threads running meanwhile.
"""

import struct
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext, suppress
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pi_heif import register_heif_opener
from PIL import Image, UnidentifiedImageError
from PIL.ExifTags import IFD, Base
from PIL.Image import Resampling, Transpose

from leaktrack.imaging.dating import taken_at
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.photo import TakenAt

LARGEST_PHOTO_PX = 250_000_000
"""More is refused before decoding. Own judgement: phones reach 200 megapixels; this needs 1 GB."""

FILE_TYPES = {
    "JPEG": "jpg",
    "MPO": "jpg",  # a JPEG with further pictures behind it, as phones write
    "PNG": "png",
    "WEBP": "webp",
    "TIFF": "tif",
    "HEIF": "heic",
    "BMP": "bmp",
}

_OPENERS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF", "BMP")  # the JPEG one also opens MPO

# Source: EXIF 2.32, tag 274: what to do with the stored picture so that it stands upright.
_TURNS = {
    2: Transpose.FLIP_LEFT_RIGHT,
    3: Transpose.ROTATE_180,
    4: Transpose.FLIP_TOP_BOTTOM,
    5: Transpose.TRANSPOSE,
    6: Transpose.ROTATE_270,
    7: Transpose.TRANSVERSE,
    8: Transpose.ROTATE_90,
}

# What Pillow and its decoders raise on damaged files; found by cutting and flipping bytes.
_DAMAGED = (OSError, SyntaxError, ValueError, EOFError, RuntimeError, struct.error)

register_heif_opener()
# Its own limits would refuse a 200-megapixel photo with a warning; ours is checked in `_opened`.
Image.MAX_IMAGE_PIXELS = None

_only_one_filters_warnings = threading.Lock()


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """What a photo file is, by its content.

    Attributes:
        file_type: The ending its name should have, without the dot: "jpg", "png", "webp", "tif",
            "heic" or "bmp".
        width_px: Of the upright photo.
        height_px: Of the upright photo.
        orientation: The EXIF orientation in the file, 1 to 8.
        taken: When its camera says that it was taken.
    """

    file_type: str
    width_px: int
    height_px: int
    orientation: int
    taken: TakenAt | None


def inspect_file(path: Path) -> PhotoFile:
    """Return what a photo file is, after decoding it in full once.

    Raises:
        UnreadablePhoto: The file is not a photo, is cut off, is too large or cannot be read.
    """
    with _opened(path) as image:
        taken = _taken(image)
        stored_orientation = image.info.get("original_orientation") or _orientation(image)
        _load(image)
        width_px, height_px = image.size
        if _orientation(image) >= 5:
            width_px, height_px = height_px, width_px
        file_type = FILE_TYPES[image.format or ""]
    return PhotoFile(file_type, width_px, height_px, stored_orientation, taken)


def upright_size(path: Path) -> tuple[int, int]:
    """Return width and height of the upright photo by its header, decoding nothing.

    Raises:
        UnreadablePhoto: The file is not a photo, is too large or cannot be read. Damage behind the
            header is only noticed when the photo is decoded.
    """
    with _opened(path) as image:
        width_px, height_px = image.size
        # Pillow turns a TIFF only while loading it, but tells the size that it will have then.
        is_on_side = image.format != "TIFF" and _orientation(image) >= 5
    return (height_px, width_px) if is_on_side else (width_px, height_px)


def read_upright(path: Path, longest_px: int | None = None) -> NDArray[np.uint8]:
    """Return the photo as its photographer saw it.

    Args:
        path: A JPEG, PNG, WebP, TIFF, HEIC or BMP file, whatever its name says.
        longest_px: Shrink to this length of the longer side; never enlarges. None: full size.

    Returns:
        (rows, cols, 3) 8-bit RGB, C-contiguous, own memory. What is transparent becomes white.

    Raises:
        UnreadablePhoto: The file is not a photo, is cut off, is too large or cannot be read.
    """
    with _opened(path) as image:
        size = _wanted_size(image.size, longest_px)
        # How much of the decoded picture is filled, in its pixels: at reduced size, a JPEG's last
        # row and column may cover less than the others.
        filled = (0.0, 0.0, float(image.size[0]), float(image.size[1]))
        if size != image.size and image.format in ("JPEG", "MPO"):
            drafted = image.draft("RGB", size)
            filled = drafted[1] if drafted else filled
        _load(image)
        upright_from = _TURNS.get(_orientation(image))
        rgb = _as_rgb(image)
        if rgb.size != size:
            rgb = rgb.resize(size, Resampling.HAMMING, box=filled, reducing_gap=3.0)
        if upright_from is not None:
            rgb = rgb.transpose(upright_from)
        return np.array(rgb, dtype=np.uint8, order="C")


def focal_35mm(path: Path) -> float | None:
    """Return a photo's focal length in terms of 35 mm film, as its camera wrote it into EXIF.

    Raises:
        UnreadablePhoto: The file is not a photo or cannot be read.
    """
    with _opened(path) as image:
        try:
            value = float(image.getexif().get_ifd(IFD.Exif).get(Base.FocalLengthIn35mmFilm, 0))
        except (TypeError, *_DAMAGED):
            return None
    # Source: EXIF 2.32, tag 41989: 0 means unknown. Nobody photographs engines beyond these bounds.
    return value if 8 <= value <= 800 else None


def told_size(path: Path) -> tuple[int, int] | None:
    """Return the width and height that a photo's camera wrote into EXIF, upright; None without.

    Who cuts a photo often leaves them as they were.

    Raises:
        UnreadablePhoto: The file is not a photo or cannot be read.
    """
    with _opened(path) as image:
        try:
            facts = image.getexif().get_ifd(IFD.Exif)
            width, height = (
                int(facts.get(tag, 0)) for tag in (Base.ExifImageWidth, Base.ExifImageHeight)
            )
            is_on_side = _orientation(image) >= 5
        except (TypeError, *_DAMAGED):
            return None
    if width <= 0 or height <= 0:
        return None
    return (height, width) if is_on_side else (width, height)


@contextmanager
def _opened(path: Path) -> Iterator[Image.Image]:
    """Open a photo's header; whatever goes wrong inside the block is told in one sentence."""
    if path.is_dir():
        raise UnreadablePhoto(f"{path.name} is a folder, not a photo.")
    try:
        with path.open("rb") as file:
            if not file.read(1):
                raise UnreadablePhoto(f"{path.name} is empty. Copy it again from the camera.")
            file.seek(0)
            with _without_warnings(), _telling_damage(path):
                image = Image.open(file, formats=_OPENERS)  # noqa: TID251 - the one reader
                _parse_exif(image)
            with image:
                _check_size(path, image)
                with _telling_damage(path):
                    yield image
    except OSError as error:
        raise UnreadablePhoto(
            f"{path.name} cannot be opened: {error.strerror or error}."
        ) from error


@contextmanager
def _telling_damage(path: Path) -> Iterator[None]:
    try:
        yield
    except UnreadablePhoto:
        raise
    except UnidentifiedImageError as error:
        raise UnreadablePhoto(
            f"{path.name} is not a photo (JPEG, PNG, WebP, TIFF, HEIC, BMP), or it is damaged."
        ) from error
    except MemoryError as error:
        raise UnreadablePhoto(f"{path.name} does not fit into this computer's memory.") from error
    except _DAMAGED as error:
        raise UnreadablePhoto(
            f"{path.name} is damaged or cut off ({error}). Copy it again from the camera."
        ) from error


@contextmanager
def _without_warnings() -> Iterator[None]:
    # Python keeps one list of filters for all threads; two at a time would restore the wrong one.
    with _only_one_filters_warnings, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def _parse_exif(image: Image.Image) -> None:
    """Make Pillow parse EXIF, which it keeps: bad EXIF is what it warns about."""
    # What cannot be parsed now is told again, or passed over, where it is used.
    with suppress(*_DAMAGED):
        exif = image.getexif()
        exif.get(Base.Orientation)
        exif.get_ifd(IFD.Exif)


def _load(image: Image.Image) -> None:
    # Pillow turns a TIFF while loading it, and only then warns about its tags.
    with _without_warnings() if image.format == "TIFF" else nullcontext():
        image.load()


def _check_size(path: Path, image: Image.Image) -> None:
    width_px, height_px = image.size
    if width_px * height_px > LARGEST_PHOTO_PX:
        raise UnreadablePhoto(
            f"{path.name} has {width_px} x {height_px} pixels; more than "
            f"{LARGEST_PHOTO_PX // 1_000_000} megapixels are not opened. Scale it down first."
        )


def _taken(image: Image.Image) -> TakenAt | None:
    try:
        return taken_at(image.getexif())
    except _DAMAGED:
        return None


def _orientation(image: Image.Image) -> int:
    """Return how the pixels still have to be turned; HEIC and TIFF are turned while decoding."""
    try:
        value = image.getexif().get(Base.Orientation, 1)
    except _DAMAGED:
        return 1
    return value if value in _TURNS else 1


def _wanted_size(size: tuple[int, int], longest_px: int | None) -> tuple[int, int]:
    longest = max(size)
    if longest_px is None or longest_px >= longest:
        return size
    width, height = (max(1, round(side * longest_px / longest)) for side in size)
    return width, height


def _as_rgb(image: Image.Image) -> Image.Image:
    """Return 8-bit RGB of whatever Pillow decoded."""
    if image.mode.startswith(("I", "F")):
        return _from_deep_grey(image)
    if image.has_transparency_data:
        opaque = Image.new("RGBA", image.size, "white")
        opaque.alpha_composite(image.convert("RGBA"))
        return opaque.convert("RGB")
    return image if image.mode == "RGB" else image.convert("RGB")


def _from_deep_grey(image: Image.Image) -> Image.Image:
    """Return RGB of a grey picture with more than 8 bits: its full range becomes 0 to 255."""
    grey = np.asarray(image).astype(np.float32)
    brightest = float(grey.max(initial=0))
    is_deep = image.mode.startswith("I;16") or brightest > 255
    shallow_top = 255 if brightest > 1 else 1
    top = 65535 if is_deep else shallow_top
    eight_bit = np.clip(np.nan_to_num(grey) * (255 / top), 0, 255).astype(np.uint8)
    return Image.fromarray(eight_bit).convert("RGB")
