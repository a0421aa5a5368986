"""How long seals stay dry: what is known of each, and what follows for a kind of them."""

from dataclasses import dataclass
from math import inf
from uuid import UUID

from leaktrack.model.figure import Figure


@dataclass(frozen=True, slots=True)
class DryTime:
    """Between which running hours a seal began to leak.

    Attributes:
        dry_h: It was last seen dry after so many hours; 0: never looked at before it leaked.
        wet_h: It was first seen wet then; infinite: never.
    """

    dry_h: float
    wet_h: float = inf

    @property
    def has_leaked(self) -> bool:
        """Whether it was ever seen wet."""
        return self.wet_h != inf


@dataclass(frozen=True, slots=True, kw_only=True)
class SealRecord:
    """One sealing job with its dry time, and what it may be grouped by.

    Attributes:
        kept_rule: Whether it kept its material's rule; None: there is no rule, or too little
            was recorded.
    """

    job_id: UUID
    engine: str
    joint: str
    kind: str
    material: str
    kept_rule: bool | None
    time: DryTime


@dataclass(frozen=True, slots=True)
class StepCurve:
    """Turnbull's estimate: the share still dry falls somewhere inside each of these spans.

    Attributes:
        spans_h: (from, to] of each fall; the last may end nowhere.
        masses: How much it falls there; they add up to one.
        log_likelihood: Of the data under it.
        known_until_h: Later, the estimate means nothing: seals that were still dry then share the
            last fall, so it is no sign that all of them leak by its end.
    """

    spans_h: tuple[tuple[float, float], ...]
    masses: tuple[float, ...]
    log_likelihood: float
    known_until_h: float = inf


@dataclass(frozen=True, slots=True)
class LifeCurve:
    """A Weibull law: the share still dry after t hours is exp(-(t / scale) ** shape).

    Attributes:
        shape: Below 1: early leaks, as of bad work; above 1: wear; with 95 % interval.
        scale_h: After so many hours, 63 % leak.
        median_h: After so many, half of them do.
    """

    shape: Figure
    scale_h: Figure
    median_h: Figure
    log_likelihood: float


@dataclass(frozen=True, slots=True)
class DryShare:
    """The share still dry after some hours, by the steps and by the law.

    Attributes:
        steps: With a 95 % interval from drawing again; None: nobody looked that late.
        law: The same of the Weibull law; None where there are too few leaks for one.
    """

    hours: float
    steps: Figure | None
    law: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupLife:
    """How long the seals of one group stay dry.

    Attributes:
        by: What they are grouped by: "seal kind", "material" or "rule".
        curve: None where nobody looked, or none of them leaked.
        law: None where there are too few leaks for one.
        last_h: The latest look at any of them; beyond it nothing is known.
    """

    by: str
    name: str
    jobs: int
    leaked: int
    last_h: float
    curve: StepCurve | None
    law: LifeCurve | None
    shares: tuple[DryShare, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SealHistoryReport:
    """The seal history over all engines of a record.

    Attributes:
        groups: By seal kind, then material, then rule; the first holds all jobs.
        hazard_ratio: How many times as fast jobs that left their rule began to leak, with 95 %
            interval; None where there are too few.
        left_out: Jobs that say nothing, by the reason in words.
        records: The jobs that count.
    """

    groups: tuple[GroupLife, ...]
    hazard_ratio: Figure | None
    left_out: tuple[tuple[str, int], ...]
    records: tuple[SealRecord, ...]
