"""A teardown knows its terms, ways in to choose from, parts, and how long its work took."""

import json
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_WORK = ("access_step", "redo_task")


def upgrade() -> None:
    for table in _WORK:
        _add(table, "parts", sa.Text(), "[]")
        _add(table, "tools", sa.Text(), "[]")
        _add(table, "template", sa.Text(), "")
    _add("redo_task", "decision", sa.Text(), "decide")
    _add("redo_task", "does_cure_block_refit", sa.Boolean(), "0")
    for name in ("chance", "mess"):
        op.add_column("redo_task", sa.Column(name, sa.Float(), nullable=True))
    op.create_table(
        "redo_terms",
        *_key("redo_terms"),
        *(
            sa.Column(name, sa.Float(), nullable=False)
            for name in ("hour_rate", "mess", "day_hours")
        ),
        sa.Column("workers", sa.Integer(), nullable=False),
        sa.Column("hours_budget", sa.Float(), nullable=True),
        sa.Column("money_budget", sa.Float(), nullable=True),
        _points_at("redo_terms", "engine"),
        sa.UniqueConstraint("engine_id", name="uq_redo_terms_engine_id"),
    )
    op.create_index("ix_redo_terms_engine_id", "redo_terms", ["engine_id"])
    op.create_table(
        "work_time",
        *_key("work_time"),
        sa.Column("access_step_id", sa.Uuid(), nullable=True),
        sa.Column("redo_task_id", sa.Uuid(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("hours", sa.Float(), nullable=False),
        sa.Column("done_at", sa.DateTime(), nullable=False),
        sa.Column("done_by", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        *(_points_at("work_time", other) for other in ("engine", *_WORK)),
    )
    for other in ("engine", *_WORK):
        op.create_index(f"ix_work_time_{other}_id", "work_time", [f"{other}_id"])


def downgrade() -> None:
    op.drop_table("work_time")
    op.drop_table("redo_terms")
    _name_one_way()
    with op.batch_alter_table("redo_task") as batch:
        for name in ("decision", "does_cure_block_refit", "chance", "mess"):
            batch.drop_column(name)
    for table in _WORK:
        with op.batch_alter_table(table) as batch:
            for column in ("parts", "tools", "template"):
                batch.drop_column(column)


def _add(table: str, name: str, kind: Any, default: str) -> None:
    op.add_column(table, sa.Column(name, kind, nullable=False, server_default=default))


def _key(table: str) -> tuple[sa.schema.SchemaItem, ...]:
    return (
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Uuid(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
    )


def _points_at(table: str, other: str) -> sa.ForeignKeyConstraint:
    name = f"fk_{table}_{other}_id_{other}"
    return sa.ForeignKeyConstraint([f"{other}_id"], [f"{other}.id"], name=name, ondelete="RESTRICT")


def _name_one_way() -> None:
    """Leave the first of the ways in: before, there was no choice."""
    connection = op.get_bind()
    for name in _WORK:
        table = sa.table(name, sa.column("id"), sa.column("needs"))
        for key, needs in connection.execute(sa.select(table.c.id, table.c.needs)).all():
            plain: dict[str, None] = {}
            for need in json.loads(needs):
                plain |= dict.fromkeys(need["any_of"][0] if isinstance(need, dict) else [need])
            told = json.dumps(list(plain), separators=(",", ":"))
            connection.execute(sa.update(table).where(table.c.id == key).values(needs=told))
