"""Follow the bead in a photo between a few clicks on it; nothing is recorded."""

from collections.abc import Sequence
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import Evidence
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.project import Progress, Project, silent


def follow_bead(
    project: Project, photo_id: UUID, clicks: Sequence[PointPx], progress: Progress = silent
) -> tuple[PointPx, ...]:
    """Return the path of the bead between clicks on it.

    Args:
        project: The open project.
        photo_id: A photo of a bare flange with its bead.
        clicks: At least two places on the bead, in order.
        progress: Called between the steps; may raise Cancelled to stop.

    Raises:
        BadInput: There are fewer than two clicks, or one lies outside the photo.
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: The photo's file is missing or damaged.
    """
    # OpenCV and SciPy take a while to load, and the window imports this before it stands.
    import numpy as np

    from leaktrack.imaging.beading.pathfinding import followed

    progress(0, 2, "photo")
    photo = project.get(Photo, photo_id)
    if len(clicks) < 2:
        raise BadInput("A bead is followed from one click to another. Click where it ends, too.")
    rgb = read_upright(project.photo_file(photo))
    height, width = rgb.shape[:2]
    places = np.array([(at.x, at.y) for at in clicks], np.float64)
    is_inside = (places >= 0) & (places < (width, height))
    if not is_inside.all():
        raise BadInput("A bead can only be followed inside the photo. Click on the bead itself.")
    progress(1, 2, "path")
    return tuple(PointPx(float(x), float(y)) for x, y in followed(rgb, places))


def photos_of_job(project: Project, job_id: UUID) -> tuple[Photo, ...]:
    """Return the photos that show a job: in each of them its bead may be followed."""
    shown = {each.photo_id for each in project.all(Evidence, sealing_job_id=job_id)}
    return project.all(Photo, id=[photo_id for photo_id in shown if photo_id is not None])
