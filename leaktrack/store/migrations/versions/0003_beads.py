"""What photos show of a sealing job's bead can be kept."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "bead_audit",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("sealing_job_id", sa.Uuid(), nullable=False),
        sa.Column("photo_id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        *(
            sa.Column(name, sa.Text(), nullable=False)
            for name in ("verdict", "unit", "tolerance_source", "points", "defects", "unread")
        ),
        *(
            sa.Column(name, sa.Float(), nullable=True)
            for name in ("nominal", "narrowest", "widest", "mm_per_px")
        ),
        sa.PrimaryKeyConstraint("id", name="pk_bead_audit"),
        sa.ForeignKeyConstraint(
            ["sealing_job_id"],
            ["sealing_job.id"],
            name="fk_bead_audit_sealing_job_id_sealing_job",
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["photo_id"], ["photo.id"], name="fk_bead_audit_photo_id_photo", ondelete="RESTRICT"
        ),
    )
    op.create_index("ix_bead_audit_sealing_job_id", "bead_audit", ["sealing_job_id"])
    op.create_index("ix_bead_audit_photo_id", "bead_audit", ["photo_id"])


def downgrade() -> None:
    op.drop_table("bead_audit")
