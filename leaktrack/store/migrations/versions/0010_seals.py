"""Rings in their glands, removed seals, grades given blind, and the debris of drains are kept."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

_SIZES = ("inner", "section", "seat", "depth", "width")


def upgrade() -> None:
    _create(
        "ring_fit",
        ("sealing_job",),
        sa.Column("size", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        *_numbers(*(f"{one}_mm" for one in _SIZES), *(f"{one}_tolerance_mm" for one in _SIZES)),
        sa.Column("is_dynamic", sa.Boolean(), nullable=False),
        sa.UniqueConstraint("sealing_job_id", name="uq_ring_fit_sealing_job_id"),
    )
    _create(
        "removed_seal",
        ("sealing_job", "photo"),
        sa.Column("examined_at", sa.DateTime(), nullable=False),
        sa.Column("failure", sa.Text(), nullable=True),
        sa.Column("second_failure", sa.Text(), nullable=True),
        *(
            sa.Column(name, sa.Text(), nullable=False)
            for name in ("place", "cause", "examined_by", "note")
        ),
        *_numbers("new_mm", "squeezed_mm", "recovered_mm", "recovered_after_min", "caliper_mm"),
        *_numbers("hardness_shore_a"),
        optional=("photo",),
    )
    _create(
        "blind_grade",
        ("leak", "photo"),
        sa.Column("grade", sa.Text(), nullable=False),
        sa.Column("graded_by", sa.Text(), nullable=False),
        sa.Column("graded_at", sa.DateTime(), nullable=False),
        sa.UniqueConstraint(
            "leak_id", "photo_id", "graded_by", name="uq_blind_grade_leak_id_photo_id_graded_by"
        ),
    )
    _create(
        "drain_count",
        ("photo",),
        sa.Column("counted_at", sa.DateTime(), nullable=False),
        sa.Column("particles", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        *_numbers("mm_per_px"),
        sa.Column("least", sa.Float(), nullable=False),
        sa.Column("is_paper_doubtful", sa.Boolean(), nullable=False),
        sa.UniqueConstraint("photo_id", name="uq_drain_count_photo_id"),
    )


def downgrade() -> None:
    for name in ("drain_count", "blind_grade", "removed_seal", "ring_fit"):
        op.drop_table(name)


def _numbers(*names: str) -> list[sa.Column[float]]:
    return [sa.Column(name, sa.Float(), nullable=True) for name in names]


def _create(
    name: str,
    parents: tuple[str, ...],
    *columns: sa.schema.SchemaItem,
    optional: tuple[str, ...] = (),
) -> None:
    op.create_table(
        name,
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        *(sa.Column(f"{parent}_id", sa.Uuid(), nullable=parent in optional) for parent in parents),
        *columns,
        sa.PrimaryKeyConstraint("id", name=f"pk_{name}"),
        *(
            sa.ForeignKeyConstraint(
                [f"{parent}_id"],
                [f"{parent}.id"],
                name=f"fk_{name}_{parent}_id_{parent}",
                ondelete="RESTRICT",
            )
            for parent in parents
        ),
    )
    for parent in parents:
        op.create_index(f"ix_{name}_{parent}_id", name, [f"{parent}_id"])
