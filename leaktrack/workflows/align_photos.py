"""Carry places from one photo to another photo of the same zone, by the pictures alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.model.photo import Photo
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.find_features import features_of
from leaktrack.workflows.project import Project

if TYPE_CHECKING:
    from leaktrack.imaging.aligning import Alignment


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


def alignment_of(project: Project, from_photo_id: UUID, to_photo_id: UUID) -> "Alignment":
    """Return how a photo lies over the one that places are carried from.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    # The networks' library takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.aligning import align

    here = features_of(project, project.get(Photo, from_photo_id))
    there = features_of(project, project.get(Photo, to_photo_id))
    return align(here, there, project.matcher.matches(here, there))
