"""Carry places from one photo to another photo of the same zone, by the pictures alone."""

from collections.abc import Sequence
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
    from leaktrack.imaging.overlaying import Placing

_STEPS = 4
_DECODED_PX = 1600
"""Enough to look closely: that is done at about a thousand pixels."""


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
    # The networks' library takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.aligning import AlignmentState, align
    from leaktrack.imaging.refining import refined
    from leaktrack.imaging.turning import matched_turned

    here_photo, there_photo = project.get(Photo, from_photo_id), project.get(Photo, to_photo_id)
    progress(0, _STEPS, here_photo.original_name)
    here = features_of(project, here_photo)
    progress(1, _STEPS, there_photo.original_name)
    there = features_of(project, there_photo)
    progress(2, _STEPS, "matching")
    alignment = align(here, there, project.matcher.matches(here, there))
    there_rgb = read_upright(project.photo_path(there_photo), _DECODED_PX)
    if alignment.state is AlignmentState.FAILED:
        there, pairs = matched_turned(project.matcher, here, there_rgb, there.size)
        alignment = align(here, there, pairs)
    progress(3, _STEPS, "looking closely")
    here_rgb = read_upright(project.photo_path(here_photo), _DECODED_PX)
    return refined(alignment, here_rgb, here.size, there_rgb)
