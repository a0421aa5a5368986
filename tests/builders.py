"""Records for tests that care about one or two fields: everything else is made up here."""

from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from leaktrack.model.engine import Bolt, Engine, Face, FaceSide, Joint, SealKind, Zone
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import SealingJob

A_MOMENT = datetime(2026, 3, 7, 16, 30, tzinfo=UTC)


def an_engine(**fields: Any) -> Engine:
    return Engine(**{"name": "W", **fields})


def a_face(engine_id: UUID, **fields: Any) -> Face:
    return Face(**{"engine_id": engine_id, "side": FaceSide.BANK_1, "name": "Bank 1", **fields})


def a_zone(face_id: UUID, **fields: Any) -> Zone:
    return Zone(**{"face_id": face_id, "name": "Cover", **fields})


def a_joint(zone_id: UUID, **fields: Any) -> Joint:
    plain = {"zone_id": zone_id, "name": "Cover joint", "seal_kind": SealKind.LIQUID_GASKET}
    return Joint(**{**plain, **fields})


def a_bolt(joint_id: UUID, **fields: Any) -> Bolt:
    return Bolt(**{"joint_id": joint_id, "number": 1, **fields})


def a_job(joint_id: UUID, **fields: Any) -> SealingJob:
    return SealingJob(**{"joint_id": joint_id, "done_at": A_MOMENT, **fields})


def a_photo(**fields: Any) -> Photo:
    plain = {
        "sha256": "a" * 64,
        "file_type": "jpg",
        "original_name": "photo.jpg",
        "size_bytes": 1000,
        "width_px": 400,
        "height_px": 300,
    }
    return Photo(**{**plain, **fields})


def a_leak(zone_id: UUID, **fields: Any) -> Leak:
    return Leak(**{"zone_id": zone_id, "number": 1, **fields})


def a_mark(leak_id: UUID, photo_id: UUID, **fields: Any) -> LeakMark:
    plain = {"leak_id": leak_id, "photo_id": photo_id, "grade": SeepageGrade.SEEP}
    return LeakMark(**{**plain, **fields})
