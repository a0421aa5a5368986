"""Lay an earlier photo over a later one of the same zone, so that only what changed differs."""

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.follow_places import PlaceMesh, mesh_of
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
        mesh: Where places of the later photo lie in the earlier one; None where that failed.
        darkening: (rows, cols) how much darker each place became, light taken out: 0.69 is half as
            light as before, -0.69 twice as light, 0 unchanged. None where it failed.
        can_tell: (rows, cols) False where the darkening is not known: the earlier photo does not
            show the place, the place is not sure, or a photo is burnt out. None where it failed.
    """

    before_rgb: "NDArray[np.uint8]"
    after_rgb: "NDArray[np.uint8]"
    is_valid: "NDArray[np.bool_]"
    state: str
    mesh: PlaceMesh | None = None
    darkening: "NDArray[np.float32] | None" = None
    can_tell: "NDArray[np.bool_] | None" = None


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
    from leaktrack.imaging.matching.aligning import AlignmentState
    from leaktrack.imaging.matching.overlaying import laid_over
    from leaktrack.imaging.spotting.differing import darkening

    before, after = project.get(Photo, before_photo_id), project.get(Photo, after_photo_id)
    alignment = alignment_of(project, after.id, before.id, progress)
    progress(0, 0, after.original_name)
    after_rgb = read_upright(project.photo_file(after), longest_px)
    progress(0, 0, before.original_name)
    before_rgb = read_upright(project.photo_file(before), longest_px)
    progress(0, 0, "bending")
    bent, is_valid = laid_over(alignment, before_rgb, after_rgb.shape, after.width_px)
    if alignment.state is AlignmentState.FAILED:
        return Overlay(bent, after_rgb, is_valid, alignment.state.value)
    mesh = mesh_of(alignment, after.width_px, after.height_px)
    progress(0, 0, "comparing")
    is_known = is_valid & _known(mesh, after_rgb.shape, after.width_px)
    darker, can_tell = darkening(bent, after_rgb, is_known)
    return Overlay(bent, after_rgb, is_valid, alignment.state.value, mesh, darker, can_tell)


def _known(mesh: PlaceMesh, shape: tuple[int, ...], width_px: int) -> "NDArray[np.bool_]":
    """Return (rows, cols) of a picture: whether the mesh knows the place of each pixel."""
    import numpy as np

    shrunk_by = width_px / shape[1] / mesh.step_px
    rows, cols = (np.rint(np.arange(side) * shrunk_by).astype(int) for side in shape[:2])
    last_row, last_col = (side - 1 for side in mesh.is_known.shape)
    known: NDArray[np.bool_] = mesh.is_known[
        np.minimum(rows, last_row)[:, None], np.minimum(cols, last_col)[None]
    ]
    return known
