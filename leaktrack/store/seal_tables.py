"""The tables of rings, removed seals, blind grades and drains; part of ``tables``."""

from typing import Any

import sqlalchemy as sa

from leaktrack.model.agreement import BlindGrade
from leaktrack.model.debris import DrainCount
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.ring import RingFit
from leaktrack.store.column_types import Utc
from leaktrack.store.columns import (
    PARTICLES,
    key,
    known_numbers,
    member,
    needed,
    numbers,
    table,
    text,
    texts,
    truth,
)

SEAL_TABLES: dict[type[Any], sa.Table] = {
    RingFit: table(
        "ring_fit",
        key("sealing_job"),
        *texts("size", "note"),
        *numbers("inner_mm", "inner_tolerance_mm", "section_mm", "section_tolerance_mm"),
        *numbers("seat_mm", "seat_tolerance_mm", "depth_mm", "depth_tolerance_mm"),
        *numbers("width_mm", "width_tolerance_mm"),
        truth("is_dynamic"),
        sa.UniqueConstraint("sealing_job_id"),
    ),
    RemovedSeal: table(
        "removed_seal",
        key("sealing_job"),
        needed("examined_at", Utc()),
        member("failure", SealFailure, is_needed=False),
        member("second_failure", SealFailure, is_needed=False),
        *texts("place", "cause", "examined_by", "note"),
        *numbers("new_mm", "squeezed_mm", "recovered_mm", "recovered_after_min", "caliper_mm"),
        *numbers("hardness_shore_a"),
        key("photo", is_needed=False),
    ),
    BlindGrade: table(
        "blind_grade",
        key("leak"),
        key("photo"),
        member("grade", SeepageGrade),
        text("graded_by"),
        needed("graded_at", Utc()),
        sa.UniqueConstraint("leak_id", "photo_id", "graded_by"),
    ),
    DrainCount: table(
        "drain_count",
        key("photo"),
        needed("counted_at", Utc()),
        needed("particles", PARTICLES),
        text("unit"),
        *numbers("mm_per_px"),
        *known_numbers("least"),
        truth("is_paper_doubtful"),
        sa.UniqueConstraint("photo_id"),
    ),
}
"""What they point at stands in ``tables``."""
