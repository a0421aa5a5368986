"""List what to photograph at an inspection, framed as last time, and warn of useless photos."""

from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from leaktrack.imaging.reading import read_upright
from leaktrack.model.engine import Zone
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Light, Photo, PhotoWarning
from leaktrack.workflows.find_engine import Reader, zones_of_engine
from leaktrack.workflows.find_features import same_points
from leaktrack.workflows.project import Project

_JUDGED_PX = 2048
"""Sharpness is told at half of this; a smaller decode is faster."""


@dataclass(frozen=True, slots=True)
class Shot:
    """A zone to be photographed.

    Attributes:
        last_photo_id: The photo to frame the new one like; None where the zone has none yet.
        photos_taken: The photos of the zone at this inspection, in the order they were taken.
    """

    zone: Zone
    last_photo_id: UUID | None
    photos_taken: tuple[UUID, ...]


def shot_list(project: Project, inspection_id: UUID) -> tuple[Shot, ...]:
    """Return the zones of the inspection's engine, each with its last photo and its new ones.

    Raises:
        MissingRecord: There is no such inspection.
    """
    with project.read() as records:
        inspection = records.get(Inspection, inspection_id)
        shots = []
        for zone in zones_of_engine(records, inspection.engine_id):
            taken = sorted(
                records.all(Photo, zone_id=zone.id, inspection_id=inspection_id), key=_order
            )
            last = last_photo(records, zone, inspection)
            shots.append(Shot(zone, last.id if last else None, tuple(photo.id for photo in taken)))
    return tuple(shots)


def last_photo(reader: Reader, zone: Zone, inspection: Inspection) -> Photo | None:
    """Return the first photo that the inspection before took of a zone; else its reference photo.

    Inspections that have no photo of the zone are passed over.
    """
    others = reader.all(Inspection, engine_id=inspection.engine_id)
    earlier = [other for other in others if other.looked_at < inspection.looked_at]
    for other in sorted(earlier, key=lambda other: other.looked_at, reverse=True):
        photos = reader.all(Photo, zone_id=zone.id, inspection_id=other.id)
        if photos:
            return min(photos, key=_order)
    if zone.reference_photo_id is None:
        return None
    reference = reader.get(Photo, zone.reference_photo_id)
    return None if reference.inspection_id == inspection.id else reference


def photo_warnings(project: Project, photo_id: UUID) -> tuple[PhotoWarning, ...]:
    """Return why a photo may be of little use, while the camera is still at hand.

    One under an ultraviolet lamp has to be dark, and shows too little to be recognised by.

    Raises:
        MissingRecord: There is no such photo.
        UnreadablePhoto: A photo's file is missing or damaged.
    """
    # OpenCV takes a while to load, and the window imports this before it stands.
    from leaktrack.imaging.judging import photo_quality
    from leaktrack.imaging.spotting.glowing import looks_ultraviolet

    photo = project.get(Photo, photo_id)
    rgb = read_upright(project.photo_file(photo), _JUDGED_PX)
    quality = photo_quality(rgb)
    is_dark_on_purpose = photo.light is Light.UV or (photo.light is None and looks_ultraviolet(rgb))
    found = {
        PhotoWarning.BLURRED: quality.is_blurred,
        PhotoWarning.TOO_DARK: not is_dark_on_purpose and quality.is_too_dark,
        PhotoWarning.TOO_BRIGHT: quality.is_too_bright,
        PhotoWarning.SHOWS_SOMETHING_ELSE: (
            not is_dark_on_purpose and _shows_something_else(project, photo)
        ),
    }
    return tuple(warning for warning, is_so in found.items() if is_so)


def _shows_something_else(project: Project, photo: Photo) -> bool:
    from leaktrack.imaging.resembling import SAME_PLACE_MATCHES

    with project.read() as records:
        last = _framed_like(records, photo)
    return last is not None and same_points(project, last, photo) < SAME_PLACE_MATCHES


def _framed_like(reader: Reader, photo: Photo) -> Photo | None:
    """Return the photo that this one should be framed like."""
    if photo.zone_id is None:
        return None
    zone = reader.get(Zone, photo.zone_id)
    if photo.inspection_id is not None:
        return last_photo(reader, zone, reader.get(Inspection, photo.inspection_id))
    if zone.reference_photo_id in (None, photo.id):
        return None
    return reader.find(Photo, zone.reference_photo_id)


def _order(photo: Photo) -> tuple[datetime, UUID]:
    """Sort by the camera's clock; photos without one come last, in the order of import."""
    at = photo.taken.sortable if photo.taken else datetime.max.replace(tzinfo=UTC)
    return at, photo.id
