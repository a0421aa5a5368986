"""A person's word that a region found in a photo is no leak is kept."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "dismissal",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("photo_id", sa.Uuid(), nullable=False),
        sa.Column("decided_at", sa.DateTime(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("outline_px", sa.Text(), nullable=False),
        sa.Column("score", sa.Float(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_dismissal"),
        sa.ForeignKeyConstraint(
            ["photo_id"], ["photo.id"], name="fk_dismissal_photo_id_photo", ondelete="RESTRICT"
        ),
    )
    op.create_index("ix_dismissal_photo_id", "dismissal", ["photo_id"])


def downgrade() -> None:
    op.drop_table("dismissal")
