"""All that is known about how bad one leak mark is."""

from dataclasses import dataclass

from leaktrack.model.between import Between
from leaktrack.model.drip import DripOutlook
from leaktrack.model.engine import SealKind
from leaktrack.model.leak import LeakMark, SeepageGrade, wetness
from leaktrack.model.severity import GradeProposal, Judgement, Observations, PublishedClasses


@dataclass(frozen=True, slots=True)
class GradeCard:
    """All that is known about how bad one mark is.

    Attributes:
        given: The grade that a person gave.
        seen: What the proposal rests on.
        is_time_told: Whether a person said for how long it had been getting wet; else it is the
            time since the engine was cleaned.
        judgement: What follows from the given grade.
        classes: What others call the given grade; None: not seen.
        seal_kind: Of the joint that it is thought to come from.
        proposed_judgement: What would follow from the proposed grade.
        proposed_classes: What others call the proposed grade; None: none is proposed.
        outlook: What its drops add up to; None: not counted, or no oil.
        pool: What the pool below it holds, in mL; None: there is none, or it is no oil.
    """

    mark: LeakMark
    given: SeepageGrade
    seen: Observations
    is_time_told: bool
    proposal: GradeProposal
    judgement: Judgement
    classes: PublishedClasses | None
    seal_kind: SealKind | None
    proposed_judgement: Judgement
    proposed_classes: PublishedClasses | None
    outlook: DripOutlook | None
    pool: Between | None = None

    @property
    def offers_other_grade(self) -> bool:
        """Whether what was observed speaks for another grade than the given one."""
        if self.proposal.fired is None or self.proposal.grade is self.given:
            return False
        given, fitting = wetness(self.given), wetness(self.proposal.grade)
        # That it is wet and no drop was seen fits a seep as well as a stain.
        return self.proposal.is_firm or given is None or (fitting or 0) > given
