"""From a leak to what caused it: a person's verdicts, and the reasons the program can offer."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.engine import Bolt, Joint
from leaktrack.model.identity import new_id
from leaktrack.model.leak import Leak
from leaktrack.model.sealing_job import Deviation, Evidence, SealingJob
from leaktrack.model.shapes import PointPx


class CauseState(Enum):
    """What a person has decided about a possible cause."""

    SUSPECTED = "suspected"
    CONFIRMED = "confirmed"
    RULED_OUT = "ruled_out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """A person's verdict that a sealing job, or a bolt of it, did or did not cause a leak."""

    id: UUID = field(default_factory=new_id)
    leak_id: UUID
    sealing_job_id: UUID
    bolt_id: UUID | None = None
    state: CauseState
    reason: str
    decided_at: datetime
    decided_by: str = ""


class ClueKind(Enum):
    """A reason for or against a candidate."""

    AT_THE_JOINT = "at_the_joint"
    BELOW_THE_JOINT = "below_the_joint"
    ABOVE_THE_JOINT = "above_the_joint"
    AT_A_BOLT = "at_a_bolt"
    OPENS_INTO_OIL = "opens_into_oil"
    LINE_NOT_DRAWN = "line_not_drawn"
    RULE_DEVIATION = "rule_deviation"
    LEAKED_BEFORE = "leaked_before"
    FITTED_LATER = "fitted_later"


@dataclass(frozen=True, slots=True)
class Clue:
    """One reason, in numbers a sentence can be made of.

    Attributes:
        value: Its size: millimetres or pixels of distance, or a bolt number.
        unit: "mm", "px", "bolt" or empty.
        deviation: The deviation, for RULE_DEVIATION.
    """

    kind: ClueKind
    value: float | None = None
    unit: str = ""
    deviation: Deviation | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """A sealing job that may have caused a leak, with what speaks for and against it.

    Attributes:
        bolt: Set where the source sits at this bolt rather than between bolts.
        station: Bolt coordinate of the place on the joint nearest to the source, such as 4.6.
        distance_px: From the source to the joint's line; None where no line is drawn.
        joint_at_px: The place on the joint, in the photo of the mark.
        evidence: What shows the job.
        verdict: What a person decided, if anything.
    """

    joint: Joint
    job: SealingJob
    bolt: Bolt | None
    station: float | None
    distance_px: float | None
    joint_at_px: PointPx | None
    clues: tuple[Clue, ...]
    evidence: tuple[Evidence, ...]
    verdict: Cause | None


@dataclass(frozen=True, slots=True)
class Trace:
    """The candidates for one leak, most likely first.

    Attributes:
        photo_id: The photo whose mark the distances were taken from.
        source_px: The source in that photo.
        joints_without_job: Joints that may be the source as well, but for which no sealing job is
            recorded from before the run; nearest first.
    """

    leak: Leak
    photo_id: UUID | None
    source_px: PointPx | None
    candidates: tuple[Candidate, ...]
    joints_without_job: tuple[Joint, ...] = ()
