"""View the engine sheet: every zone with its newest photo, its worst grade and past grades."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from leaktrack.model.engine import Zone
from leaktrack.model.engine_sheet import EngineSheet, FaceCard, ZoneCard
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.workflows.gather_engine import EngineRecords, grouped
from leaktrack.workflows.project import Project

_PhotosByPlace = Mapping[tuple[UUID | None, UUID | None], Sequence[Photo]]


def engine_sheet(
    project: Project, engine_id: UUID, up_to_inspection: UUID | None = None
) -> EngineSheet:
    """Return the engine's faces with their zones, as they were at an inspection.

    Args:
        project: The open project.
        engine_id: The engine.
        up_to_inspection: The last inspection to look at; None for the latest.

    Raises:
        MissingRecord: There is no such engine or inspection.
    """
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        inspections = records.inspections
        if up_to_inspection is not None:
            last = reader.get(Inspection, up_to_inspection).looked_at
            inspections = tuple(one for one in inspections if one.looked_at <= last)
        photos = grouped(
            (photo for photo in records.photos.values() if photo.check_id is None),
            lambda photo: (photo.zone_id, photo.inspection_id),
        )
        cards = grouped(
            (_zone_card(records, zone, inspections, photos) for zone in records.zones),
            lambda card: card.zone.face_id,
        )
        return EngineSheet(
            records.engine,
            tuple(FaceCard(face, tuple(cards.get(face.id, ()))) for face in records.faces),
        )


def _zone_card(
    records: EngineRecords,
    zone: Zone,
    inspections: Sequence[Inspection],
    photos: _PhotosByPlace,
) -> ZoneCard:
    ribbon = tuple((one.id, records.table.zone_grade(zone.id, one.id)) for one in inspections)
    grade = ribbon[-1][1] if ribbon else SeepageGrade.NOT_SEEN
    return ZoneCard(zone, _newest_photo(zone, inspections, photos), grade, ribbon)


def _newest_photo(
    zone: Zone, inspections: Sequence[Inspection], photos: _PhotosByPlace
) -> UUID | None:
    """Return the first photo of the latest inspection that shows the zone, else another of it."""
    for inspection in reversed(inspections):
        shown = photos.get((zone.id, inspection.id))
        if shown:
            return shown[0].id
    others = photos.get((zone.id, None))
    return others[-1].id if others else zone.reference_photo_id
