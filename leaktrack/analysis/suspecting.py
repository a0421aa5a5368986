"""Whom does a trace suspect, and what is known around the leak? What a trace is given."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.model.bead_audit import BeadAudit, MisplacedBead
from leaktrack.model.engine import Bolt, Joint, JointLine
from leaktrack.model.sealing_job import (
    Deviation,
    Evidence,
    Part,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Cause, CauseState
from leaktrack.model.verification import Outcome


@dataclass(frozen=True, slots=True)
class SealHistory:
    """How other jobs with the same kind of seal fared on this engine.

    Attributes:
        leaks: Jobs that a person confirmed as the cause of a leak.
        jobs: All that the engine ran on.
    """

    leaks: int = 0
    jobs: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A joint with the job that was in force when the engine ran, and what is known of both.

    Attributes:
        bolts: All bolts of the joint.
        line: The joint's line in the photo of the mark; None where none is drawn there.
        plane: How the photo's target says that its flange leans, as ``Photo.plane`` has it.
        job: None where no job from before the run is recorded.
        audits: What photos of the bare flange show of the job's bead.
        misplaced: Bolts that this bead passes on a side where the rule does not want it.
        was_fitted_later: Whether the leak had been seen wet before the job was done.
        earlier_leak_id: Another leak of the joint, wet at an earlier look.
        redo: What the first look after the joint was sealed again says of this leak.
        verdicts: A person's, on the job as a whole and on bolts of it; at most one on each.
        is_in_zone: Whether the joint belongs to the leak's own zone.
    """

    joint: Joint
    bolts: tuple[Bolt, ...] = ()
    line: JointLine | None = None
    plane: tuple[float, ...] | None = None
    job: SealingJob | None = None
    rule: SealingRule | None = None
    torque_passes: tuple[TorquePass, ...] = ()
    parts: tuple[Part, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    audits: tuple[BeadAudit, ...] = ()
    misplaced: tuple[MisplacedBead, ...] = ()
    was_fitted_later: bool = False
    earlier_leak_id: UUID | None = None
    history: SealHistory = SealHistory()
    redo: Outcome | None = None
    verdicts: tuple[Cause, ...] = ()
    is_in_zone: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What is known around one leak beside the joints. None: nobody knows.

    Attributes:
        source: Where the wet area begins.
        photo_id: The photo that shows it.
        inspection_id: The look that the photo belongs to.
        faces_above: Names of the faces above the leak's own.
        has_baseline: Whether somebody looked before the first run.
        was_wet_at_baseline: What that look saw here.
        was_cleaned: Whether a cleaning is recorded before the look.
        is_residue_seen: Whether somebody took the fluid for residue; None: took it for nothing.
        did_come_back: After wiping.
        is_growing: From look to look.
        are_several_wet: Whether many zones became wet at once, of so many that they could.
        is_pressure_high: Of the crankcase.
        pressure_mmh2o: As measured.
        is_settled: Whether a person has confirmed a cause.
    """

    source: FoundSource | None = None
    photo_id: UUID | None = None
    inspection_id: UUID | None = None
    faces_above: tuple[str, ...] = ()
    has_baseline: bool | None = None
    baseline_id: UUID | None = None
    was_wet_at_baseline: bool | None = None
    was_cleaned: bool | None = None
    is_residue_seen: bool | None = None
    did_come_back: bool | None = None
    is_growing: bool | None = None
    are_several_wet: bool | None = None
    is_pressure_high: bool | None = None
    pressure_mmh2o: float | None = None
    is_settled: bool = False


def job_in_force(jobs: Iterable[SealingJob], at: datetime) -> SealingJob | None:
    """Return the last of a joint's jobs that was done by some moment; None if there was none.

    Full times are compared: a joint sealed in the evening cannot have leaked that morning.
    """
    done = [job for job in jobs if job.done_at <= at]
    return max(done, key=lambda job: job.done_at, default=None)


def verdict_on(suspect: Suspect, bolt: Bolt | None) -> Cause | None:
    """Return what a person decided on a seal, or on one bolt of its joint; None if nothing.

    Ruled out as a whole means every part of it, unless something else was said of that bolt.
    """
    by_bolt = {one.bolt_id: one for one in suspect.verdicts}
    whole = by_bolt.get(None)
    if bolt is None:
        return whole
    is_out = whole is not None and whole.state is CauseState.RULED_OUT
    return by_bolt.get(bolt.id) or (whole if is_out else None)


def loose_bolts(suspect: Suspect) -> tuple[int, ...]:
    """Return the bolts of which no tightening is recorded, though others of the job have one.

    A job without any pass says nothing: nobody wrote its tightening down.
    """
    passes = suspect.torque_passes
    if not passes or any(not one.bolt_numbers for one in passes):
        return ()
    done = {number for one in passes for number in one.bolt_numbers}
    return tuple(bolt.number for bolt in suspect.bolts if bolt.number not in done)
