"""The engine sheet: the engine unfolded into its faces, with how each zone fares."""

from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.engine import Engine, Face, Zone
from leaktrack.model.leak import SeepageGrade


@dataclass(frozen=True, slots=True)
class ZoneCard:
    """One zone at a glance.

    Attributes:
        newest_photo_id: The latest photo of the zone, up to the inspection asked for.
        grade: The worst grade at the latest inspection.
        ribbon: Inspection ids with the worst grade of each, oldest first.
    """

    zone: Zone
    newest_photo_id: UUID | None
    grade: SeepageGrade
    ribbon: tuple[tuple[UUID, SeepageGrade], ...]


@dataclass(frozen=True, slots=True)
class FaceCard:
    """One face with its zones."""

    face: Face
    zones: tuple[ZoneCard, ...]


@dataclass(frozen=True, slots=True)
class EngineSheet:
    """The whole engine at a glance."""

    engine: Engine
    faces: tuple[FaceCard, ...]
