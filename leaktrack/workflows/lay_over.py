"""Lay an earlier photo over a later one of the same zone, so that only what changed differs."""

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """Two photos as seen from where the later one was taken.

    Attributes:
        before_rgb: (rows, cols, 3) the earlier photo, bent to lie over the later one.
        after_rgb: (rows, cols, 3) the later photo.
        is_valid: (rows, cols) False where the earlier photo does not show the place.
        state: "aligned", "unreliable" or "failed"; failed: ``before_rgb`` is black.
    """

    before_rgb: "NDArray[np.uint8]"
    after_rgb: "NDArray[np.uint8]"
    is_valid: "NDArray[np.bool_]"
    state: str


def lay_over(
    project: Project,
    before_photo_id: UUID,
    after_photo_id: UUID,
    longest_px: int = 1600,
    progress: Progress = silent,
) -> Overlay:
    """Return the earlier photo laid over the later one.

    Args:
        project: The open project.
        before_photo_id: The earlier photo.
        after_photo_id: The later photo.
        longest_px: Longest side of the pictures wanted.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.overlaying import laid_over

    before, after = project.get(Photo, before_photo_id), project.get(Photo, after_photo_id)
    alignment = alignment_of(project, after.id, before.id, progress)
    after_rgb = read_upright(project.photo_path(after), longest_px)
    before_rgb = read_upright(project.photo_path(before), longest_px)
    bent, is_valid = laid_over(alignment, before_rgb, after_rgb.shape, after.width_px)
    return Overlay(bent, after_rgb, is_valid, alignment.state.value)
