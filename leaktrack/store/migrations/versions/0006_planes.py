"""Photos may say how the surface leans on which their target lies."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("photo", sa.Column("plane", sa.Text(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("photo") as table:
        table.drop_column("plane")
