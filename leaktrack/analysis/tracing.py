"""Where does a leak come from? Chances of all origins by Bayes' rule, with what speaks for each."""

from collections.abc import Sequence, Set
from dataclasses import dataclass
from uuid import UUID

from leaktrack.analysis.supposing import Hypothesis, hypotheses
from leaktrack.analysis.suspecting import Scene, Suspect, verdict_on
from leaktrack.analysis.weighing import Weights, posterior
from leaktrack.model.engine import Bolt, Joint
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import (
    Candidate,
    Cause,
    Origin,
    OtherOrigin,
    is_ruled_out,
)

# A source this near to the joint starts at the joint: the size of a fingertip's error on a phone,
# and of oil that wicks along a flange. Where the photo has no scale, the same as a share of its
# longer side. Own judgement.
AT_THE_JOINT_MM = 6.0
AT_THE_JOINT_SHARE = 0.02


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
class Traced:
    """All origins of one leak; chances of candidates and others add up to one.

    Attributes:
        joints_without_job: Joints that may be the source, of which no job is recorded.
    """

    candidates: tuple[Candidate, ...]
    others: tuple[OtherOrigin, ...]
    joints_without_job: tuple[Joint, ...]


def traced(suspects: Sequence[Suspect], scene: Scene, weights: Weights) -> Traced:
    """Return what a leak may come from, with the chance of each origin and the clues behind it.

    The chance of an origin is its share before any clue, times the exponential of the sum of its
    clues' weights, over the sum of the same of all origins (Bayes' rule with clues that are taken
    to be independent given the origin). The weight of a place compares how densely sources show up
    there that come from this origin, with those that come from anywhere in the photo.

    Args:
        suspects: Joints with a job that may be to blame, and joints without.
        scene: What is known around the leak.
        weights: The weights.
    """
    supposed = hypotheses(suspects, scene, weights)
    chances = posterior([one.log_odds for one in supposed])
    pairs = list(zip(supposed, chances, strict=True))
    bolt_ids = {one.bolt.id for one in supposed if one.bolt is not None}
    found = [_candidate(one, chance, bolt_ids) for one, chance in pairs if _is_of_job(one)]
    others = [_other(one, chance, scene) for one, chance in pairs if not _is_of_job(one)]
    without = sorted(
        (other for other in others if other.joint is not None), key=lambda other: -other.chance
    )
    return Traced(
        tuple(sorted(found, key=lambda one: (is_ruled_out(one), -one.chance))),
        tuple(sorted(others, key=lambda one: -one.chance)),
        tuple(other.joint for other in without if other.joint is not None),
    )


def _is_of_job(one: Hypothesis) -> bool:
    return one.suspect is not None and one.suspect.job is not None


def _candidate(one: Hypothesis, chance: float, bolt_ids: Set[UUID]) -> Candidate:
    suspect = one.suspect
    assert suspect is not None
    assert suspect.job is not None
    return Candidate(
        joint=suspect.joint,
        job=suspect.job,
        bolt=one.bolt,
        station=one.station,
        distance_px=one.fix.distance_px if one.fix else None,
        joint_at_px=one.place.at if one.place else None,
        clues=one.clues,
        evidence=suspect.evidence,
        verdict=_verdict(suspect, one.bolt, bolt_ids),
        origin=one.origin,
        chance=chance,
        station_sigma_mm=one.place.sigma_mm if one.place else None,
    )


def _verdict(suspect: Suspect, bolt: Bolt | None, bolt_ids: Set[UUID]) -> Cause | None:
    """Return a person's verdict on this seal or bolt.

    One on a bolt that is not among the origins, as where no line is drawn, stands with the seal,
    unless the seal has its own.
    """
    found = verdict_on(suspect, bolt)
    if found is not None or bolt is not None:
        return found
    elsewhere = [one for one in suspect.verdicts if one.bolt_id not in bolt_ids]
    return max(elsewhere, key=lambda one: one.decided_at, default=None)


def _other(one: Hypothesis, chance: float, scene: Scene) -> OtherOrigin:
    return OtherOrigin(
        one.origin,
        chance,
        one.clues,
        one.suspect.joint if one.suspect else None,
        scene.faces_above if one.origin is Origin.FROM_ABOVE else (),
    )
