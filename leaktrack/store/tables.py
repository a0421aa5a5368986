"""All tables: one for each kind of record, with a column for each of its fields.

A row without its ``version`` is the record's arguments, so nothing needs to be mapped by hand.
"""

from typing import Any

import sqlalchemy as sa

from leaktrack.model.bead_audit import BeadAudit, BeadVerdict
from leaktrack.model.engine import (
    Bolt,
    Engine,
    Face,
    FaceSide,
    Joint,
    JointLine,
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
from leaktrack.model.trace import Cause, CauseState
from leaktrack.store.column_types import CameraTime, OnePoint, Text, Utc
from leaktrack.store.columns import (
    CAUTIONS,
    KEYS,
    LINE_POINTS,
    PLAIN,
    POINTS,
    count,
    key,
    known_numbers,
    member,
    needed,
    numbers,
    text,
    texts,
    truth,
    what_a_bead_shows,
)

metadata = sa.MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


def _table(name: str, *columns: sa.schema.SchemaItem) -> sa.Table:
    return sa.Table(
        name,
        metadata,
        sa.Column("id", sa.Uuid, primary_key=True),
        count("version"),
        *columns,
    )


TABLES: dict[type[Any], sa.Table] = {
    Engine: _table("engine", *texts("name", "description"), *numbers("oil_capacity_ml")),
    Face: _table("face", key("engine"), member("side", FaceSide), text("name"), count("position")),
    Zone: _table(
        "zone",
        key("face"),
        text("name"),
        count("position"),
        # No foreign key: a photo knows its zone, and a circle could not be removed.
        sa.Column("reference_photo_id", sa.Uuid),
    ),
    Joint: _table(
        "joint",
        key("zone"),
        text("name"),
        member("seal_kind", SealKind),
        truth("is_closed"),
        *numbers("length_mm"),
        count("position"),
        text("note"),
    ),
    Bolt: _table(
        "bolt",
        key("joint"),
        count("number"),
        *numbers("station_mm"),
        sa.Column("opens_into_oil", sa.Boolean),
        text("note"),
        sa.UniqueConstraint("joint_id", "number"),
    ),
    TestRun: _table(
        "test_run",
        key("engine"),
        needed("started_at", Utc()),
        *numbers("minutes", "distance_km", "highest_rpm", "oil_c", "coolant_c", "ambient_c"),
        *numbers("oil_before_ml", "oil_after_ml", "oil_added_ml"),
        *texts("load", "oil_grade", "note"),
        needed("unknown_facts", PLAIN),
    ),
    Inspection: _table(
        "inspection",
        key("engine"),
        key("test_run", is_needed=False),
        needed("looked_at", Utc()),
        truth("is_baseline"),
        *texts("title", "oil_grade", "load", "cleaned_how", "done_by", "note"),
        *numbers("engine_hours", "distance_since_seal_km", "minutes_since_shutdown", "oil_c"),
        *numbers("ambient_c", "oil_added_ml", "pitch_deg", "roll_deg", "crankcase_mmh2o"),
        member("airflow", Airflow, is_needed=False),
        sa.Column("cleaned_at", Utc),
        member("light", Light, is_needed=False),
        sa.Column("has_dye", sa.Boolean),
        needed("unknown_facts", PLAIN),
    ),
    Reading: _table(
        "reading",
        key("test_run", is_needed=False),
        key("inspection", is_needed=False),
        *known_numbers("value"),
        *texts("name", "unit", "note"),
    ),
    Check: _table(
        "check",
        key("engine"),
        key("joint", is_needed=False),
        *texts("name", "finding", "implies"),
        member("kind", CheckKind),
        sa.Column("done_at", Utc),
        member("result", CheckResult),
        truth("rides_along"),
    ),
    Photo: _table(
        "photo",
        sa.Column("sha256", Text, nullable=False, unique=True),
        *texts("file_type", "original_name", "scale_source", "note"),
        needed("size_bytes", sa.BigInteger()),
        count("width_px"),
        count("height_px"),
        count("orientation"),
        sa.Column("taken", CameraTime),
        key("zone", is_needed=False),
        key("inspection", is_needed=False),
        key("check", is_needed=False),
        member("light", Light, is_needed=False),
        *numbers("mm_per_px", "down_deg", "air_deg"),
    ),
    JointLine: _table(
        "joint_line",
        key("joint"),
        key("photo"),
        needed("points", LINE_POINTS),
        sa.UniqueConstraint("joint_id", "photo_id"),
    ),
    Clip: _table(
        "clip",
        *texts("name", "path", "sha256", "note"),
        needed("size_bytes", sa.BigInteger()),
        needed("duration_ms", sa.BigInteger()),
        count("width_px"),
        count("height_px"),
        sa.Column("recorded", CameraTime),
    ),
    Material: _table("material", *texts("name", "colour", "note"), member("seal_kind", SealKind)),
    SealingRule: _table(
        "sealing_rule",
        key("material"),
        member("closing", Closing, is_needed=False),
        member("bead_place", BeadPlace, is_needed=False),
        *numbers("open_time_min", "skin_time_min", "cure_before_filling_h"),
        *numbers("cure_before_running_h", "bead_min_mm", "bead_max_mm", "lowest_c", "highest_c"),
        text("source"),
    ),
    SealingJob: _table(
        "sealing_job",
        key("joint"),
        needed("done_at", Utc()),
        key("material", is_needed=False),
        key("sealing_job", "supersedes_id", is_needed=False),
        *numbers("bead_mm", "temperature_c", "humidity_percent"),
        member("bead_place", BeadPlace, is_needed=False),
        sa.Column("bead_laid_at", Utc),
        sa.Column("closed_at", Utc),
        sa.Column("filled_at", Utc),
        *texts("surface_work", "done_by", "note"),
        needed("unknown_facts", PLAIN),
    ),
    TorquePass: _table(
        "torque_pass",
        key("sealing_job"),
        count("number"),
        *numbers("torque_nm", "angle_deg"),
        *texts("sequence", "tool"),
        needed("bolt_numbers", PLAIN),
        sa.Column("done_at", Utc),
    ),
    Part: _table(
        "part",
        key("sealing_job"),
        *texts("name", "note"),
        truth("is_single_use"),
        member("condition", PartCondition),
    ),
    Evidence: _table(
        "evidence",
        key("sealing_job"),
        key("photo", is_needed=False),
        key("clip", is_needed=False),
        sa.Column("start_ms", sa.BigInteger),
        sa.Column("end_ms", sa.BigInteger),
        text("note"),
    ),
    BeadAudit: _table(
        "bead_audit",
        key("sealing_job"),
        key("photo"),
        needed("made_at", Utc()),
        member("verdict", BeadVerdict),
        *texts("unit", "tolerance_source"),
        *numbers("nominal", "narrowest", "widest", "mm_per_px"),
        *what_a_bead_shows(),
    ),
    Leak: _table("leak", key("zone"), count("number"), key("joint", is_needed=False), text("note")),
    LeakMark: _table(
        "leak_mark",
        key("leak"),
        key("photo"),
        member("grade", SeepageGrade),
        sa.Column("source_px", OnePoint),
        needed("outline_px", POINTS),
        member("fluid", Fluid),
        sa.Column("has_hanging_drop", sa.Boolean),
        *numbers("drops_per_minute", "reappears_after_min"),
        sa.Column("did_reappear", sa.Boolean),
        text("note"),
    ),
    Cause: _table(
        "cause",
        key("leak"),
        key("sealing_job"),
        key("bolt", is_needed=False),
        member("state", CauseState),
        *texts("reason", "decided_by"),
        needed("decided_at", Utc()),
    ),
    AccessStep: _table(
        "access_step",
        key("engine"),
        text("name"),
        *known_numbers("hours", "refit_hours", "money"),
        truth("is_done"),
        needed("needs", KEYS),
        needed("cautions", CAUTIONS),
        count("position"),
    ),
    RedoTask: _table(
        "redo_task",
        key("engine"),
        text("name"),
        key("joint", is_needed=False),
        key("check", is_needed=False),
        *known_numbers("hours", "money", "cure_h"),
        needed("needs", KEYS),
        needed("cautions", CAUTIONS),
        truth("is_done"),
    ),
    RedoPlan: _table(
        "redo_plan",
        key("engine"),
        needed("made_at", Utc()),
        needed("task_ids", KEYS),
        *known_numbers("hours", "money"),
        text("note"),
    ),
}
"""The table of each kind of record; parents stand before what points at them."""
