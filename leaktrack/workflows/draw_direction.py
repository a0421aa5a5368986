"""Draw which way is down in a photo, and which way air blew over the engine."""

from dataclasses import replace
from math import atan2, degrees
from uuid import UUID

from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.check_input import check_on_photo
from leaktrack.workflows.project import Project


def draw_down(project: Project, photo_id: UUID, start: PointPx, end: PointPx) -> Edit:
    """Return the edit that says which way is down in a photo: from the start to the end.

    Raises:
        BadInput: Both are the same place, or one lies outside the photo.
        MissingRecord: There is no such photo.
    """
    before = project.get(Photo, photo_id)
    return replaced(before, replace(before, down_deg=_direction(before, start, end)))


def draw_air(project: Project, photo_id: UUID, start: PointPx, end: PointPx) -> Edit:
    """Return the edit that says which way air blew over the engine in a photo.

    Raises:
        BadInput: Both are the same place, or one lies outside the photo.
        MissingRecord: There is no such photo.
    """
    before = project.get(Photo, photo_id)
    return replaced(before, replace(before, air_deg=_direction(before, start, end)))


def _direction(photo: Photo, start: PointPx, end: PointPx) -> float:
    """Return an arrow's direction from straight down, counted towards the right edge."""
    for point in (start, end):
        check_on_photo(point, photo, "arrow")
    if start.distance_px(end) < 1:
        raise BadInput(
            "An arrow needs two places. The photo stays as it was. Click where the arrow begins, "
            "then where it points to."
        )
    return degrees(atan2(end.x - start.x, end.y - start.y))
