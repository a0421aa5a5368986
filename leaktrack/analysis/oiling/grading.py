"""How bad is it? The grade that observations give, and what published classes make of a grade."""

import math
from typing import assert_never

from leaktrack.analysis.refusing import limited
from leaktrack.model.engine import SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import Fluid, SeepageGrade, wetness
from leaktrack.model.photo import Light
from leaktrack.model.severity import (
    DinTerm,
    FiredRule,
    GradeLimits,
    GradeProposal,
    GradeRule,
    Judgement,
    NextLook,
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
_CAR_MAKER_A = "car maker A, general procedures for oil leak inspection"
_FUEL = "TM 10-4930-229-12&P: classes I and II are allowed of any fluid except fuel"


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


def proposed_grade(seen: Observations, limits: GradeLimits | None = None) -> GradeProposal:
    """Return the grade that observations give, with every rule that fired; the worse one counts.

    Args:
        seen: What is known.
        limits: Where grades end, as far as figures tell.

    Raises:
        BadInput: A figure is negative or not a number, or the limits do not rise.
    """
    limits = limits or GradeLimits()
    _check(seen, limits)
    by_drops = _by_drops(seen)
    by_extent = _by_extent(seen, limits)
    by_reappearing = _by_reappearing(seen, limits)
    by_light = _by_light(seen)
    if by_light is not None and by_drops is not None and by_drops.rule is GradeRule.WET_NO_DROP:
        by_drops = None  # what only glows is not wet
    fired = [rule for rule in (by_drops, by_extent, by_reappearing, by_light) if rule is not None]
    first = max(fired, key=lambda rule: wetness(rule.grade) or 0, default=None)
    return GradeProposal(
        first.grade if first else SeepageGrade.NOT_SEEN,
        first,
        by_drops,
        by_extent,
        by_reappearing,
        by_light,
        _extent_grades(seen, limits),
        is_firm=any(rule.rule is not GradeRule.WET_NO_DROP for rule in fired),
        next_looks=_next_looks(seen),
    )


def grade_of_extent(extent_mm: float, limits: GradeLimits | None = None) -> SeepageGrade:
    """Return the grade of a wet area's longest way across after the time of the limits.

    Raises:
        BadInput: The extent is negative or not a number.

    >>> grade_of_extent(25.0)
    <SeepageGrade.SEEP: 'seep'>
    """
    limits = limits or GradeLimits()
    limited(extent_mm, "extent of the wet area", "mm")
    if extent_mm == 0:
        return SeepageGrade.DRY
    if extent_mm < limits.stain_below_mm:
        return SeepageGrade.STAIN
    if extent_mm < limits.seep_below_mm:
        return SeepageGrade.SEEP
    if extent_mm < limits.heavy_seep_below_mm:
        return SeepageGrade.HEAVY_SEEP
    return SeepageGrade.DRIP


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


def _check(seen: Observations, limits: GradeLimits) -> None:
    figures = (
        (seen.drops_per_minute, "rate", "drops a minute"),
        (seen.extent_mm, "extent of the wet area", "mm"),
        (seen.extent_sigma_mm, "uncertainty of the extent", "mm"),
        (seen.minutes, "time it had been getting wet", "min"),
        (seen.reappears_after_min, "time until it is wet again", "min"),
        (limits.after_min, "time that the sizes are meant for", "min"),
        (limits.at_once_min, "time that counts as at once", "min"),
    )
    for figure, what, unit in figures:
        if figure is not None:
            limited(figure, what, unit)
    sizes = (limits.stain_below_mm, limits.seep_below_mm, limits.heavy_seep_below_mm)
    if not (0 < sizes[0] < sizes[1] < sizes[2] < math.inf):
        told = ", ".join(f"{size:g}" for size in sizes)
        raise BadInput(f"The sizes that divide the grades must rise from above 0, not {told} mm.")


def _by_drops(seen: Observations) -> FiredRule | None:
    if seen.is_stream:
        return FiredRule(SeepageGrade.STREAM, GradeRule.STREAM, _ISO)
    if seen.do_drops_fall or (seen.drops_per_minute or 0) > 0:
        return FiredRule(SeepageGrade.DRIP, GradeRule.DROPS_FALL, _PMCS)
    if seen.has_hanging_drop:
        return FiredRule(SeepageGrade.HEAVY_SEEP, GradeRule.DROP_HANGS, _PMCS)
    if seen.is_wet:
        return FiredRule(SeepageGrade.STAIN, GradeRule.WET_NO_DROP, _PMCS)
    if seen.is_wet is False:
        return FiredRule(SeepageGrade.DRY, GradeRule.NOTHING_WET, _ISO)
    return None


def _by_extent(seen: Observations, limits: GradeLimits) -> FiredRule | None:
    """Grade by size; an area that grew for longer than the rule's time says nothing by its size."""
    if seen.extent_mm is None or seen.minutes is None or seen.minutes > limits.after_min:
        return None
    return FiredRule(grade_of_extent(seen.extent_mm, limits), GradeRule.EXTENT, _FAA)


def _extent_grades(
    seen: Observations, limits: GradeLimits
) -> tuple[SeepageGrade | None, SeepageGrade] | None:
    """Return the grades that the size allows; an area that had more time was no larger before."""
    if seen.extent_mm is None or seen.minutes is None:
        return None
    doubt = 2 * (seen.extent_sigma_mm or 0.0)
    highest = grade_of_extent(seen.extent_mm + doubt, limits)
    if seen.minutes > limits.after_min:
        return None, highest
    return grade_of_extent(max(seen.extent_mm - doubt, 0.0), limits), highest


def _by_reappearing(seen: Observations, limits: GradeLimits) -> FiredRule | None:
    if seen.reappears_after_min is not None:
        if seen.reappears_after_min <= limits.at_once_min:
            return FiredRule(SeepageGrade.HEAVY_SEEP, GradeRule.BACK_AT_ONCE, _NAVY)
        return FiredRule(SeepageGrade.SEEP, GradeRule.BACK_LATER, _NAVY)
    if seen.did_reappear:
        return FiredRule(SeepageGrade.SEEP, GradeRule.CAME_BACK, _ISO)
    if seen.did_reappear is False:
        return FiredRule(SeepageGrade.STAIN, GradeRule.STAYED_AWAY, _ISO)
    return None


def _by_light(seen: Observations) -> FiredRule | None:
    """Grade what glows under the lamp while white light shows no oil: maker A calls it a weep."""
    if seen.light is Light.UV and seen.is_wet and seen.is_dry_in_white:
        return FiredRule(SeepageGrade.STAIN, GradeRule.ONLY_GLOWS, _CAR_MAKER_A)
    return None


def _next_looks(seen: Observations) -> tuple[NextLook, ...]:
    """Return what nobody has looked at yet and could change the grade."""
    if not seen.is_wet:
        return ()
    do_fall = bool(seen.is_stream or seen.do_drops_fall or seen.drops_per_minute)
    asks = {
        NextLook.DROPS: not do_fall and seen.has_hanging_drop is None,
        NextLook.COUNT_DROPS: do_fall and not seen.is_stream and seen.drops_per_minute is None,
        NextLook.WIPE: not do_fall
        and seen.did_reappear is None
        and seen.reappears_after_min is None,
        NextLook.MINUTES: seen.extent_mm is not None and seen.minutes is None,
        NextLook.WHITE_LIGHT: seen.light is Light.UV and seen.is_dry_in_white is None,
    }
    return tuple(look for look, is_open in asks.items() if is_open)
