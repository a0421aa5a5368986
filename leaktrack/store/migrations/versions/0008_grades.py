"""Marks tell how drops fall and from which edge; runs hold heights on a calibrated dipstick."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

_OF_MARKS = {
    "drop_edge_mm": sa.Float,
    "wet_for_min": sa.Float,
    "pool_mm": sa.Float,
    "do_drops_fall": sa.Boolean,
    "is_stream": sa.Boolean,
}
_OF_RUNS = ("dipstick_before_mm", "dipstick_before_c", "dipstick_after_mm", "dipstick_after_c")


def upgrade() -> None:
    for name, kind in _OF_MARKS.items():
        op.add_column("leak_mark", sa.Column(name, kind(), nullable=True))
    for name in _OF_RUNS:
        op.add_column("test_run", sa.Column(name, sa.Float(), nullable=True))
    op.create_table(
        "dipstick_point",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.Column("height_mm", sa.Float(), nullable=True),
        sa.Column("volume_ml", sa.Float(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_dipstick_point"),
        sa.ForeignKeyConstraint(
            ["engine_id"],
            ["engine.id"],
            name="fk_dipstick_point_engine_id_engine",
            ondelete="RESTRICT",
        ),
    )
    op.create_index("ix_dipstick_point_engine_id", "dipstick_point", ["engine_id"])


def downgrade() -> None:
    op.drop_table("dipstick_point")
    with op.batch_alter_table("test_run") as table:
        for name in _OF_RUNS:
            table.drop_column(name)
    with op.batch_alter_table("leak_mark") as table:
        for name in _OF_MARKS:
            table.drop_column(name)
