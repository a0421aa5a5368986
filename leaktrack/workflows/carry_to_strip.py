"""Carry a joint's line to the photos whose leaks its strip cannot place."""

from uuid import UUID

from leaktrack.model.joint_strip import JointStrip
from leaktrack.model.photo import Photo
from leaktrack.workflows.find_stations import StationLine, station_line
from leaktrack.workflows.project import Progress, Project, silent


def carry_to_strip(
    project: Project, strip: JointStrip, progress: Progress = silent
) -> dict[UUID, StationLine]:
    """Return lines for the photos whose leaks a strip cannot place, as far as they can be carried.

    Raises:
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    found: dict[UUID, StationLine] = {}
    for done, photo_id in enumerate(strip.unplaced):
        name = project.get(Photo, photo_id).original_name
        progress(done, len(strip.unplaced), name)
        line = station_line(project, strip.joint.id, photo_id)
        if line is not None:
            found[photo_id] = line
    return found
