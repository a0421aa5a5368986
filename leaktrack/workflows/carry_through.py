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

_NEW = 1
"""Number of the photo that places are carried to, beside the one that they come from."""


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
        progress: Called often, also later on, with how many of all steps are done; a step lays one
            photo over another, the last one takes all together. May raise Cancelled to stop.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    ids = (from_photo_id, to_photo_id, *photos_between(project, from_photo_id, to_photo_id))
    photos = [readable(project, project.get(Photo, photo_id)) for photo_id in ids]
    steps = 2 * len(photos) - 2

    def align(here: int, there: int) -> "Placing":
        number = max(here, there)  # of the photo between, which is reached first and left then
        done = 0 if number == _NEW else 2 * number - 3 + (here == number)

        def tell(_done: int, _total: int, _what: str) -> None:
            progress(done, steps, photos[number].name)

        return alignment_of(project, ids[here], ids[there], tell)

    def tell_last(_done: int, _total: int, what: str) -> None:
        progress(steps - 1, steps, what)

    return placing_through(photos, align, project.cache_folder, tell_last)


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
