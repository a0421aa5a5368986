"""The first version: every table, as it was then."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    _table(
        "clip",
        *_needed(sa.Text, "name", "path", "sha256", "note"),
        *_needed(sa.BigInteger, "size_bytes", "duration_ms"),
        *_needed(sa.Integer, "width_px", "height_px"),
        *_optional(sa.Text, "recorded"),
    )
    _table(
        "engine",
        *_needed(sa.Text, "name", "description"),
        *_optional(sa.Float, "oil_capacity_ml"),
    )
    _table(
        "material",
        *_needed(sa.Text, "name", "colour", "note", "seal_kind"),
    )
    _table(
        "access_step",
        _key("engine_id", "engine"),
        *_needed(sa.Text, "name", "needs", "cautions"),
        *_needed(sa.Float, "hours", "refit_hours", "money"),
        *_needed(sa.Boolean, "is_done"),
        *_needed(sa.Integer, "position"),
    )
    _table(
        "face",
        _key("engine_id", "engine"),
        *_needed(sa.Text, "side", "name"),
        *_needed(sa.Integer, "position"),
    )
    _table(
        "redo_plan",
        _key("engine_id", "engine"),
        *_needed(sa.DateTime, "made_at"),
        *_needed(sa.Text, "task_ids", "note"),
        *_needed(sa.Float, "hours", "money"),
    )
    _table(
        "sealing_rule",
        _key("material_id", "material"),
        *_optional(sa.Text, "closing", "bead_place"),
        *_optional(
            sa.Float,
            "open_time_min",
            "skin_time_min",
            "cure_before_filling_h",
            "cure_before_running_h",
            "bead_min_mm",
            "bead_max_mm",
            "lowest_c",
            "highest_c",
        ),
        *_needed(sa.Text, "source"),
    )
    _table(
        "test_run",
        _key("engine_id", "engine"),
        *_needed(sa.DateTime, "started_at"),
        *_optional(
            sa.Float,
            "minutes",
            "distance_km",
            "highest_rpm",
            "oil_c",
            "coolant_c",
            "ambient_c",
            "oil_before_ml",
            "oil_after_ml",
            "oil_added_ml",
        ),
        *_needed(sa.Text, "load", "oil_grade", "note", "unknown_facts"),
    )
    _table(
        "inspection",
        _key("engine_id", "engine"),
        _key("test_run_id", "test_run", is_needed=False),
        *_needed(sa.DateTime, "looked_at"),
        *_needed(sa.Boolean, "is_baseline"),
        *_needed(
            sa.Text, "title", "oil_grade", "load", "cleaned_how", "done_by", "note", "unknown_facts"
        ),
        *_optional(
            sa.Float,
            "engine_hours",
            "distance_since_seal_km",
            "minutes_since_shutdown",
            "oil_c",
            "ambient_c",
            "oil_added_ml",
            "pitch_deg",
            "roll_deg",
            "crankcase_mmh2o",
        ),
        *_optional(sa.Text, "airflow", "light"),
        *_optional(sa.DateTime, "cleaned_at"),
        *_optional(sa.Boolean, "has_dye"),
    )
    _table(
        "zone",
        _key("face_id", "face"),
        *_needed(sa.Text, "name"),
        *_needed(sa.Integer, "position"),
        *_optional(sa.Uuid, "reference_photo_id"),
    )
    _table(
        "joint",
        _key("zone_id", "zone"),
        *_needed(sa.Text, "name", "seal_kind", "note"),
        *_needed(sa.Boolean, "is_closed"),
        *_optional(sa.Float, "length_mm"),
        *_needed(sa.Integer, "position"),
    )
    _table(
        "reading",
        _key("test_run_id", "test_run", is_needed=False),
        _key("inspection_id", "inspection", is_needed=False),
        *_needed(sa.Float, "value"),
        *_needed(sa.Text, "name", "unit", "note"),
    )
    _table(
        "bolt",
        _key("joint_id", "joint"),
        *_needed(sa.Integer, "number"),
        *_optional(sa.Float, "station_mm"),
        *_optional(sa.Boolean, "opens_into_oil"),
        *_needed(sa.Text, "note"),
        _unique("bolt", "joint_id", "number"),
    )
    _table(
        "check",
        _key("engine_id", "engine"),
        _key("joint_id", "joint", is_needed=False),
        *_needed(sa.Text, "name", "finding", "implies", "kind", "result"),
        *_optional(sa.DateTime, "done_at"),
        *_needed(sa.Boolean, "rides_along"),
    )
    _table(
        "leak",
        _key("zone_id", "zone"),
        _key("joint_id", "joint", is_needed=False),
        *_needed(sa.Integer, "number"),
        *_needed(sa.Text, "note"),
    )
    _table(
        "sealing_job",
        _key("joint_id", "joint"),
        _key("material_id", "material", is_needed=False),
        _key("supersedes_id", "sealing_job", is_needed=False),
        *_needed(sa.DateTime, "done_at"),
        *_optional(sa.Float, "bead_mm", "temperature_c", "humidity_percent"),
        *_optional(sa.Text, "bead_place"),
        *_optional(sa.DateTime, "bead_laid_at", "closed_at", "filled_at"),
        *_needed(sa.Text, "surface_work", "done_by", "note", "unknown_facts"),
    )
    _table(
        "cause",
        _key("leak_id", "leak"),
        _key("sealing_job_id", "sealing_job"),
        _key("bolt_id", "bolt", is_needed=False),
        *_needed(sa.Text, "state", "reason", "decided_by"),
        *_needed(sa.DateTime, "decided_at"),
    )
    _table(
        "part",
        _key("sealing_job_id", "sealing_job"),
        *_needed(sa.Text, "name", "note", "condition"),
        *_needed(sa.Boolean, "is_single_use"),
    )
    _table(
        "photo",
        _key("zone_id", "zone", is_needed=False),
        _key("inspection_id", "inspection", is_needed=False),
        _key("check_id", "check", is_needed=False),
        *_needed(sa.Text, "sha256", "file_type", "original_name", "scale_source", "note"),
        *_needed(sa.BigInteger, "size_bytes"),
        *_needed(sa.Integer, "width_px", "height_px", "orientation"),
        *_optional(sa.Text, "taken", "light"),
        *_optional(sa.Float, "mm_per_px"),
        _unique("photo", "sha256"),
    )
    _table(
        "redo_task",
        _key("engine_id", "engine"),
        _key("joint_id", "joint", is_needed=False),
        _key("check_id", "check", is_needed=False),
        *_needed(sa.Text, "name", "needs", "cautions"),
        *_needed(sa.Float, "hours", "money", "cure_h"),
        *_needed(sa.Boolean, "is_done"),
    )
    _table(
        "torque_pass",
        _key("sealing_job_id", "sealing_job"),
        *_needed(sa.Integer, "number"),
        *_optional(sa.Float, "torque_nm", "angle_deg"),
        *_needed(sa.Text, "sequence", "tool", "bolt_numbers"),
        *_optional(sa.DateTime, "done_at"),
    )
    _table(
        "evidence",
        _key("sealing_job_id", "sealing_job"),
        _key("photo_id", "photo", is_needed=False),
        _key("clip_id", "clip", is_needed=False),
        *_optional(sa.BigInteger, "start_ms", "end_ms"),
        *_needed(sa.Text, "note"),
    )
    _table(
        "joint_line",
        _key("joint_id", "joint"),
        _key("photo_id", "photo"),
        *_needed(sa.Text, "points"),
        _unique("joint_line", "joint_id", "photo_id"),
    )
    _table(
        "leak_mark",
        _key("leak_id", "leak"),
        _key("photo_id", "photo"),
        *_needed(sa.Text, "grade", "outline_px", "fluid", "note"),
        *_optional(sa.Text, "source_px"),
        *_optional(sa.Boolean, "has_hanging_drop", "did_reappear"),
        *_optional(sa.Float, "drops_per_minute", "reappears_after_min"),
    )


def downgrade() -> None:
    op.drop_table("leak_mark")
    op.drop_table("joint_line")
    op.drop_table("evidence")
    op.drop_table("torque_pass")
    op.drop_table("redo_task")
    op.drop_table("photo")
    op.drop_table("part")
    op.drop_table("cause")
    op.drop_table("sealing_job")
    op.drop_table("leak")
    op.drop_table("check")
    op.drop_table("bolt")
    op.drop_table("reading")
    op.drop_table("joint")
    op.drop_table("zone")
    op.drop_table("inspection")
    op.drop_table("test_run")
    op.drop_table("sealing_rule")
    op.drop_table("redo_plan")
    op.drop_table("face")
    op.drop_table("access_step")
    op.drop_table("material")
    op.drop_table("engine")
    op.drop_table("clip")


def _table(name: str, *parts: sa.schema.SchemaItem) -> None:
    """Create a table whose rows have a key and a version, with an index on what it points at."""
    key = sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{name}"))
    table = op.create_table(
        name, *_needed(sa.Uuid, "id"), *_needed(sa.Integer, "version"), *parts, key
    )
    for column in table.c:
        if column.foreign_keys:
            op.create_index(op.f(f"ix_{name}_{column.name}"), name, [column.name])


def _needed(kind: Any, *names: str) -> list[sa.Column[Any]]:
    return [sa.Column(name, kind(), nullable=False) for name in names]


def _optional(kind: Any, *names: str) -> list[sa.Column[Any]]:
    return [sa.Column(name, kind(), nullable=True) for name in names]


def _key(name: str, target: str, *, is_needed: bool = True) -> sa.Column[Any]:
    return sa.Column(
        name,
        sa.Uuid(),
        sa.ForeignKey(f"{target}.id", ondelete="RESTRICT"),
        nullable=not is_needed,
    )


def _unique(table: str, *names: str) -> sa.UniqueConstraint:
    return sa.UniqueConstraint(*names, name=op.f(f"uq_{table}_{'_'.join(names)}"))
