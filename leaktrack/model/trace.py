"""From a leak to what caused it: a person's verdicts, and the reasons the program can offer."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from uuid import UUID

from leaktrack.model.caution import Caution
from leaktrack.model.engine import Bolt, Joint
from leaktrack.model.identity import new_id
from leaktrack.model.leak import Leak
from leaktrack.model.sealing_job import Deviation, Evidence, SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import FoundSource


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
    NEAR_A_BOLT = "near_a_bolt"
    LATER_LOOK = "later_look"
    AWAY_FROM_JOINTS = "away_from_joints"
    ON_THE_JOINTS = "on_the_joints"
    AMONG_THE_JOINTS = "among_the_joints"
    OPENS_INTO_OIL = "opens_into_oil"
    LINE_NOT_DRAWN = "line_not_drawn"
    RULE_DEVIATION = "rule_deviation"
    LEAKED_BEFORE = "leaked_before"
    FITTED_LATER = "fitted_later"
    RULE_KEPT = "rule_kept"
    BEAD_GAP = "bead_gap"
    BEAD_THIN = "bead_thin"
    BEAD_OFF_TRACK = "bead_off_track"
    BEAD_SOUND = "bead_sound"
    BESIDE_LOOSE_BOLT = "beside_loose_bolt"
    DOES_NOT_OPEN_INTO_OIL = "does_not_open_into_oil"
    BOLT_NOT_TIGHTENED = "bolt_not_tightened"
    REUSED_PART = "reused_part"
    SEAL_HISTORY = "seal_history"
    RULED_OUT = "ruled_out"
    CURED_BY_REDO = "cured_by_redo"
    STILL_WET_AFTER_REDO = "still_wet_after_redo"
    COMES_FROM_EDGE = "comes_from_edge"
    BEGINS_IN_PHOTO = "begins_in_photo"
    NO_BASELINE = "no_baseline"
    WET_AT_BASELINE = "wet_at_baseline"
    DRY_AT_BASELINE = "dry_at_baseline"
    NOT_CLEANED = "not_cleaned"
    RESIDUE_SEEN = "residue_seen"
    CAME_BACK = "came_back"
    STAYED_AWAY = "stayed_away"
    GROWING = "growing"
    NOT_GROWING = "not_growing"
    SEVERAL_AT_ONCE = "several_at_once"
    ONE_AT_A_TIME = "one_at_a_time"
    HIGH_PRESSURE = "high_pressure"
    PRESSURE_NORMAL = "pressure_normal"


@dataclass(frozen=True, slots=True)
class Clue:
    """One reason, in numbers a sentence can be made of.

    Attributes:
        value: Its size: millimetres or pixels of distance, a bolt number, a count.
        unit: "mm", "px", "bolt", "sigma", "of" or empty.
        deviation: The deviation, for RULE_DEVIATION.
        weight: Of evidence: natural logarithm of how many times likelier the clue makes its
            origin. 0 where it says nothing.
        second: A second number: of how many, or how many standard deviations.
        photo_id: The photo that shows it.
        at_px: Where in that photo.
        record_id: The record that says it, such as a sealing job or an inspection.
    """

    kind: ClueKind
    value: float | None = None
    unit: str = ""
    deviation: Deviation | None = None
    weight: float = 0.0
    second: float | None = None
    photo_id: UUID | None = None
    at_px: PointPx | None = None
    record_id: UUID | None = None


class Origin(Enum):
    """What a leak may come from."""

    SEAL = "seal"
    BOLT = "bolt"
    JOINT_WITHOUT_JOB = "joint_without_job"
    FROM_ABOVE = "from_above"
    PART_BODY = "part_body"
    RESIDUE = "residue"
    CRANKCASE_PRESSURE = "crankcase_pressure"
    UNKNOWN = "unknown"


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
        origin: The seal, or the bolt's hole.
        chance: That the leak comes from here, 0 to 1; with all other origins it adds up to 1.
        station_sigma_mm: One standard deviation of the place along the joint.
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
    origin: Origin = Origin.SEAL
    chance: float = 0.0
    station_sigma_mm: float | None = None


@dataclass(frozen=True, slots=True)
class OtherOrigin:
    """Something other than a recorded sealing job that a leak may come from.

    Attributes:
        joint: For JOINT_WITHOUT_JOB.
        faces: Names of the faces above, for FROM_ABOVE.
    """

    origin: Origin
    chance: float
    clues: tuple[Clue, ...] = ()
    joint: Joint | None = None
    faces: tuple[str, ...] = ()


class CheckNext(Enum):
    """What would tell two origins apart."""

    DYE = "dye"
    POWDER = "powder"
    WIPE_AND_RECHECK = "wipe_and_recheck"
    TORQUE_CHECK = "torque_check"
    LOOK_ABOVE = "look_above"
    MEASURE_PRESSURE = "measure_pressure"
    DRAW_LINES = "draw_lines"
    MARK_SOURCE = "mark_source"


@dataclass(frozen=True, slots=True)
class NextCheck:
    """What to do next, and why: the two origins it tells apart are named by their words.

    Attributes:
        cautions: What can hurt somebody in it.
    """

    check: CheckNext
    between: tuple[str, str]
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Trace:
    """The candidates for one leak, most likely first; those that a person ruled out last.

    Attributes:
        photo_id: The photo whose mark the distances were taken from.
        source_px: The source in that photo.
        joints_without_job: Joints that may be the source as well, but for which no sealing job is
            recorded from before the run; nearest first.
        others: What it may come from beside the recorded jobs, most likely first; their chances
            and those of the candidates add up to 1.
        source: Where the wet area begins; None without a mark that says so.
        next_check: What would tell the two likeliest apart; None once a cause is confirmed.
        own_weights: Weights that the user's own file changed, by their names.
    """

    leak: Leak
    photo_id: UUID | None
    source_px: PointPx | None
    candidates: tuple[Candidate, ...]
    joints_without_job: tuple[Joint, ...] = ()
    others: tuple[OtherOrigin, ...] = ()
    source: FoundSource | None = None
    next_check: NextCheck | None = None
    own_weights: tuple[str, ...] = ()

    @property
    def ranked(self) -> tuple[Candidate | OtherOrigin, ...]:
        """All origins, most likely first; what a person ruled out last."""
        ruled_out = [one for one in self.candidates if is_ruled_out(one)]
        rest = [one for one in self.candidates if not is_ruled_out(one)]
        open_ones: list[Candidate | OtherOrigin] = [*rest, *self.others]
        return (*sorted(open_ones, key=lambda one: -one.chance), *ruled_out)


def is_ruled_out(candidate: Candidate) -> bool:
    """Return whether a person has ruled a candidate out."""
    verdict = candidate.verdict
    return verdict is not None and verdict.state is CauseState.RULED_OUT
