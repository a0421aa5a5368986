"""Find the distinct points of a photo, once: they are what aligning and recognising photos need."""

from typing import TYPE_CHECKING

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.workflows.keep_cache import cached
from leaktrack.workflows.project import Project

if TYPE_CHECKING:
    from leaktrack.imaging.learned_matching import Features

_CACHE_VERSION = 2
"""Raise it when features are found in another way: old cache files are then not found any more."""

_DECODED_PX = 2048
"""The network sees about half of this, and a large JPEG is decoded faster at reduced size."""


def features_of(project: Project, photo: Photo) -> "Features":
    """Return a photo's features, from the cache where they were found before.

    Raises:
        UnreadablePhoto: Its file is missing or damaged.
    """
    # The networks' library takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.learned_matching import Features

    file = (
        project.cache_folder
        / "features"
        / photo.sha256[:2]
        / f"{photo.sha256}-v{_CACHE_VERSION}.npz"
    )
    return cached(
        file,
        Features.from_bytes,
        Features.to_bytes,
        lambda: _found(project, photo),
    )


def same_points(project: Project, one: Photo, other: Photo) -> int:
    """Return how many points of one photo are found again in another, as one surface explains them.

    Raises:
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    from leaktrack.imaging.resembling import agreeing_matches

    found, others = features_of(project, one), features_of(project, other)
    return agreeing_matches(found, others, project.matcher.matches(found, others))


def sameness_of(project: Project, one: Photo, other: Photo) -> float:
    """Return how surely two photos show the same place; see ``resembling.sameness``.

    Raises:
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    from leaktrack.imaging.resembling import sameness

    found, others = features_of(project, one), features_of(project, other)
    return sameness(found, others, project.matcher.matches(found, others))


def _found(project: Project, photo: Photo) -> "Features":
    from leaktrack.imaging.targeting import squares_seen

    rgb = read_upright(project.photo_path(photo), _DECODED_PX)
    found = project.matcher.features(rgb, (photo.width_px, photo.height_px))
    return found.outside(squares_seen(rgb, photo.width_px / rgb.shape[1]))
