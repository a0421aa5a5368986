"""The points of a carried joint line say how well their places are known."""

import json
from collections.abc import Callable
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _change_points(lambda point: [*point, None])


def downgrade() -> None:
    _change_points(lambda point: point[:3])


def _change_points(change: Callable[[list[Any]], list[Any]]) -> None:
    connection = op.get_bind()
    lines = connection.execute(sa.text("SELECT id, points FROM joint_line")).all()
    for line_id, points in lines:
        changed = [change(point) for point in json.loads(points)]
        connection.execute(
            sa.text("UPDATE joint_line SET points = :points WHERE id = :id"),
            {"points": json.dumps(changed, separators=(",", ":")), "id": line_id},
        )
