"""Photos may say which way is down in them, and which way air blew."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("photo", sa.Column("down_deg", sa.Float(), nullable=True))
    op.add_column("photo", sa.Column("air_deg", sa.Float(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("photo") as table:
        table.drop_column("air_deg")
        table.drop_column("down_deg")
