"""The first version: every table."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "clip",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("size_bytes", sa.BigInteger(), nullable=False),
        sa.Column("duration_ms", sa.BigInteger(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("recorded", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clip")),
    )
    op.create_table(
        "engine",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("description", sa.Text(), nullable=False),
        sa.Column("oil_capacity_ml", sa.Float(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_engine")),
    )
    op.create_table(
        "material",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("colour", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("seal_kind", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_material")),
    )
    op.create_table(
        "access_step",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("hours", sa.Float(), nullable=False),
        sa.Column("refit_hours", sa.Float(), nullable=False),
        sa.Column("money", sa.Float(), nullable=False),
        sa.Column("is_done", sa.Boolean(), nullable=False),
        sa.Column("needs", sa.Text(), nullable=False),
        sa.Column("cautions", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name=op.f("fk_access_step_engine_id_engine"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_access_step")),
    )
    op.create_index(op.f("ix_access_step_engine_id"), "access_step", ["engine_id"], unique=False)
    op.create_table(
        "face",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("side", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["engine_id"], ["engine.id"], name=op.f("fk_face_engine_id_engine"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_face")),
    )
    op.create_index(op.f("ix_face_engine_id"), "face", ["engine_id"], unique=False)
    op.create_table(
        "redo_plan",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("task_ids", sa.Text(), nullable=False),
        sa.Column("hours", sa.Float(), nullable=False),
        sa.Column("money", sa.Float(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name=op.f("fk_redo_plan_engine_id_engine"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_redo_plan")),
    )
    op.create_index(op.f("ix_redo_plan_engine_id"), "redo_plan", ["engine_id"], unique=False)
    op.create_table(
        "sealing_rule",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("material_id", sa.Uuid(), nullable=False),
        sa.Column("closing", sa.Text(), nullable=True),
        sa.Column("bead_place", sa.Text(), nullable=True),
        sa.Column("open_time_min", sa.Float(), nullable=True),
        sa.Column("skin_time_min", sa.Float(), nullable=True),
        sa.Column("cure_before_filling_h", sa.Float(), nullable=True),
        sa.Column("cure_before_running_h", sa.Float(), nullable=True),
        sa.Column("bead_min_mm", sa.Float(), nullable=True),
        sa.Column("bead_max_mm", sa.Float(), nullable=True),
        sa.Column("lowest_c", sa.Float(), nullable=True),
        sa.Column("highest_c", sa.Float(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["material_id"],
            ["material.id"],
            name=op.f("fk_sealing_rule_material_id_material"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sealing_rule")),
    )
    op.create_index(
        op.f("ix_sealing_rule_material_id"), "sealing_rule", ["material_id"], unique=False
    )
    op.create_table(
        "test_run",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("started_at", sa.DateTime(), nullable=False),
        sa.Column("minutes", sa.Float(), nullable=True),
        sa.Column("distance_km", sa.Float(), nullable=True),
        sa.Column("highest_rpm", sa.Float(), nullable=True),
        sa.Column("oil_c", sa.Float(), nullable=True),
        sa.Column("coolant_c", sa.Float(), nullable=True),
        sa.Column("ambient_c", sa.Float(), nullable=True),
        sa.Column("oil_before_ml", sa.Float(), nullable=True),
        sa.Column("oil_after_ml", sa.Float(), nullable=True),
        sa.Column("oil_added_ml", sa.Float(), nullable=True),
        sa.Column("load", sa.Text(), nullable=False),
        sa.Column("oil_grade", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("unknown_facts", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name=op.f("fk_test_run_engine_id_engine"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_test_run")),
    )
    op.create_index(op.f("ix_test_run_engine_id"), "test_run", ["engine_id"], unique=False)
    op.create_table(
        "inspection",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("test_run_id", sa.Uuid(), nullable=True),
        sa.Column("looked_at", sa.DateTime(), nullable=False),
        sa.Column("is_baseline", sa.Boolean(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("oil_grade", sa.Text(), nullable=False),
        sa.Column("load", sa.Text(), nullable=False),
        sa.Column("cleaned_how", sa.Text(), nullable=False),
        sa.Column("done_by", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("engine_hours", sa.Float(), nullable=True),
        sa.Column("distance_since_seal_km", sa.Float(), nullable=True),
        sa.Column("minutes_since_shutdown", sa.Float(), nullable=True),
        sa.Column("oil_c", sa.Float(), nullable=True),
        sa.Column("ambient_c", sa.Float(), nullable=True),
        sa.Column("oil_added_ml", sa.Float(), nullable=True),
        sa.Column("pitch_deg", sa.Float(), nullable=True),
        sa.Column("roll_deg", sa.Float(), nullable=True),
        sa.Column("crankcase_mmh2o", sa.Float(), nullable=True),
        sa.Column("airflow", sa.Text(), nullable=True),
        sa.Column("cleaned_at", sa.DateTime(), nullable=True),
        sa.Column("light", sa.Text(), nullable=True),
        sa.Column("has_dye", sa.Boolean(), nullable=True),
        sa.Column("unknown_facts", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name=op.f("fk_inspection_engine_id_engine"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["test_run_id"],
            ["test_run.id"],
            name=op.f("fk_inspection_test_run_id_test_run"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inspection")),
    )
    op.create_index(op.f("ix_inspection_engine_id"), "inspection", ["engine_id"], unique=False)
    op.create_index(op.f("ix_inspection_test_run_id"), "inspection", ["test_run_id"], unique=False)
    op.create_table(
        "zone",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("face_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("reference_photo_id", sa.Uuid(), nullable=True),
        sa.ForeignKeyConstraint(
            ["face_id"], ["face.id"], name=op.f("fk_zone_face_id_face"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_zone")),
    )
    op.create_index(op.f("ix_zone_face_id"), "zone", ["face_id"], unique=False)
    op.create_table(
        "joint",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("zone_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("seal_kind", sa.Text(), nullable=False),
        sa.Column("is_closed", sa.Boolean(), nullable=False),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["zone_id"], ["zone.id"], name=op.f("fk_joint_zone_id_zone"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_joint")),
    )
    op.create_index(op.f("ix_joint_zone_id"), "joint", ["zone_id"], unique=False)
    op.create_table(
        "reading",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("test_run_id", sa.Uuid(), nullable=True),
        sa.Column("inspection_id", sa.Uuid(), nullable=True),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["inspection_id"],
            ["inspection.id"],
            name=op.f("fk_reading_inspection_id_inspection"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["test_run_id"],
            ["test_run.id"],
            name=op.f("fk_reading_test_run_id_test_run"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
    )
    op.create_index(op.f("ix_reading_inspection_id"), "reading", ["inspection_id"], unique=False)
    op.create_index(op.f("ix_reading_test_run_id"), "reading", ["test_run_id"], unique=False)
    op.create_table(
        "bolt",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("joint_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("station_mm", sa.Float(), nullable=True),
        sa.Column("opens_into_oil", sa.Boolean(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["joint_id"], ["joint.id"], name=op.f("fk_bolt_joint_id_joint"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bolt")),
        sa.UniqueConstraint("joint_id", "number", name=op.f("uq_bolt_joint_id_number")),
    )
    op.create_index(op.f("ix_bolt_joint_id"), "bolt", ["joint_id"], unique=False)
    op.create_table(
        "check",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("joint_id", sa.Uuid(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("finding", sa.Text(), nullable=False),
        sa.Column("implies", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("done_at", sa.DateTime(), nullable=True),
        sa.Column("result", sa.Text(), nullable=False),
        sa.Column("rides_along", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name=op.f("fk_check_engine_id_engine"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["joint_id"], ["joint.id"], name=op.f("fk_check_joint_id_joint"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_check")),
    )
    op.create_index(op.f("ix_check_engine_id"), "check", ["engine_id"], unique=False)
    op.create_index(op.f("ix_check_joint_id"), "check", ["joint_id"], unique=False)
    op.create_table(
        "leak",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("zone_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("joint_id", sa.Uuid(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["joint_id"], ["joint.id"], name=op.f("fk_leak_joint_id_joint"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["zone_id"], ["zone.id"], name=op.f("fk_leak_zone_id_zone"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_leak")),
    )
    op.create_index(op.f("ix_leak_joint_id"), "leak", ["joint_id"], unique=False)
    op.create_index(op.f("ix_leak_zone_id"), "leak", ["zone_id"], unique=False)
    op.create_table(
        "sealing_job",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("joint_id", sa.Uuid(), nullable=False),
        sa.Column("done_at", sa.DateTime(), nullable=False),
        sa.Column("material_id", sa.Uuid(), nullable=True),
        sa.Column("supersedes_id", sa.Uuid(), nullable=True),
        sa.Column("bead_mm", sa.Float(), nullable=True),
        sa.Column("temperature_c", sa.Float(), nullable=True),
        sa.Column("humidity_percent", sa.Float(), nullable=True),
        sa.Column("bead_place", sa.Text(), nullable=True),
        sa.Column("bead_laid_at", sa.DateTime(), nullable=True),
        sa.Column("closed_at", sa.DateTime(), nullable=True),
        sa.Column("filled_at", sa.DateTime(), nullable=True),
        sa.Column("surface_work", sa.Text(), nullable=False),
        sa.Column("done_by", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("unknown_facts", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["joint_id"],
            ["joint.id"],
            name=op.f("fk_sealing_job_joint_id_joint"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["material_id"],
            ["material.id"],
            name=op.f("fk_sealing_job_material_id_material"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["supersedes_id"],
            ["sealing_job.id"],
            name=op.f("fk_sealing_job_supersedes_id_sealing_job"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sealing_job")),
    )
    op.create_index(op.f("ix_sealing_job_joint_id"), "sealing_job", ["joint_id"], unique=False)
    op.create_index(
        op.f("ix_sealing_job_material_id"), "sealing_job", ["material_id"], unique=False
    )
    op.create_index(
        op.f("ix_sealing_job_supersedes_id"), "sealing_job", ["supersedes_id"], unique=False
    )
    op.create_table(
        "cause",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("leak_id", sa.Uuid(), nullable=False),
        sa.Column("sealing_job_id", sa.Uuid(), nullable=False),
        sa.Column("bolt_id", sa.Uuid(), nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("decided_by", sa.Text(), nullable=False),
        sa.Column("decided_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["bolt_id"], ["bolt.id"], name=op.f("fk_cause_bolt_id_bolt"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["leak_id"], ["leak.id"], name=op.f("fk_cause_leak_id_leak"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["sealing_job_id"],
            ["sealing_job.id"],
            name=op.f("fk_cause_sealing_job_id_sealing_job"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cause")),
    )
    op.create_index(op.f("ix_cause_bolt_id"), "cause", ["bolt_id"], unique=False)
    op.create_index(op.f("ix_cause_leak_id"), "cause", ["leak_id"], unique=False)
    op.create_index(op.f("ix_cause_sealing_job_id"), "cause", ["sealing_job_id"], unique=False)
    op.create_table(
        "part",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("sealing_job_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("is_single_use", sa.Boolean(), nullable=False),
        sa.Column("condition", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["sealing_job_id"],
            ["sealing_job.id"],
            name=op.f("fk_part_sealing_job_id_sealing_job"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
    )
    op.create_index(op.f("ix_part_sealing_job_id"), "part", ["sealing_job_id"], unique=False)
    op.create_table(
        "photo",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("file_type", sa.Text(), nullable=False),
        sa.Column("original_name", sa.Text(), nullable=False),
        sa.Column("scale_source", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("size_bytes", sa.BigInteger(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("orientation", sa.Integer(), nullable=False),
        sa.Column("taken", sa.Text(), nullable=True),
        sa.Column("zone_id", sa.Uuid(), nullable=True),
        sa.Column("inspection_id", sa.Uuid(), nullable=True),
        sa.Column("check_id", sa.Uuid(), nullable=True),
        sa.Column("light", sa.Text(), nullable=True),
        sa.Column("mm_per_px", sa.Float(), nullable=True),
        sa.ForeignKeyConstraint(
            ["check_id"], ["check.id"], name=op.f("fk_photo_check_id_check"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["inspection_id"],
            ["inspection.id"],
            name=op.f("fk_photo_inspection_id_inspection"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["zone_id"], ["zone.id"], name=op.f("fk_photo_zone_id_zone"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photo")),
        sa.UniqueConstraint("sha256", name=op.f("uq_photo_sha256")),
    )
    op.create_index(op.f("ix_photo_check_id"), "photo", ["check_id"], unique=False)
    op.create_index(op.f("ix_photo_inspection_id"), "photo", ["inspection_id"], unique=False)
    op.create_index(op.f("ix_photo_zone_id"), "photo", ["zone_id"], unique=False)
    op.create_table(
        "redo_task",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("joint_id", sa.Uuid(), nullable=True),
        sa.Column("check_id", sa.Uuid(), nullable=True),
        sa.Column("hours", sa.Float(), nullable=False),
        sa.Column("money", sa.Float(), nullable=False),
        sa.Column("cure_h", sa.Float(), nullable=False),
        sa.Column("needs", sa.Text(), nullable=False),
        sa.Column("cautions", sa.Text(), nullable=False),
        sa.Column("is_done", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["check_id"],
            ["check.id"],
            name=op.f("fk_redo_task_check_id_check"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name=op.f("fk_redo_task_engine_id_engine"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["joint_id"],
            ["joint.id"],
            name=op.f("fk_redo_task_joint_id_joint"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_redo_task")),
    )
    op.create_index(op.f("ix_redo_task_check_id"), "redo_task", ["check_id"], unique=False)
    op.create_index(op.f("ix_redo_task_engine_id"), "redo_task", ["engine_id"], unique=False)
    op.create_index(op.f("ix_redo_task_joint_id"), "redo_task", ["joint_id"], unique=False)
    op.create_table(
        "torque_pass",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("sealing_job_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("torque_nm", sa.Float(), nullable=True),
        sa.Column("angle_deg", sa.Float(), nullable=True),
        sa.Column("sequence", sa.Text(), nullable=False),
        sa.Column("tool", sa.Text(), nullable=False),
        sa.Column("bolt_numbers", sa.Text(), nullable=False),
        sa.Column("done_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["sealing_job_id"],
            ["sealing_job.id"],
            name=op.f("fk_torque_pass_sealing_job_id_sealing_job"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_torque_pass")),
    )
    op.create_index(
        op.f("ix_torque_pass_sealing_job_id"), "torque_pass", ["sealing_job_id"], unique=False
    )
    op.create_table(
        "evidence",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("sealing_job_id", sa.Uuid(), nullable=False),
        sa.Column("photo_id", sa.Uuid(), nullable=True),
        sa.Column("clip_id", sa.Uuid(), nullable=True),
        sa.Column("start_ms", sa.BigInteger(), nullable=True),
        sa.Column("end_ms", sa.BigInteger(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["clip_id"], ["clip.id"], name=op.f("fk_evidence_clip_id_clip"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["photo_id"], ["photo.id"], name=op.f("fk_evidence_photo_id_photo"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["sealing_job_id"],
            ["sealing_job.id"],
            name=op.f("fk_evidence_sealing_job_id_sealing_job"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_evidence")),
    )
    op.create_index(op.f("ix_evidence_clip_id"), "evidence", ["clip_id"], unique=False)
    op.create_index(op.f("ix_evidence_photo_id"), "evidence", ["photo_id"], unique=False)
    op.create_index(
        op.f("ix_evidence_sealing_job_id"), "evidence", ["sealing_job_id"], unique=False
    )
    op.create_table(
        "joint_line",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("joint_id", sa.Uuid(), nullable=False),
        sa.Column("photo_id", sa.Uuid(), nullable=False),
        sa.Column("points", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["joint_id"],
            ["joint.id"],
            name=op.f("fk_joint_line_joint_id_joint"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["photo_id"],
            ["photo.id"],
            name=op.f("fk_joint_line_photo_id_photo"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_joint_line")),
        sa.UniqueConstraint("joint_id", "photo_id", name=op.f("uq_joint_line_joint_id_photo_id")),
    )
    op.create_index(op.f("ix_joint_line_joint_id"), "joint_line", ["joint_id"], unique=False)
    op.create_index(op.f("ix_joint_line_photo_id"), "joint_line", ["photo_id"], unique=False)
    op.create_table(
        "leak_mark",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("leak_id", sa.Uuid(), nullable=False),
        sa.Column("photo_id", sa.Uuid(), nullable=False),
        sa.Column("grade", sa.Text(), nullable=False),
        sa.Column("source_px", sa.Text(), nullable=True),
        sa.Column("outline_px", sa.Text(), nullable=False),
        sa.Column("fluid", sa.Text(), nullable=False),
        sa.Column("has_hanging_drop", sa.Boolean(), nullable=True),
        sa.Column("drops_per_minute", sa.Float(), nullable=True),
        sa.Column("reappears_after_min", sa.Float(), nullable=True),
        sa.Column("did_reappear", sa.Boolean(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["leak_id"], ["leak.id"], name=op.f("fk_leak_mark_leak_id_leak"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["photo_id"],
            ["photo.id"],
            name=op.f("fk_leak_mark_photo_id_photo"),
            ondelete="RESTRICT",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_leak_mark")),
    )
    op.create_index(op.f("ix_leak_mark_leak_id"), "leak_mark", ["leak_id"], unique=False)
    op.create_index(op.f("ix_leak_mark_photo_id"), "leak_mark", ["photo_id"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_leak_mark_photo_id"), table_name="leak_mark")
    op.drop_index(op.f("ix_leak_mark_leak_id"), table_name="leak_mark")
    op.drop_table("leak_mark")
    op.drop_index(op.f("ix_joint_line_photo_id"), table_name="joint_line")
    op.drop_index(op.f("ix_joint_line_joint_id"), table_name="joint_line")
    op.drop_table("joint_line")
    op.drop_index(op.f("ix_evidence_sealing_job_id"), table_name="evidence")
    op.drop_index(op.f("ix_evidence_photo_id"), table_name="evidence")
    op.drop_index(op.f("ix_evidence_clip_id"), table_name="evidence")
    op.drop_table("evidence")
    op.drop_index(op.f("ix_torque_pass_sealing_job_id"), table_name="torque_pass")
    op.drop_table("torque_pass")
    op.drop_index(op.f("ix_redo_task_joint_id"), table_name="redo_task")
    op.drop_index(op.f("ix_redo_task_engine_id"), table_name="redo_task")
    op.drop_index(op.f("ix_redo_task_check_id"), table_name="redo_task")
    op.drop_table("redo_task")
    op.drop_index(op.f("ix_photo_zone_id"), table_name="photo")
    op.drop_index(op.f("ix_photo_inspection_id"), table_name="photo")
    op.drop_index(op.f("ix_photo_check_id"), table_name="photo")
    op.drop_table("photo")
    op.drop_index(op.f("ix_part_sealing_job_id"), table_name="part")
    op.drop_table("part")
    op.drop_index(op.f("ix_cause_sealing_job_id"), table_name="cause")
    op.drop_index(op.f("ix_cause_leak_id"), table_name="cause")
    op.drop_index(op.f("ix_cause_bolt_id"), table_name="cause")
    op.drop_table("cause")
    op.drop_index(op.f("ix_sealing_job_supersedes_id"), table_name="sealing_job")
    op.drop_index(op.f("ix_sealing_job_material_id"), table_name="sealing_job")
    op.drop_index(op.f("ix_sealing_job_joint_id"), table_name="sealing_job")
    op.drop_table("sealing_job")
    op.drop_index(op.f("ix_leak_zone_id"), table_name="leak")
    op.drop_index(op.f("ix_leak_joint_id"), table_name="leak")
    op.drop_table("leak")
    op.drop_index(op.f("ix_check_joint_id"), table_name="check")
    op.drop_index(op.f("ix_check_engine_id"), table_name="check")
    op.drop_table("check")
    op.drop_index(op.f("ix_bolt_joint_id"), table_name="bolt")
    op.drop_table("bolt")
    op.drop_index(op.f("ix_reading_test_run_id"), table_name="reading")
    op.drop_index(op.f("ix_reading_inspection_id"), table_name="reading")
    op.drop_table("reading")
    op.drop_index(op.f("ix_joint_zone_id"), table_name="joint")
    op.drop_table("joint")
    op.drop_index(op.f("ix_zone_face_id"), table_name="zone")
    op.drop_table("zone")
    op.drop_index(op.f("ix_inspection_test_run_id"), table_name="inspection")
    op.drop_index(op.f("ix_inspection_engine_id"), table_name="inspection")
    op.drop_table("inspection")
    op.drop_index(op.f("ix_test_run_engine_id"), table_name="test_run")
    op.drop_table("test_run")
    op.drop_index(op.f("ix_sealing_rule_material_id"), table_name="sealing_rule")
    op.drop_table("sealing_rule")
    op.drop_index(op.f("ix_redo_plan_engine_id"), table_name="redo_plan")
    op.drop_table("redo_plan")
    op.drop_index(op.f("ix_face_engine_id"), table_name="face")
    op.drop_table("face")
    op.drop_index(op.f("ix_access_step_engine_id"), table_name="access_step")
    op.drop_table("access_step")
    op.drop_table("material")
    op.drop_table("engine")
    op.drop_table("clip")
