"""Say which zone a photo shows, which inspection it belongs to (both suggested), in which light."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from enum import Enum
from uuid import UUID

from leaktrack.model.engine import Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Light, Photo
from leaktrack.model.record import Edit, RecordChange, replaced
from leaktrack.workflows.check_input import check_record
from leaktrack.workflows.find_engine import engine_id_of_zone
from leaktrack.workflows.project import Project
from leaktrack.workflows.remove_records import removal

SAME_LOOK = timedelta(days=1)
"""Photos taken further from an inspection do not belong to it; own judgement."""


class Keep(Enum):
    """Leave a photo's place or light as it is."""

    AS_IT_IS = "as_it_is"


def assign_photos(
    project: Project,
    photo_ids: Sequence[UUID],
    zone_id: UUID | Keep | None = Keep.AS_IT_IS,
    inspection_id: UUID | Keep | None = Keep.AS_IT_IS,
    light: Light | Keep | None = Keep.AS_IT_IS,
) -> Edit:
    """Return the edit that puts photos into a zone, an inspection or both; None takes them out.

    It may say as well in which light they were taken: a few photos of a look under an ultraviolet
    lamp may be in white light, and the other way round. None: nobody knows.

    Raises:
        BadInput: A photo's zone and inspection would belong to different engines, or its zone's
            joint lines were drawn on it.
        MissingRecord: A photo, the zone or the inspection is not there.
    """
    changes = []
    for photo_id in dict.fromkeys(photo_ids):
        before = project.get(Photo, photo_id)
        after = replace(
            before,
            zone_id=before.zone_id if isinstance(zone_id, Keep) else zone_id,
            inspection_id=(
                before.inspection_id if isinstance(inspection_id, Keep) else inspection_id
            ),
            light=before.light if isinstance(light, Keep) else light,
        )
        _check_place(project, before, after)
        changes.append(RecordChange(before, after))
    return Edit(tuple(changes))


def amend_photo(before: Photo, after: Photo) -> Edit:
    """Return the edit that changes what is said of a photo: light, scale, note.

    Raises:
        BadInput: The scale is out of reason, or the file itself would be another.
    """
    if (before.sha256, before.file_type) != (after.sha256, after.file_type):
        raise BadInput("A photo's file is never changed. Add the other file as a photo of its own.")
    check_record(after)
    return replaced(before, after)


def remove_photo(project: Project, photo_id: UUID) -> Edit:
    """Return the edit that takes a photo out of the records; its file stays in the folder.

    Raises:
        BadInput: Marks, joint lines or sealing jobs need it.
    """
    photo = project.get(Photo, photo_id)
    return removal(project, photo, f"photo {photo.original_name}")


def suggest_inspection(project: Project, photo: Photo) -> Inspection | None:
    """Return the inspection nearest in time to a photo, within a day; None if there is none.

    Where the camera did not say its time zone, UTC is taken, which may be off by half a day.
    """
    if photo.taken is None:
        return None
    taken_at = photo.taken.sortable
    inspections: Sequence[Inspection] = project.all(Inspection)
    if photo.zone_id is not None:
        engine_id = engine_id_of_zone(project, photo.zone_id)
        inspections = [item for item in inspections if item.engine_id == engine_id]
    nearest = min(inspections, key=lambda item: abs(item.looked_at - taken_at), default=None)
    if nearest is None or abs(nearest.looked_at - taken_at) > SAME_LOOK:
        return None
    return nearest


def _check_place(project: Project, before: Photo, after: Photo) -> None:
    inspection = project.get(Inspection, after.inspection_id) if after.inspection_id else None
    if after.zone_id is not None:
        engine_id = engine_id_of_zone(project, after.zone_id)
        if inspection is not None and inspection.engine_id != engine_id:
            raise BadInput(
                f"The zone and the inspection of {after.original_name} would belong to different "
                "engines. Choose them of one engine."
            )
    if before.zone_id != after.zone_id and project.all(Zone, reference_photo_id=before.id):
        raise BadInput(
            f"{before.original_name} stays in its zone: the zone's joint lines were drawn on it. "
            "Draw them on another photo of the zone first."
        )
