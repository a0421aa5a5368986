"""All tables: one for each kind of record, with a column for each of its fields.

A row without its ``version`` is the record's arguments, so nothing needs to be mapped by hand.
"""

from enum import Enum
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from leaktrack.model.caution import Caution
from leaktrack.model.engine import (
    Bolt,
    Engine,
    Face,
    FaceSide,
    Joint,
    JointLine,
    LinePoint,
    SealKind,
    Zone,
)
from leaktrack.model.inspection import (
    Airflow,
    Check,
    CheckKind,
    CheckResult,
    Inspection,
    Reading,
    TestRun,
)
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Clip, Light, Photo
from leaktrack.model.redo_plan import AccessStep, RedoPlan, RedoTask
from leaktrack.model.sealing_job import (
    BeadPlace,
    Closing,
    Evidence,
    Material,
    Part,
    PartCondition,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState
from leaktrack.store.column_types import CameraTime, Listed, Member, OnePoint, Text, Utc

metadata = sa.MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


def _pack_point(point: PointPx | None) -> list[float] | None:
    return None if point is None else [point.x, point.y]


def _unpack_point(pair: list[float] | None) -> PointPx | None:
    return None if pair is None else PointPx(*pair)


def _pack_line_point(point: LinePoint) -> list[Any]:
    return [_pack_point(point.at), point.bolt_number, _pack_point(point.head)]


def _unpack_line_point(packed: list[Any]) -> LinePoint:
    at, bolt_number, head = packed
    return LinePoint(PointPx(*at), bolt_number, _unpack_point(head))


def _same(value: Any) -> Any:
    return value


POINTS = Listed(_pack_point, _unpack_point)
LINE_POINTS = Listed(_pack_line_point, _unpack_line_point)
PLAIN = Listed(_same, _same)
KEYS = Listed(str, UUID)
CAUTIONS = Listed(lambda caution: caution.value, Caution)


def _needed(name: str, kind: Any) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=False)


def _text(name: str) -> sa.Column[Any]:
    return _needed(name, Text())


def _texts(*names: str) -> list[sa.Column[Any]]:
    return [_text(name) for name in names]


def _numbers(*names: str) -> list[sa.Column[Any]]:
    return [sa.Column(name, sa.Float) for name in names]


def _known_numbers(*names: str) -> list[sa.Column[Any]]:
    return [_needed(name, sa.Float()) for name in names]


def _count(name: str) -> sa.Column[Any]:
    return _needed(name, sa.Integer())


def _truth(name: str) -> sa.Column[Any]:
    return _needed(name, sa.Boolean())


def _member(name: str, kind: type[Enum], *, is_needed: bool = True) -> sa.Column[Any]:
    return sa.Column(name, Member(kind), nullable=not is_needed)


def _key(table: str, name: str | None = None, *, is_needed: bool = True) -> sa.Column[Any]:
    target = sa.ForeignKey(f"{table}.id", ondelete="RESTRICT")
    return sa.Column(name or f"{table}_id", sa.Uuid, target, nullable=not is_needed, index=True)


def _table(name: str, *columns: sa.schema.SchemaItem) -> sa.Table:
    return sa.Table(
        name,
        metadata,
        sa.Column("id", sa.Uuid, primary_key=True),
        _count("version"),
        *columns,
    )


TABLES: dict[type[Any], sa.Table] = {
    Engine: _table("engine", *_texts("name", "description"), *_numbers("oil_capacity_ml")),
    Face: _table(
        "face", _key("engine"), _member("side", FaceSide), _text("name"), _count("position")
    ),
    Zone: _table(
        "zone",
        _key("face"),
        _text("name"),
        _count("position"),
        # No foreign key: a photo knows its zone, and a circle could not be removed.
        sa.Column("reference_photo_id", sa.Uuid),
    ),
    Joint: _table(
        "joint",
        _key("zone"),
        _text("name"),
        _member("seal_kind", SealKind),
        _truth("is_closed"),
        *_numbers("length_mm"),
        _count("position"),
        _text("note"),
    ),
    Bolt: _table(
        "bolt",
        _key("joint"),
        _count("number"),
        *_numbers("station_mm"),
        sa.Column("opens_into_oil", sa.Boolean),
        _text("note"),
        sa.UniqueConstraint("joint_id", "number"),
    ),
    TestRun: _table(
        "test_run",
        _key("engine"),
        _needed("started_at", Utc()),
        *_numbers("minutes", "distance_km", "highest_rpm", "oil_c", "coolant_c", "ambient_c"),
        *_numbers("oil_before_ml", "oil_after_ml", "oil_added_ml"),
        *_texts("load", "oil_grade", "note"),
        _needed("unknown_facts", PLAIN),
    ),
    Inspection: _table(
        "inspection",
        _key("engine"),
        _key("test_run", is_needed=False),
        _needed("looked_at", Utc()),
        _truth("is_baseline"),
        *_texts("title", "oil_grade", "load", "cleaned_how", "done_by", "note"),
        *_numbers("engine_hours", "distance_since_seal_km", "minutes_since_shutdown", "oil_c"),
        *_numbers("ambient_c", "oil_added_ml", "pitch_deg", "roll_deg", "crankcase_mmh2o"),
        _member("airflow", Airflow, is_needed=False),
        sa.Column("cleaned_at", Utc),
        _member("light", Light, is_needed=False),
        sa.Column("has_dye", sa.Boolean),
        _needed("unknown_facts", PLAIN),
    ),
    Reading: _table(
        "reading",
        _key("test_run", is_needed=False),
        _key("inspection", is_needed=False),
        *_known_numbers("value"),
        *_texts("name", "unit", "note"),
    ),
    Check: _table(
        "check",
        _key("engine"),
        _key("joint", is_needed=False),
        *_texts("name", "finding", "implies"),
        _member("kind", CheckKind),
        sa.Column("done_at", Utc),
        _member("result", CheckResult),
        _truth("rides_along"),
    ),
    Photo: _table(
        "photo",
        sa.Column("sha256", Text, nullable=False, unique=True),
        *_texts("file_type", "original_name", "scale_source", "note"),
        _needed("size_bytes", sa.BigInteger()),
        _count("width_px"),
        _count("height_px"),
        _count("orientation"),
        sa.Column("taken", CameraTime),
        _key("zone", is_needed=False),
        _key("inspection", is_needed=False),
        _key("check", is_needed=False),
        _member("light", Light, is_needed=False),
        *_numbers("mm_per_px"),
    ),
    JointLine: _table(
        "joint_line",
        _key("joint"),
        _key("photo"),
        _needed("points", LINE_POINTS),
        sa.UniqueConstraint("joint_id", "photo_id"),
    ),
    Clip: _table(
        "clip",
        *_texts("name", "path", "sha256", "note"),
        _needed("size_bytes", sa.BigInteger()),
        _needed("duration_ms", sa.BigInteger()),
        _count("width_px"),
        _count("height_px"),
        sa.Column("recorded", CameraTime),
    ),
    Material: _table("material", *_texts("name", "colour", "note"), _member("seal_kind", SealKind)),
    SealingRule: _table(
        "sealing_rule",
        _key("material"),
        _member("closing", Closing, is_needed=False),
        _member("bead_place", BeadPlace, is_needed=False),
        *_numbers("open_time_min", "skin_time_min", "cure_before_filling_h"),
        *_numbers("cure_before_running_h", "bead_min_mm", "bead_max_mm", "lowest_c", "highest_c"),
        _text("source"),
    ),
    SealingJob: _table(
        "sealing_job",
        _key("joint"),
        _needed("done_at", Utc()),
        _key("material", is_needed=False),
        _key("sealing_job", "supersedes_id", is_needed=False),
        *_numbers("bead_mm", "temperature_c", "humidity_percent"),
        _member("bead_place", BeadPlace, is_needed=False),
        sa.Column("bead_laid_at", Utc),
        sa.Column("closed_at", Utc),
        sa.Column("filled_at", Utc),
        *_texts("surface_work", "done_by", "note"),
        _needed("unknown_facts", PLAIN),
    ),
    TorquePass: _table(
        "torque_pass",
        _key("sealing_job"),
        _count("number"),
        *_numbers("torque_nm", "angle_deg"),
        *_texts("sequence", "tool"),
        _needed("bolt_numbers", PLAIN),
        sa.Column("done_at", Utc),
    ),
    Part: _table(
        "part",
        _key("sealing_job"),
        *_texts("name", "note"),
        _truth("is_single_use"),
        _member("condition", PartCondition),
    ),
    Evidence: _table(
        "evidence",
        _key("sealing_job"),
        _key("photo", is_needed=False),
        _key("clip", is_needed=False),
        sa.Column("start_ms", sa.BigInteger),
        sa.Column("end_ms", sa.BigInteger),
        _text("note"),
    ),
    Leak: _table(
        "leak", _key("zone"), _count("number"), _key("joint", is_needed=False), _text("note")
    ),
    LeakMark: _table(
        "leak_mark",
        _key("leak"),
        _key("photo"),
        _member("grade", SeepageGrade),
        sa.Column("source_px", OnePoint),
        _needed("outline_px", POINTS),
        _member("fluid", Fluid),
        sa.Column("has_hanging_drop", sa.Boolean),
        *_numbers("drops_per_minute", "reappears_after_min"),
        sa.Column("did_reappear", sa.Boolean),
        _text("note"),
    ),
    Cause: _table(
        "cause",
        _key("leak"),
        _key("sealing_job"),
        _key("bolt", is_needed=False),
        _member("state", CauseState),
        *_texts("reason", "decided_by"),
        _needed("decided_at", Utc()),
    ),
    AccessStep: _table(
        "access_step",
        _key("engine"),
        _text("name"),
        *_known_numbers("hours", "refit_hours", "money"),
        _truth("is_done"),
        _needed("needs", KEYS),
        _needed("cautions", CAUTIONS),
        _count("position"),
    ),
    RedoTask: _table(
        "redo_task",
        _key("engine"),
        _text("name"),
        _key("joint", is_needed=False),
        _key("check", is_needed=False),
        *_known_numbers("hours", "money", "cure_h"),
        _needed("needs", KEYS),
        _needed("cautions", CAUTIONS),
        _truth("is_done"),
    ),
    RedoPlan: _table(
        "redo_plan",
        _key("engine"),
        _needed("made_at", Utc()),
        _needed("task_ids", KEYS),
        *_known_numbers("hours", "money"),
        _text("note"),
    ),
}
"""The table of each kind of record; parents stand before what points at them."""
