"""How bad is it? The grade that observations give, and what published classes make of a grade."""

from dataclasses import dataclass
from typing import assert_never

from leaktrack.model.engine import SealKind
from leaktrack.model.leak import Fluid, SeepageGrade, wetness
from leaktrack.model.severity import (
    DinTerm,
    FiredRule,
    GradeProposal,
    Judgement,
    Observations,
    PmcsClass,
    PublishedClasses,
    Verdict,
)

_ISO = "ISO/TR 11340, table 1, as a vendor's page gives it"
_PMCS = "TM 10-6640-233-10, page 2-17"
_FAA = "FAA fuel leak classes by wet extent after 30 minutes, read second-hand"
_NAVY = "NAVEDTRA 14315, time to reappear after wiping dry"
_DIN = "DIN 3761 terms, as tabulated in a gear-unit maker's manual"
_FUEL = "TM 10-4930-229-12&P: classes I and II are allowed of any fluid except fuel"


@dataclass(frozen=True, slots=True)
class ExtentLimits:
    """Widths of a wet area that divide the grades, and for how long it had grown.

    Source:
        FAA wording for fuel leaks: 3/4, 1 1/2 and 4 inches after 30 minutes; read in an
        unattributed copy. Other sources recall 3 inches (76.2 mm) for the last one, so it can be
        set.
    """

    stain_below_mm: float = 19.05
    seep_below_mm: float = 38.1
    heavy_seep_below_mm: float = 101.6
    after_min: float = 30.0


# NAVEDTRA 14315 says "immediately" for a heavy seep; what that is in minutes is own judgement.
AT_ONCE_MIN = 1.0


def published(grade: SeepageGrade) -> PublishedClasses | None:
    """Return what a grade is called in published classes; None where nobody could see it.

    Source:
        PMCS: class I is wetness that forms no drops, II drops that do not fall, III drops that fall
        (TM 10-6640-233-10). ISO/TR 11340: 1 does not recur, 2 recurs without a droplet, 3 droplet
        that does not fall, 4 droplet that falls, 5 a measurable stream. DIN 3761: damp, wet and
        measurable. How they go together beyond these words is own judgement.

    >>> published(SeepageGrade.HEAVY_SEEP).pmcs
    <PmcsClass.II: 'II'>
    """
    match grade:
        case SeepageGrade.DRY:
            return PublishedClasses(None, 0, (DinTerm.SEALED,))
        case SeepageGrade.STAIN:
            return PublishedClasses(PmcsClass.I, 1, (DinTerm.DAMP,))
        case SeepageGrade.SEEP:
            return PublishedClasses(PmcsClass.I, 2, (DinTerm.DAMP, DinTerm.WET))
        case SeepageGrade.HEAVY_SEEP:
            return PublishedClasses(PmcsClass.II, 3, (DinTerm.WET,))
        case SeepageGrade.DRIP:
            return PublishedClasses(PmcsClass.III, 4, (DinTerm.MEASURABLE,))
        case SeepageGrade.STREAM:
            return PublishedClasses(PmcsClass.III, 5, (DinTerm.MEASURABLE,))
        case SeepageGrade.NOT_SEEN:
            return None
        case _:
            assert_never(grade)


def verdict(grade: SeepageGrade, seal_kind: SealKind | None, fluid: Fluid) -> Judgement:
    """Return what follows from a leak: it depends on the grade, the seal and the fluid.

    A film at a lip seal is normal, the same film at a housing joint is not; any wetness of fuel is
    to be reported at once.

    Args:
        grade: How wet it is.
        seal_kind: Of the joint it comes from; None where that is not known: judged as a housing
            joint, the stricter column.
        fluid: What it is, as far as known.
    """
    digit = wetness(grade)
    if digit is None:
        return Judgement(Verdict.NOT_SEEN, "Nobody could see this place.", "")
    if digit == 0:
        return Judgement(Verdict.ACCEPTABLE, "It is dry.", "")
    if fluid is Fluid.FUEL:
        return Judgement(Verdict.STOP_AND_MEND, "Any wetness of fuel is a fire risk.", _FUEL)
    if fluid is Fluid.ASSEMBLY_RESIDUE:
        return Judgement(
            Verdict.WIPE_AND_LOOK_AGAIN,
            "Residue from the assembly counts as apparent leakage until it comes back.",
            _DIN,
        )
    return _by_seal(digit, seal_kind)


def proposed_grade(seen: Observations, limits: ExtentLimits | None = None) -> GradeProposal:
    """Return the grade that observations give, with every rule that fired; the worse one counts."""
    by_drops = _by_drops(seen)
    by_extent = _by_extent(seen, limits or ExtentLimits())
    by_reappearing = _by_reappearing(seen)
    fired = [rule for rule in (by_drops, by_extent, by_reappearing) if rule is not None]
    if not fired:
        return GradeProposal(SeepageGrade.NOT_SEEN, None, None, None, None)
    first = max(fired, key=lambda rule: wetness(rule.grade) or 0)
    return GradeProposal(first.grade, first, by_drops, by_extent, by_reappearing)


def _by_seal(digit: int, seal_kind: SealKind | None) -> Judgement:
    if digit >= 4:
        return Judgement(Verdict.REPAIR, "Drops fall: a measurable leak.", _DIN)
    if seal_kind is SealKind.LIP_SEAL:
        return Judgement(Verdict.ACCEPTABLE, "A film at a lip seal is normal.", _DIN)
    if digit >= 2:
        return Judgement(
            Verdict.REPAIR_IF_NECESSARY, "A housing joint that is wet is not as it should be.", _DIN
        )
    return Judgement(Verdict.ACCEPTABLE, "A housing joint may be damp in one spot.", _DIN)


def _by_drops(seen: Observations) -> FiredRule | None:
    if seen.is_stream:
        return FiredRule(SeepageGrade.STREAM, "it runs in a stream", _ISO)
    if seen.do_drops_fall or (seen.drops_per_minute or 0) > 0:
        return FiredRule(SeepageGrade.DRIP, "drops fall", _PMCS)
    if seen.has_hanging_drop:
        return FiredRule(SeepageGrade.HEAVY_SEEP, "a drop hangs but does not fall", _PMCS)
    if seen.is_wet:
        return FiredRule(SeepageGrade.STAIN, "wet, and no drop forms", _PMCS)
    if seen.is_wet is False:
        return FiredRule(SeepageGrade.DRY, "no sign of moisture", _ISO)
    return None


def _by_extent(seen: Observations, limits: ExtentLimits) -> FiredRule | None:
    """Grade by size; an area that grew for longer than the rule's time says nothing by its size."""
    if seen.extent_mm is None or seen.minutes is None or seen.minutes > limits.after_min:
        return None
    size = f"{seen.extent_mm:.0f} mm wide after {seen.minutes:.0f} min"
    if seen.extent_mm <= 0:
        return FiredRule(SeepageGrade.DRY, size, _FAA)
    if seen.extent_mm < limits.stain_below_mm:
        return FiredRule(SeepageGrade.STAIN, size, _FAA)
    if seen.extent_mm < limits.seep_below_mm:
        return FiredRule(SeepageGrade.SEEP, size, _FAA)
    if seen.extent_mm < limits.heavy_seep_below_mm:
        return FiredRule(SeepageGrade.HEAVY_SEEP, size, _FAA)
    return FiredRule(SeepageGrade.DRIP, size, _FAA)


def _by_reappearing(seen: Observations) -> FiredRule | None:
    if seen.reappears_after_min is not None:
        after = f"wet again {seen.reappears_after_min:.0f} min after wiping"
        if seen.reappears_after_min <= AT_ONCE_MIN:
            return FiredRule(SeepageGrade.HEAVY_SEEP, after, _NAVY)
        return FiredRule(SeepageGrade.SEEP, after, _NAVY)
    if seen.did_reappear:
        return FiredRule(SeepageGrade.SEEP, "wet again after wiping, without a drop", _ISO)
    if seen.did_reappear is False:
        return FiredRule(SeepageGrade.STAIN, "did not come back after wiping", _ISO)
    return None
