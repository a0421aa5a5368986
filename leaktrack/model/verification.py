"""Did sealing a joint again cure a leak? And how often each way of sealing did."""

from dataclasses import dataclass
from enum import Enum
from uuid import UUID

from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import CauseState


class Outcome(Enum):
    """What the first look after a redo says of a leak's place."""

    CURED = "cured"
    STILL_THERE = "still_there"
    MOVED = "moved"
    NOT_SEEN = "not_seen"


@dataclass(frozen=True, slots=True)
class ProposedVerdict:
    """A verdict that follows from an outcome; a person accepts it or not."""

    state: CauseState
    reason: str


@dataclass(frozen=True, slots=True)
class Verification:
    """One leak before and after its joint was sealed again.

    Attributes:
        blamed: The job that was in force when the leak was first seen wet.
        redo: The job that replaced it.
        inspection: The first look after the engine ran on the redo that saw the place; the first
            one at all where none saw it; None where there was no look yet.
        station: Where the leak was.
        moved_to: Station of the new wet place on the same joint, for MOVED.
        mark_id: The mark that says so.
        photo_id: Its photo.
        proposal: The verdict that follows; None where none does.
    """

    leak: Leak
    joint: Joint
    blamed: SealingJob
    redo: SealingJob
    inspection: Inspection | None
    outcome: Outcome
    bolt_id: UUID | None = None
    station: float | None = None
    moved_to: float | None = None
    mark_id: UUID | None = None
    photo_id: UUID | None = None
    proposal: ProposedVerdict | None = None


@dataclass(frozen=True, slots=True)
class SuccessCount:
    """How often sealing again with one material cured a leak.

    Attributes:
        material: Its name; empty where it was not recorded.
        cured: Leaks gone at the first look that saw the place, moved ones included.
        tried: Leaks whose place was seen after the redo.
    """

    seal_kind: SealKind
    material: str
    cured: int
    tried: int
