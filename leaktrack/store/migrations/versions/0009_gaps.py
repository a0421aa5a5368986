"""Joints may say how wide their gap and their sealing face are."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

_COLUMNS = ("gap_mm", "face_mm")


def upgrade() -> None:
    for name in _COLUMNS:
        op.add_column("joint", sa.Column(name, sa.Float(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("joint") as table:
        for name in _COLUMNS:
            table.drop_column(name)
