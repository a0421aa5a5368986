"""Find the distinct points of an engine's photos ahead of time, so that aligning them is quick."""

from datetime import UTC, datetime
from uuid import UUID

from leaktrack.model.photo import Photo
from leaktrack.workflows.find_features import features_of, has_features
from leaktrack.workflows.project import Project

_LONG_AGO = datetime.min.replace(tzinfo=UTC)


def photos_to_index(project: Project) -> tuple[UUID, ...]:
    """Return the photos of zones whose points are not kept yet, the newest first; loads nothing.

    Photos that show no zone are compared with none, so they are left out.
    """
    waiting = [
        photo
        for photo in project.all(Photo)
        if photo.zone_id is not None and not has_features(project, photo)
    ]
    return tuple(photo.id for photo in sorted(waiting, key=_taken_at, reverse=True))


def index_photo(project: Project, photo_id: UUID) -> None:
    """Find the points of one photo and keep them; nothing where it is not in the project any more.

    Raises:
        UnreadablePhoto: Its file is missing or damaged.
    """
    photo = project.find(Photo, photo_id)
    if photo is not None:
        features_of(project, photo)


def _taken_at(photo: Photo) -> datetime:
    return photo.taken.sortable if photo.taken is not None else _LONG_AGO
