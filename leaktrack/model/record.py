"""All kinds of records, and edits: changes of records that can be taken back."""

from dataclasses import dataclass
from typing import Union

from leaktrack.model.agreement import BlindGrade
from leaktrack.model.bead_audit import BeadAudit
from leaktrack.model.debris import DrainCount
from leaktrack.model.engine import Bolt, Engine, Face, Joint, JointLine, Zone
from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.redo_plan import AccessStep, RedoPlan, RedoTask
from leaktrack.model.redo_terms import RedoTerms, WorkTime
from leaktrack.model.removed_seal import RemovedSeal
from leaktrack.model.ring import RingFit
from leaktrack.model.sealing_job import (
    Evidence,
    Material,
    Part,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.trace import Cause
from leaktrack.model.wet_search import Dismissal

Record = Union[
    Engine, Face, Zone, Joint, Bolt, Photo, JointLine, Clip, Material, SealingRule, SealingJob,
    TorquePass, Part, Evidence, BeadAudit, TestRun, Inspection, Reading, Check, Leak, LeakMark,
    Cause, AccessStep, RedoTask, RedoPlan, RedoTerms, WorkTime, Dismissal,
    RingFit, RemovedSeal, BlindGrade, DrainCount, DipstickPoint,
]  # fmt: skip
"""Anything that the store keeps under a key of its own."""


@dataclass(frozen=True, slots=True)
class RecordChange:
    """One record added (no before), removed (no after) or replaced (both, with the same id)."""

    before: Record | None
    after: Record | None


@dataclass(frozen=True, slots=True)
class Edit:
    """Changes that a user makes in one gesture: all of them happen, or none.

    An edit says what it expects to find, so two people cannot overwrite each other unseen.
    """

    changes: tuple[RecordChange, ...]

    @property
    def inverse(self) -> "Edit":
        """The edit that takes this one back."""
        return Edit(
            tuple(RecordChange(change.after, change.before) for change in reversed(self.changes))
        )

    @property
    def is_empty(self) -> bool:
        """Whether it changes nothing."""
        return all(change.before == change.after for change in self.changes)

    def then(self, other: "Edit") -> "Edit":
        """Return one edit that does this one and then the other."""
        return Edit(self.changes + other.changes)


def added(*records: Record) -> Edit:
    """Return the edit that adds records, in this order (parents first)."""
    return Edit(tuple(RecordChange(None, record) for record in records))


def removed(*records: Record) -> Edit:
    """Return the edit that removes records, in this order (children first)."""
    return Edit(tuple(RecordChange(record, None) for record in records))


def replaced(before: Record, after: Record) -> Edit:
    """Return the edit that puts one record in place of another with the same id."""
    return Edit((RecordChange(before, after),))
