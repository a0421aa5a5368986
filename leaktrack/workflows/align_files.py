"""Carry places from one photo file to another, without a project."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from leaktrack.imaging.reading import upright_size
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.shapes import PointPx
from leaktrack.store.photo_files import sha256_of
from leaktrack.workflows.align_photos import CarriedPoint, carried_by, placing_of
from leaktrack.workflows.find_features import ReadablePhoto
from leaktrack.workflows.join_photos import placing_through
from leaktrack.workflows.project import Progress, silent

if TYPE_CHECKING:
    from leaktrack.imaging.matching.learned_matching import LearnedMatcher


@dataclass(frozen=True, slots=True)
class CarriedPlaces:
    """Where places of one photo file lie in another.

    Attributes:
        state: "aligned", "unreliable" or "failed". What two photos alone cannot be relied on for
            counts as aligned where all photos together tell it.
        points: In the order of the places.
    """

    state: str
    points: tuple[CarriedPoint, ...]


def carry_points_of_file(
    reference: ReadablePhoto,
    new: ReadablePhoto,
    points: Sequence[PointPx],
    matcher: "LearnedMatcher",
    cache_folder: Path,
    progress: Progress = silent,
    between: Sequence[ReadablePhoto] = (),
) -> CarriedPlaces:
    """Return where places of a reference photo lie in a new photo.

    Args:
        reference: The photo that the places are in.
        new: The photo they are looked for in.
        points: The places, in px of the upright reference photo.
        matcher: The networks that find the same points in both.
        cache_folder: Where points are kept that were found before.
        progress: Called between the steps; may raise Cancelled to stop.
        between: More photos of the same zone, asked where a place is not sure by these two alone.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    # OpenCV takes a while to load.
    from leaktrack.imaging.matching.aligning import AlignmentState

    photos = (reference, new, *between)
    alignment = placing_through(
        photos,
        lambda here, there: placing_of(
            photos[here], photos[there], matcher, cache_folder, progress
        ),
        cache_folder,
        progress,
    )
    carried, state = carried_by(alignment, points), alignment.state
    if state is AlignmentState.UNRELIABLE and alignment.is_told_by_all:
        state = AlignmentState.ALIGNED
    return CarriedPlaces(state.value, carried)


def readable_file(path: Path) -> ReadablePhoto:
    """Return a photo file with what has to be known of it, without decoding it.

    Raises:
        UnreadablePhoto: The file is missing, is not a photo or is too large.
    """
    size = upright_size(path)
    try:
        sha256 = sha256_of(path)
    except OSError as error:
        raise UnreadablePhoto(
            f"{path.name} cannot be opened: {error.strerror or error}."
        ) from error
    return ReadablePhoto(path.name, path, sha256, size)
