"""The tables of a teardown: what comes off, what is done, on what terms, how long it took."""

from typing import Any

import sqlalchemy as sa

from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoPlan, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms, WorkTime
from leaktrack.store.column_types import Utc
from leaktrack.store.columns import (
    KEYS,
    count,
    key,
    known_numbers,
    member,
    needed,
    numbers,
    table,
    text,
    texts,
    truth,
    what_work_takes,
)

REDO_TABLES: dict[type[Any], sa.Table] = {
    AccessStep: table(
        "access_step",
        key("engine"),
        text("name"),
        *known_numbers("hours", "refit_hours", "money"),
        *what_work_takes(),
        count("position"),
    ),
    RedoTask: table(
        "redo_task",
        key("engine"),
        text("name"),
        key("joint", is_needed=False),
        key("check", is_needed=False),
        *known_numbers("hours", "money", "cure_h"),
        *what_work_takes(),
        member("decision", RedoDecision),
        truth("does_cure_block_refit"),
        *numbers("chance", "mess"),
    ),
    RedoPlan: table(
        "redo_plan",
        key("engine"),
        needed("made_at", Utc()),
        needed("task_ids", KEYS),
        *known_numbers("hours", "money"),
        text("note"),
    ),
    RedoTerms: table(
        "redo_terms",
        key("engine"),
        *known_numbers("hour_rate", "mess", "day_hours"),
        count("workers"),
        *numbers("hours_budget", "money_budget"),
        sa.UniqueConstraint("engine_id"),
    ),
    WorkTime: table(
        "work_time",
        key("engine"),
        key("access_step", is_needed=False),
        key("redo_task", is_needed=False),
        member("kind", WorkKind),
        *known_numbers("hours"),
        needed("done_at", Utc()),
        *texts("done_by", "note"),
    ),
}
"""The table of each kind of record; parents stand before what points at them."""
