"""Find the distinct points of a photo, once: they are what aligning and recognising photos need."""

from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.workflows.keep_cache import cached
from leaktrack.workflows.project import Project

if TYPE_CHECKING:
    from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher
    from leaktrack.imaging.matching.matching import Sight

FEATURES_VERSION = 3
"""Raise it when features are found in another way: old cache files are then not found any more."""

_DECODES_KEPT = 2  # of one photo, while it is matched


@dataclass(frozen=True, slots=True)
class ReadablePhoto:
    """A photo's file, of a project or one that stands alone, with what is known of it.

    Attributes:
        name: What people call it.
        path: Where it is.
        sha256: Of its content, as 64 hex digits.
        size: Width and height of the upright photo, in px.
    """

    name: str
    path: Path
    sha256: str
    size: tuple[int, int]


def readable(project: Project, photo: Photo) -> ReadablePhoto:
    """Return a photo of a project with its file."""
    return ReadablePhoto(
        photo.original_name,
        project.photo_path(photo),
        photo.sha256,
        (photo.width_px, photo.height_px),
    )


def features_of(project: Project, photo: Photo) -> "Features":
    """Return a photo's features, from the cache where they were found before.

    Raises:
        UnreadablePhoto: Its file is missing or damaged.
    """
    return features_in(readable(project, photo), project.matcher, project.cache_folder)


def features_in(photo: ReadablePhoto, matcher: "LearnedMatcher", cache_folder: Path) -> "Features":
    """Return the features of a readable photo, from the cache where they were found before.

    Photos of the same content share what is kept, wherever they lie.

    Raises:
        UnreadablePhoto: Its file is missing or damaged.
    """
    return sight_of(photo, matcher, cache_folder).features


def sight_of(photo: ReadablePhoto, matcher: "LearnedMatcher", cache_folder: Path) -> "Sight":
    """Return a readable photo ready to be matched; what is decoded of it is kept in memory.

    Raises:
        UnreadablePhoto: Its file is missing or damaged.
    """
    # The networks' library takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.matching.learned_matching import Features
    from leaktrack.imaging.matching.matching import DECODED_PX, Sight
    from leaktrack.imaging.measuring.targeting import squares_seen

    read = lru_cache(_DECODES_KEPT)(partial(read_upright, photo.path))

    def found() -> Features:
        rgb = read(DECODED_PX)
        features = matcher.features(rgb, photo.size)
        return features.outside(squares_seen(rgb, photo.size[0] / rgb.shape[1]))

    file = _file(cache_folder, photo.sha256)
    return Sight(cached(file, Features.from_bytes, Features.to_bytes, found), read)


def has_features(project: Project, photo: Photo) -> bool:
    """Return whether a photo's features are kept; looks for their file only, and loads nothing."""
    return _file(project.cache_folder, photo.sha256).is_file()


def same_points(project: Project, one: Photo, other: Photo) -> int:
    """Return how many points of one photo are found again in another, as one surface explains them.

    The window asks whenever it shows a photo, so it is kept.

    Raises:
        UnreadablePhoto: A photo's file is missing or damaged.
    """

    def count() -> int:
        from leaktrack.imaging.resembling import agreeing_matches

        found, others = features_of(project, one), features_of(project, other)
        return agreeing_matches(found, others, project.matcher.matches(found, others))

    name = f"{one.sha256}-{other.sha256}-v{FEATURES_VERSION}.txt"
    file = project.cache_folder / "same_points" / one.sha256[:2] / name
    return cached(file, _count_of, lambda found: str(found).encode(), count)


def sameness_of(project: Project, one: Photo, other: Photo) -> float:
    """Return how surely two photos show the same place; see ``resembling.sameness``.

    Raises:
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    from leaktrack.imaging.resembling import sameness

    found, others = features_of(project, one), features_of(project, other)
    return sameness(found, others, project.matcher.matches(found, others))


def _count_of(content: bytes) -> int | None:
    return int(content) if content.isdigit() else None


def _file(cache_folder: Path, sha256: str) -> Path:
    return cache_folder / "features" / sha256[:2] / f"{sha256}-v{FEATURES_VERSION}.npz"
