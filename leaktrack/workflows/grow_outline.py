"""Grow the outline of a wet area from one click, as a proposal."""

from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import Outline, PointPx
from leaktrack.workflows.check_input import check_on_photo
from leaktrack.workflows.project import Project

_DECODED_PX = 2000
"""What growing was measured on; larger photos hold no more of a film's soft edge."""


def grow_outline(project: Project, photo_id: UUID, at: PointPx) -> Outline:
    """Return the outline of the area round a click, along the picture's edges.

    Raises:
        BadInput: The click is outside the photo.
        MissingRecord: There is no such photo.
        UnreadablePhoto: Its file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.spotting.growing import grown_region

    photo = project.get(Photo, photo_id)
    check_on_photo(at, photo, "click")
    rgb = read_upright(project.photo_file(photo), _DECODED_PX)
    scale = photo.width_px / rgb.shape[1]
    seed = PointPx((at.x + 0.5) / scale - 0.5, (at.y + 0.5) / scale - 0.5)
    return tuple(
        PointPx((corner.x + 0.5) * scale - 0.5, (corner.y + 0.5) * scale - 0.5)
        for corner in grown_region(rgb, seed)
    )
