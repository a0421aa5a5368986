"""Where photos belong, in words: an inspection, a zone, both or neither."""

from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.times import day_text
from leaktrack.model.engine import Face, Joint, Zone
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak
from leaktrack.workflows.project import Project


@dataclass(frozen=True, slots=True)
class PhotoPlace:
    """Where new photos go."""

    zone_id: UUID | None = None
    inspection_id: UUID | None = None

    @property
    def is_somewhere(self) -> bool:
        """Whether it names an inspection or a zone at all."""
        return self.zone_id is not None or self.inspection_id is not None


def inspection_name(inspection: Inspection) -> str:
    """Return what people call an inspection: its title, or its day."""
    if inspection.title:
        return inspection.title
    words: str = QCoreApplication.translate("places", "Inspection of %s")
    return words % day_text(inspection.looked_at)


def zone_names(project: Project, engine_id: UUID | None) -> dict[UUID, str]:
    """Return the names of an engine's zones, face by face."""
    names: dict[UUID, str] = {}
    faces = sorted(project.all(Face, engine_id=engine_id), key=lambda face: face.position)
    for face in faces:
        zones = sorted(project.all(Zone, face_id=face.id), key=lambda zone: zone.position)
        for zone in zones:
            is_named = face.name.casefold() in zone.name.casefold()
            names[zone.id] = zone.name if is_named else f"{face.name}: {zone.name}"
    return names


def leak_names(project: Project, engine_id: UUID | None) -> dict[UUID, str]:
    """Return what people call an engine's leaks, by number, with their zones."""
    zones = zone_names(project, engine_id)
    leaks = sorted(project.all(Leak, zone_id=list(zones)), key=lambda leak: leak.number)
    return {leak.id: f"{leak.number}, {zones[leak.zone_id]}" for leak in leaks}


def joint_names(project: Project, engine_id: UUID | None) -> dict[UUID, str]:
    """Return the names of an engine's joints."""
    zones = zone_names(project, engine_id)
    return {joint.id: joint.name for joint in project.all(Joint, zone_id=list(zones))}


def inspection_names(project: Project, engine_id: UUID | None) -> dict[UUID, str]:
    """Return the names of an engine's inspections, newest first."""
    inspections = project.all(Inspection, engine_id=engine_id)
    newest_first = sorted(inspections, key=lambda each: each.looked_at, reverse=True)
    return {inspection.id: inspection_name(inspection) for inspection in newest_first}


def place_words(project: Project, place: PhotoPlace) -> str:
    """Return a place as people would say it; empty for nowhere.

    Such as "Second look / Bank 1 cover".
    """
    parts = []
    if place.inspection_id is not None:
        inspection = project.find(Inspection, place.inspection_id)
        parts += [inspection_name(inspection)] if inspection else []
    if place.zone_id is not None:
        zone = project.find(Zone, place.zone_id)
        parts += [zone.name] if zone else []
    return " / ".join(parts)
