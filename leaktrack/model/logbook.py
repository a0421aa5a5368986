"""The logbook: what happened to the engine, as a mechanic's log would list it."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.leak import SeepageGrade


class EntryKind(Enum):
    """What kind of record an entry stands for."""

    SEALING_JOB = "sealing_job"
    TEST_RUN = "test_run"
    INSPECTION = "inspection"
    CHECK = "check"
    REDO_PLAN = "redo_plan"


@dataclass(frozen=True, slots=True)
class LogbookEntry:
    """One dated line of the logbook.

    Attributes:
        detail: A few words: joint and material, minutes run, photos taken.
        grade: The worst grade seen, for inspections.
        needs_attention: Something is missing or departs from a rule.
    """

    kind: EntryKind
    record_id: UUID
    at: datetime | None
    title: str
    detail: str
    grade: SeepageGrade | None = None
    needs_attention: bool = False
