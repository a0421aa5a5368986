"""Which sealing job may a leak come from, and why?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.analysis.deviating import departures
from leaktrack.analysis.stationing import RuledLine, StationFix, ruled_line
from leaktrack.model.engine import Bolt, Joint, JointLine, LinePoint
from leaktrack.model.sealing_job import Deviation, Evidence, SealingJob
from leaktrack.model.shapes import PointPx, nearest_on_path
from leaktrack.model.trace import Candidate, Cause, CauseState, Clue, ClueKind

# A source this near to the joint starts at the joint: the size of a fingertip's error on a phone,
# and of oil that wicks along a flange. Where the photo has no scale, the same as a share of its
# longer side. Own judgement.
AT_THE_JOINT_MM = 6.0
AT_THE_JOINT_SHARE = 0.02
# A source beside a bolt: within this part of the bolt spacing, within this part of the way from
# line to bolt head sideways, and at least this part of that way off the line. Own judgement.
BOLT_REACH_SPACINGS = 0.2
BOLT_REACH_ARMS = 0.6
BOLT_FROM_ARMS = 0.3
# A bolt whose head was not marked sits on the line itself. Own judgement.
BOLT_ON_LINE_SPACINGS = 0.12
BOLT_ON_LINE_SHARE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A joint with the job that was in force when the engine ran, and what is known of both.

    Attributes:
        bolts: All bolts of the joint.
        line: The joint's line in the photo of the mark; None where none is drawn there.
        job: None where no job from before the run is recorded.
        was_fitted_later: Whether the leak had been seen wet before the job was done.
        is_in_zone: Whether the joint belongs to the leak's own zone.
    """

    joint: Joint
    bolts: tuple[Bolt, ...] = ()
    line: JointLine | None = None
    job: SealingJob | None = None
    deviations: tuple[Deviation, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    was_fitted_later: bool = False
    has_leaked_before: bool = False
    verdict: Cause | None = None
    is_in_zone: bool = True


@dataclass(frozen=True, slots=True)
class MarkedSource:
    """Where a leak starts in one photo.

    Attributes:
        longest_px: The photo's longer side.
        mm_per_px: The photo's scale, where known.
    """

    at: PointPx
    longest_px: int
    mm_per_px: float | None = None

    @property
    def near_px(self) -> float:
        """How far from a joint's line still counts as at the joint."""
        if self.mm_per_px:
            return AT_THE_JOINT_MM / self.mm_per_px
        return AT_THE_JOINT_SHARE * self.longest_px


@dataclass(frozen=True, slots=True)
class _Placed:
    """A suspect, with where the source lies to it; ``clue`` is what that says."""

    suspect: Suspect
    clues: tuple[Clue, ...]
    fix: StationFix | None = None
    bolt: Bolt | None = None


def job_in_force(jobs: Iterable[SealingJob], at: datetime) -> SealingJob | None:
    """Return the last of a joint's jobs that was done by some moment; None if there was none.

    Full times are compared: a joint sealed in the evening cannot have leaked that morning.
    """
    done = [job for job in jobs if job.done_at <= at]
    return max(done, key=lambda job: job.done_at, default=None)


def candidates(
    suspects: Sequence[Suspect], source: MarkedSource | None
) -> tuple[tuple[Candidate, ...], tuple[Joint, ...]]:
    """Return the sealing jobs that may have caused a leak, most likely first.

    The order follows from the clues alone: jobs whose joint or bolt the source lies at, then jobs
    whose joint lies above the source (oil runs down), then those whose joint lies below it, then
    those whose joint is not drawn in the photo, the leak's own zone first. Within each of these the
    nearer joint comes first; between equals, jobs from before the leak was first seen, known
    departures from the rule, and earlier leaks of the joint. What a person has ruled out comes
    last. Up means up in the photo.

    Returns:
        The candidates, and the joints that have no job to blame, nearest first.
    """
    placed = sorted((_placed(suspect, source) for suspect in suspects), key=_rank)
    found = tuple(
        Candidate(
            joint=one.suspect.joint,
            job=one.suspect.job,
            bolt=one.bolt,
            station=one.fix.station if one.fix else None,
            distance_px=one.fix.distance_px if one.fix else None,
            joint_at_px=one.fix.at_px if one.fix else None,
            clues=one.clues,
            evidence=one.suspect.evidence,
            verdict=one.suspect.verdict,
        )
        for one in placed
        if one.suspect.job is not None
    )
    return found, tuple(one.suspect.joint for one in placed if one.suspect.job is None)


def _placed(suspect: Suspect, source: MarkedSource | None) -> _Placed:
    others = tuple(_other_clues(suspect))
    if source is None or suspect.line is None:
        return _Placed(suspect, (Clue(ClueKind.LINE_NOT_DRAWN), *others))
    joint = suspect.joint
    ruled = ruled_line(
        suspect.line, suspect.bolts, is_closed=joint.is_closed, length_mm=joint.length_mm
    )
    fix = ruled.station_at(source.at)
    bolt = _bolt_at(suspect, suspect.line, ruled, fix, source)
    place = _bolt_clues(bolt) if bolt else (_joint_clue(fix, source),)
    return _Placed(suspect, (*place, *others), fix, bolt)


def _bolt_clues(bolt: Bolt) -> tuple[Clue, ...]:
    at = Clue(ClueKind.AT_A_BOLT, float(bolt.number), "bolt")
    return (at, Clue(ClueKind.OPENS_INTO_OIL)) if bolt.opens_into_oil else (at,)


def _joint_clue(fix: StationFix, source: MarkedSource) -> Clue:
    if fix.distance_px <= source.near_px:
        kind = ClueKind.AT_THE_JOINT
    elif fix.at_px.y <= source.at.y + source.near_px:
        kind = ClueKind.BELOW_THE_JOINT
    else:
        kind = ClueKind.ABOVE_THE_JOINT
    if source.mm_per_px:
        return Clue(kind, fix.distance_px * source.mm_per_px, "mm")
    return Clue(kind, fix.distance_px, "px")


def _other_clues(suspect: Suspect) -> Iterable[Clue]:
    for deviation in suspect.deviations:
        yield Clue(ClueKind.RULE_DEVIATION, deviation=deviation)
    if suspect.was_fitted_later:
        yield Clue(ClueKind.FITTED_LATER)
    if suspect.has_leaked_before:
        yield Clue(ClueKind.LEAKED_BEFORE)


def _bolt_at(
    suspect: Suspect, line: JointLine, ruled: RuledLine, fix: StationFix, source: MarkedSource
) -> Bolt | None:
    """Return the bolt that the source lies at, if it lies at one rather than on the line."""
    bolts = {bolt.number: bolt for bolt in suspect.bolts}
    near = [
        (point.at.distance_px(fix.at_px), point.bolt_number)
        for point in line.points
        if point.bolt_number in bolts and _is_at_bolt(point, ruled.spacing_px, fix, source)
    ]
    if not near:
        return None
    number = min(near)[1]
    return bolts[number] if number is not None else None


def _is_at_bolt(
    point: LinePoint, spacing_px: float | None, fix: StationFix, source: MarkedSource
) -> bool:
    if point.head is None:
        reach = BOLT_ON_LINE_SPACINGS * spacing_px if spacing_px else None
        return point.at.distance_px(source.at) <= (reach or BOLT_ON_LINE_SHARE * source.longest_px)
    arm_px = point.at.distance_px(point.head)
    if arm_px == 0 or fix.distance_px < BOLT_FROM_ARMS * arm_px:
        return False
    reach = min(BOLT_REACH_SPACINGS * (spacing_px or arm_px), BOLT_REACH_ARMS * arm_px)
    # Only from the line towards the head: nearest to the foot of the arm means the other side.
    foot = nearest_on_path((point.at, point.head), source.at, is_closed=False)
    return foot.fraction > 0 and foot.distance_px <= reach


_TIERS = {
    ClueKind.AT_A_BOLT: 0,
    ClueKind.AT_THE_JOINT: 0,
    ClueKind.BELOW_THE_JOINT: 1,
    ClueKind.ABOVE_THE_JOINT: 2,
    ClueKind.LINE_NOT_DRAWN: 3,
}


def _rank(one: _Placed) -> tuple[bool, int, float, bool, bool, int, bool, UUID]:
    verdict = one.suspect.verdict
    return (
        verdict is not None and verdict.state is CauseState.RULED_OUT,
        _TIERS[one.clues[0].kind],
        one.fix.distance_px if one.fix else 0.0,
        not one.suspect.is_in_zone,
        one.suspect.was_fitted_later,
        -len(departures(one.suspect.deviations)),
        not one.suspect.has_leaked_before,
        one.suspect.joint.id,
    )
