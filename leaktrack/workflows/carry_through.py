"""Carry places between two photos of a project with the help of other photos of their zone."""

from typing import TYPE_CHECKING
from uuid import UUID

from leaktrack.model.photo import Photo
from leaktrack.workflows.align_photos import alignment_of
from leaktrack.workflows.find_features import has_features, readable
from leaktrack.workflows.join_photos import MOST_BETWEEN, placing_through
from leaktrack.workflows.project import Progress, Project, silent

if TYPE_CHECKING:
    from leaktrack.imaging.matching.overlaying import Placing


def alignment_through(
    project: Project, from_photo_id: UUID, to_photo_id: UUID, progress: Progress = silent
) -> "Placing":
    """Return what tells where places of one photo lie in another, with the help of others.

    The photos between are of the same zone and taken near one of the two: of their inspections
    first. Only photos whose points are known already are used. They are aligned when a place is
    asked for that is not sure directly; nothing is done where all are.

    Args:
        project: The open project.
        from_photo_id: The photo that places are carried from.
        to_photo_id: The photo they are carried to.
        progress: Called between the steps, also later on; may raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    ids = (from_photo_id, to_photo_id, *photos_between(project, from_photo_id, to_photo_id))
    return placing_through(
        [readable(project, project.get(Photo, photo_id)) for photo_id in ids],
        lambda here, there: alignment_of(project, ids[here], ids[there], progress),
        project.cache_folder,
        progress,
    )


def photos_between(project: Project, one_id: UUID, other_id: UUID) -> tuple[UUID, ...]:
    """Return the photos of the zone that two photos may be connected through, the best first."""
    one, other = project.get(Photo, one_id), project.get(Photo, other_id)
    if one.zone_id is None or one.zone_id != other.zone_id:
        return ()
    looks = {one.inspection_id, other.inspection_id}
    found = [
        photo
        for photo in project.all(Photo, zone_id=one.zone_id)
        if photo.id not in (one_id, other_id) and has_features(project, photo)
    ]
    found.sort(key=lambda photo: (photo.inspection_id not in looks, photo.light is not other.light))
    return tuple(photo.id for photo in found[:MOST_BETWEEN])
