"""Carry places from one photo to another photo of the same zone, by the pictures alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.find_features import features_of
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from leaktrack.imaging.learned_matching import Features, LearnedMatcher
    from leaktrack.imaging.overlaying import Placing

_STEPS = 4
_DECODED_PX = 1600
"""Enough to look closely: that is done at about a thousand pixels."""


@dataclass(frozen=True, slots=True)
class ReadablePhoto:
    """A photo to be aligned, of a project or a file that stands alone.

    Attributes:
        name: What people call it.
        features: Returns its distinct points, in px of the full upright photo.
        read: Returns the upright photo, its longer side shrunk to so many px.
    """

    name: str
    features: Callable[[], "Features"]
    read: Callable[[int], "NDArray[np.uint8]"]


@dataclass(frozen=True, slots=True)
class CarriedPoint:
    """Where a place of one photo lies in another.

    Attributes:
        at: The place; None unless carried or uncertain.
        sigma_px: One standard deviation of the place.
    """

    state: PlaceState
    at: PointPx | None = None
    sigma_px: float | None = None


def carry_points(
    project: Project, from_photo_id: UUID, to_photo_id: UUID, points: Sequence[PointPx]
) -> tuple[CarriedPoint, ...]:
    """Return where places of one photo lie in another, in the same order.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    if not points:
        return ()
    import numpy as np

    from leaktrack.imaging.aligning import AlignmentState

    alignment = alignment_of(project, from_photo_id, to_photo_id)
    if alignment.state is AlignmentState.FAILED:
        return (CarriedPoint(PlaceState.UNKNOWN),) * len(points)
    carried = alignment.carry(np.array([[point.x, point.y] for point in points], float))
    return tuple(
        CarriedPoint(state, PointPx(float(x), float(y)), float(sigma))
        if np.isfinite(x)
        else CarriedPoint(state)
        for (x, y), sigma, state in zip(carried.xy, carried.sigma_px, carried.states, strict=True)
    )


def alignment_of(
    project: Project, from_photo_id: UUID, to_photo_id: UUID, progress: Progress = silent
) -> "Placing":
    """Return what tells where places of one photo lie in another.

    Args:
        project: The open project.
        from_photo_id: The photo that places are carried from.
        to_photo_id: The photo they are carried to.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    here, there = project.get(Photo, from_photo_id), project.get(Photo, to_photo_id)
    return placing_of(
        _of_project(project, here), _of_project(project, there), project.matcher, progress
    )


def placing_of(
    here: ReadablePhoto,
    there: ReadablePhoto,
    matcher: "LearnedMatcher",
    progress: Progress = silent,
) -> "Placing":
    """Return what tells where places of one photo lie in another, wherever the photos are kept.

    Args:
        here: The photo that places are carried from.
        there: The photo they are carried to.
        matcher: The networks that find the same points in both.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    # The networks' library takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.aligning import AlignmentState, align
    from leaktrack.imaging.refining import refined
    from leaktrack.imaging.turning import matched_turned

    progress(0, _STEPS, here.name)
    found = here.features()
    progress(1, _STEPS, there.name)
    others = there.features()
    progress(2, _STEPS, "matching")
    alignment = align(found, others, matcher.matches(found, others))
    there_rgb = there.read(_DECODED_PX)
    if alignment.state is AlignmentState.FAILED:
        others, pairs = matched_turned(matcher, found, there_rgb, others.size)
        alignment = align(found, others, pairs)
    progress(3, _STEPS, "looking closely")
    return refined(alignment, here.read(_DECODED_PX), found.size, there_rgb)


def _of_project(project: Project, photo: Photo) -> ReadablePhoto:
    path = project.photo_path(photo)
    return ReadablePhoto(
        name=photo.original_name,
        features=lambda: features_of(project, photo),
        read=lambda longest_px: read_upright(path, longest_px),
    )
