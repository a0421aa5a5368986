"""Find out which engine, zone or joint a record belongs to: the walk up and down the tree, once."""

from typing import Any, Protocol, TypeVar
from uuid import UUID

from leaktrack.model.engine import Bolt, Face, Joint, Zone
from leaktrack.model.leak import Leak
from leaktrack.model.record import Record

T = TypeVar("T", bound=Record)


class Reader(Protocol):
    """What can look records up: an open project, or one snapshot of it."""

    def get(self, kind: type[T], record_id: UUID) -> T:
        """Return the record; raise MissingRecord if there is none."""
        ...

    def find(self, kind: type[T], record_id: UUID) -> T | None:
        """Return the record, or None."""
        ...

    def all(self, kind: type[T], **equals: Any) -> tuple[T, ...]:
        """Return the records whose fields equal these values."""
        ...


def engine_id_of_zone(reader: Reader, zone_id: UUID) -> UUID:
    """Return the engine that a zone is part of."""
    return reader.get(Face, reader.get(Zone, zone_id).face_id).engine_id


def engine_id_of_joint(reader: Reader, joint_id: UUID) -> UUID:
    """Return the engine that a joint is part of."""
    return engine_id_of_zone(reader, reader.get(Joint, joint_id).zone_id)


def zones_of_engine(reader: Reader, engine_id: UUID) -> tuple[Zone, ...]:
    """Return all zones of an engine, face by face."""
    faces = reader.all(Face, engine_id=engine_id)
    return tuple(zone for face in faces for zone in reader.all(Zone, face_id=face.id))


def joints_of_engine(reader: Reader, engine_id: UUID) -> tuple[Joint, ...]:
    """Return all joints of an engine, zone by zone."""
    zones = zones_of_engine(reader, engine_id)
    return tuple(joint for zone in zones for joint in reader.all(Joint, zone_id=zone.id))


def leaks_of_engine(reader: Reader, engine_id: UUID) -> tuple[Leak, ...]:
    """Return all leaks of an engine, by their number."""
    zone_ids = [zone.id for zone in zones_of_engine(reader, engine_id)]
    return tuple(sorted(reader.all(Leak, zone_id=zone_ids), key=lambda leak: leak.number))


def bolt_numbers(reader: Reader, joint_id: UUID) -> frozenset[int]:
    """Return the numbers of a joint's bolts."""
    return frozenset(bolt.number for bolt in reader.all(Bolt, joint_id=joint_id))
