"""Call a photo what people call it, where a failure names its file by its content."""

import re

from leaktrack.model.errors import LeakTrackError, UnreadablePhoto
from leaktrack.model.photo import Photo
from leaktrack.workflows.project import Project

# Not within a path, where the person needs it to find the file.
_BY_CONTENT = re.compile(r"(?<![\w/\\])([0-9a-f]{64})\.\w+")


def told_by_name(project: Project, error: LeakTrackError) -> LeakTrackError:
    """Return a failure that calls photos by their names; the same one where it names none.

    A photo that cannot be read was whole when it was added, so that its file was damaged since: it
    is said where that file lies.
    """
    found = _BY_CONTENT.search(str(error))
    if found is None:
        return error
    try:
        photo = next(iter(project.all(Photo, sha256=found[1])), None)
        name = "" if photo is None else project.known_as(photo)
    except LeakTrackError:  # the records cannot be read either: the first failure is told
        return error
    if photo is None:
        return error
    told = _BY_CONTENT.sub(lambda one: name if one[1] == found[1] else one[0], str(error))
    if isinstance(error, UnreadablePhoto):
        path = project.photo_path(photo).relative_to(project.folder).as_posix()
        told = told.removesuffix("Copy it again from the camera.").rstrip()
        told += (
            f" What is recorded about it is kept. Copy {path} back from a backup of the project."
        )
    return type(error)(told)
