"""Take a record away: what is only a part of it goes along, what is history of its own keeps it.

What hangs on what stands in one table here, so that no workflow forgets a kind.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from leaktrack.model.agreement import BlindGrade
from leaktrack.model.bead_audit import BeadAudit
from leaktrack.model.debris import DrainCount
from leaktrack.model.engine import Bolt, Engine, Face, Joint, JointLine, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.record import Edit, Record, removed
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
from leaktrack.workflows.find_engine import Reader


@dataclass(frozen=True, slots=True)
class _Hanging:
    """A kind of record that points at another by this field."""

    kind: type[Any]
    field: str
    words: tuple[str, str]


_PARTS: dict[type[Any], tuple[tuple[type[Any], str], ...]] = {
    Engine: ((RedoTerms, "engine_id"), (DipstickPoint, "engine_id")),
    Face: ((Zone, "face_id"),),
    Zone: ((Joint, "zone_id"),),
    Joint: ((JointLine, "joint_id"), (Bolt, "joint_id")),
    Material: ((SealingRule, "material_id"),),
    SealingJob: (
        (Evidence, "sealing_job_id"),
        (BeadAudit, "sealing_job_id"),
        (TorquePass, "sealing_job_id"),
        (Part, "sealing_job_id"),
        (RingFit, "sealing_job_id"),
    ),
    TestRun: ((Reading, "test_run_id"),),
    Inspection: ((Reading, "inspection_id"),),
    Leak: ((LeakMark, "leak_id"), (Cause, "leak_id"), (BlindGrade, "leak_id")),
    Photo: ((Dismissal, "photo_id"), (BlindGrade, "photo_id"), (DrainCount, "photo_id")),
}
"""What is a part of its parent and goes with it."""

_HISTORY: dict[type[Any], tuple[_Hanging, ...]] = {
    Engine: (
        _Hanging(Face, "engine_id", ("face", "faces")),
        _Hanging(TestRun, "engine_id", ("test run", "test runs")),
        _Hanging(Inspection, "engine_id", ("inspection", "inspections")),
        _Hanging(Check, "engine_id", ("check", "checks")),
        _Hanging(AccessStep, "engine_id", ("access step", "access steps")),
        _Hanging(RedoTask, "engine_id", ("redo task", "redo tasks")),
        _Hanging(RedoPlan, "engine_id", ("redo plan", "redo plans")),
        _Hanging(WorkTime, "engine_id", ("recorded time", "recorded times")),
    ),
    Zone: (
        _Hanging(Photo, "zone_id", ("photo", "photos")),
        _Hanging(Leak, "zone_id", ("leak", "leaks")),
    ),
    Joint: (
        _Hanging(SealingJob, "joint_id", ("sealing job", "sealing jobs")),
        _Hanging(Leak, "joint_id", ("leak", "leaks")),
        _Hanging(Check, "joint_id", ("check", "checks")),
        _Hanging(RedoTask, "joint_id", ("redo task", "redo tasks")),
    ),
    Bolt: (_Hanging(Cause, "bolt_id", ("verdict on a cause", "verdicts on a cause")),),
    Material: (_Hanging(SealingJob, "material_id", ("sealing job", "sealing jobs")),),
    SealingJob: (
        _Hanging(Cause, "sealing_job_id", ("verdict on a cause", "verdicts on a cause")),
        _Hanging(RemovedSeal, "sealing_job_id", ("removed seal", "removed seals")),
    ),
    TestRun: (_Hanging(Inspection, "test_run_id", ("inspection", "inspections")),),
    Inspection: (_Hanging(Photo, "inspection_id", ("photo", "photos")),),
    Check: (
        _Hanging(Photo, "check_id", ("photo", "photos")),
        _Hanging(RedoTask, "check_id", ("redo task", "redo tasks")),
    ),
    Photo: (
        _Hanging(LeakMark, "photo_id", ("leak mark", "leak marks")),
        _Hanging(JointLine, "photo_id", ("joint line", "joint lines")),
        _Hanging(Evidence, "photo_id", ("sealing job it shows", "sealing jobs it shows")),
        _Hanging(BeadAudit, "photo_id", ("measured bead", "measured beads")),
        _Hanging(RemovedSeal, "photo_id", ("removed seal it shows", "removed seals it shows")),
        _Hanging(Zone, "reference_photo_id", ("zone's joint lines", "zones' joint lines")),
    ),
    AccessStep: (_Hanging(WorkTime, "access_step_id", ("recorded time", "recorded times")),),
    RedoTask: (_Hanging(WorkTime, "redo_task_id", ("recorded time", "recorded times")),),
    Clip: (_Hanging(Evidence, "clip_id", ("sealing job it shows", "sealing jobs it shows")),),
}
"""What is history of its own and must be moved or removed by somebody first."""


def removal(reader: Reader, record: Record, called: str) -> Edit:
    """Return the edit that removes a record with its parts, children first.

    Args:
        reader: Where the other records are.
        record: What to remove.
        called: What people call it, such as "zone 'Bank 1 cover'".

    Raises:
        BadInput: Something with a history of its own hangs on it or on one of its parts; the
            text names what and how many.
    """
    whole = _with_parts(reader, record)
    _refuse_history(reader, whole, called)
    return removed(*whole)


def _with_parts(reader: Reader, record: Record) -> tuple[Record, ...]:
    below = (
        part
        for kind, field in _PARTS.get(type(record), ())
        for child in _pointing(reader, kind, field, record.id)
        for part in _with_parts(reader, child)
    )
    return (*below, record)


def _refuse_history(reader: Reader, whole: Sequence[Record], called: str) -> None:
    counts: dict[tuple[str, str], set[UUID]] = {}
    for record in whole:
        for hanging in _HISTORY.get(type(record), ()):
            found = _pointing(reader, hanging.kind, hanging.field, record.id)
            counts.setdefault(hanging.words, set()).update(item.id for item in found)
    names = [
        f"{len(found)} {words[0] if len(found) == 1 else words[1]}"
        for words, found in counts.items()
        if found
    ]
    if names:
        raise BadInput(
            f"The {called} stays, because it is needed by {_listed(names)}. "
            "Nothing was changed. Move or remove these first."
        )


def _pointing(reader: Reader, kind: type[Any], field: str, record_id: UUID) -> Sequence[Any]:
    return reader.all(kind, **{field: record_id})


def _listed(names: Sequence[str]) -> str:
    if len(names) == 1:
        return names[0]
    return f"{', '.join(names[:-1])} and {names[-1]}"
