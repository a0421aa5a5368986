"""Show a photo or a clip: small from a cache on disk, as a preview, or in full.

All pictures are upright 8-bit RGB, (rows, cols, 3), C-contiguous.
"""

from pathlib import Path
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging import tiling
from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Clip, Photo
from leaktrack.workflows.clips import frame_at
from leaktrack.workflows.keep_cache import cached
from leaktrack.workflows.project import Project

_CACHE_VERSION = 1
"""Raise it when thumbnails shall look different: old cache files are then not found any more."""

_CLIP_PICTURE_SHARE = 0.1
"""A clip is shown by the frame after this share of it; the first one is often black or blurred."""


def thumbnail(
    project: Project, photo_id: UUID, side_px: int, cache: Path | None = None
) -> NDArray[np.uint8]:
    """Return a photo shrunk into a square of that side; never enlarged.

    Args:
        project: The open project.
        photo_id: The photo.
        side_px: Longest side.
        cache: Folder of cached thumbnails; None: the project's own.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    photo = project.get(Photo, photo_id)
    return cached(
        _cache_file(project, cache, photo.sha256, side_px),
        tiling.decode_cache,
        tiling.encode_cache,
        lambda: tiling.thumbnail(project.photo_file(photo), side_px),
    )


def preview(project: Project, photo_id: UUID, longest_px: int = 2048) -> NDArray[np.uint8]:
    """Return a photo shrunk to this length of its longer side; never enlarged.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    return read_upright(project.photo_file(project.get(Photo, photo_id)), longest_px)


def full(project: Project, photo_id: UUID) -> NDArray[np.uint8]:
    """Return a photo with all its pixels.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    return read_upright(project.photo_file(project.get(Photo, photo_id)))


def clip_thumbnail(
    project: Project,
    clip_id: UUID,
    side_px: int,
    at_ms: int | None = None,
    cache: Path | None = None,
) -> NDArray[np.uint8]:
    """Return one frame of a clip, shrunk into a square of that side; never enlarged.

    Args:
        project: The open project.
        clip_id: The clip.
        side_px: Longest side.
        at_ms: Which frame; None: one shortly after the start.
        cache: Folder of cached thumbnails; None: the project's own.

    Raises:
        MissingRecord: There is no such clip.
        UnreadableVideo: Its file is missing or damaged.
    """
    clip = project.get(Clip, clip_id)
    wanted_ms = int(clip.duration_ms * _CLIP_PICTURE_SHARE) if at_ms is None else at_ms
    return cached(
        _cache_file(project, cache, f"{clip.sha256}-{wanted_ms}", side_px),
        tiling.decode_cache,
        tiling.encode_cache,
        lambda: tiling.shrunk(frame_at(project, clip_id, wanted_ms).rgb, side_px),
    )


def _cache_file(project: Project, cache: Path | None, name: str, side_px: int) -> Path:
    folder = cache or project.cache_folder / "thumbs"
    return folder / name[:2] / f"{name}-{side_px}-v{_CACHE_VERSION}.{tiling.CACHE_ENDING}"
