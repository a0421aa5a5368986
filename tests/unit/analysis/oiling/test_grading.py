import math

import numpy as np
import pytest

from leaktrack.analysis.oiling.grading import grade_of_extent, proposed_grade, published, verdict
from leaktrack.model.engine import SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import Fluid, SeepageGrade, wetness
from leaktrack.model.photo import Light
from leaktrack.model.severity import (
    DinTerm,
    GradeLimits,
    GradeRule,
    NextLook,
    Observations,
    PmcsClass,
    Verdict,
)

# TM 10-6640-233-10 (page 2-17): class II forms drops that do not drip, class III forms drops that
# fall. ISO/TR 11340, table 1, read second-hand: 3 is a droplet that does not fall, 4 one that
# falls, 5 a measurable stream.
HANGING = Observations(is_wet=True, has_hanging_drop=True)
FALLING = Observations(is_wet=True, do_drops_fall=True)
COUNTED = Observations(is_wet=True, drops_per_minute=2.0)
RUNNING = Observations(is_wet=True, is_stream=True)


@pytest.mark.parametrize(
    ("seen", "pmcs", "iso"),
    [
        (HANGING, PmcsClass.II, 3),
        (FALLING, PmcsClass.III, 4),
        (COUNTED, PmcsClass.III, 4),
        (RUNNING, PmcsClass.III, 5),
    ],
)
def test_drops_are_classed_as_the_army_and_the_hydraulics_trade_class_them(seen, pmcs, iso):
    classes = published(proposed_grade(seen).grade)

    assert (classes.pmcs, classes.iso_tr_11340) == (pmcs, iso)


# ISO/TR 11340: 1 is fluid that does not recur, 2 fluid that recurs without a droplet.
@pytest.mark.parametrize(("did_reappear", "iso"), [(False, 1), (True, 2)])
def test_wiping_and_looking_again_divides_the_first_two_classes(did_reappear, iso):
    seen = Observations(is_wet=True, has_hanging_drop=False, did_reappear=did_reappear)

    classes = published(proposed_grade(seen).grade)

    assert (classes.pmcs, classes.iso_tr_11340) == (PmcsClass.I, iso)


def test_dry_is_class_0_and_sealed():
    classes = published(proposed_grade(Observations(is_wet=False)).grade)

    assert (classes.pmcs, classes.iso_tr_11340) == (None, 0)
    assert classes.din_3761 == (DinTerm.SEALED,)


# FAA wording for fuel leaks after 30 minutes (read second-hand): stain below 3/4 inch (19.05 mm),
# seep to 1 1/2 (38.1), heavy seep to 4 (101.6), beyond that a running leak.
@pytest.mark.parametrize(
    ("extent_mm", "grade"),
    [
        (19.0, SeepageGrade.STAIN),
        (19.05, SeepageGrade.SEEP),
        (38.0, SeepageGrade.SEEP),
        (38.1, SeepageGrade.HEAVY_SEEP),
        (101.5, SeepageGrade.HEAVY_SEEP),
        (101.6, SeepageGrade.DRIP),
    ],
)
def test_the_size_of_the_wet_area_after_half_an_hour_gives_the_aviation_grade(extent_mm, grade):
    assert proposed_grade(Observations(extent_mm=extent_mm, minutes=30)).grade is grade


def test_the_top_size_can_be_set_since_sources_differ():
    limits = GradeLimits(heavy_seep_below_mm=76.2)

    proposal = proposed_grade(Observations(extent_mm=80, minutes=30), limits)

    assert proposal.grade is SeepageGrade.DRIP


@pytest.mark.parametrize("minutes", [None, 240.0])
def test_a_size_that_took_longer_or_nobody_knows_how_long_says_nothing(minutes):
    proposal = proposed_grade(Observations(is_wet=True, extent_mm=150, minutes=minutes))

    assert proposal.by_extent is None
    assert proposal.grade is SeepageGrade.STAIN


def test_where_drops_and_size_disagree_the_worse_counts_and_both_are_kept():
    long_streak = Observations(is_wet=True, has_hanging_drop=False, extent_mm=60, minutes=30)

    proposal = proposed_grade(long_streak)

    assert proposal.grade is SeepageGrade.HEAVY_SEEP
    assert proposal.fired == proposal.by_extent
    assert proposal.by_drops.grade is SeepageGrade.STAIN


# NAVEDTRA 14315: a seep reappears in less than about an hour, a heavy seep immediately.
@pytest.mark.parametrize(
    ("minutes", "grade"), [(0.5, SeepageGrade.HEAVY_SEEP), (40, SeepageGrade.SEEP)]
)
def test_the_time_until_it_is_wet_again_gives_the_navys_grade(minutes, grade):
    assert proposed_grade(Observations(reappears_after_min=minutes)).grade is grade


def test_nothing_observed_is_not_seen_rather_than_dry():
    proposal = proposed_grade(Observations())

    assert (proposal.grade, proposal.fired) == (SeepageGrade.NOT_SEEN, None)


# DIN 3761 terms as tabulated by a gear-unit maker: damp and wet are in order at a shaft seal; a wet
# housing joint is repaired if necessary; a measurable leak is repaired everywhere.
@pytest.mark.parametrize(
    ("grade", "seal_kind", "expected"),
    [
        (SeepageGrade.SEEP, SealKind.LIP_SEAL, Verdict.ACCEPTABLE),
        (SeepageGrade.STAIN, SealKind.LIQUID_GASKET, Verdict.ACCEPTABLE),
        (SeepageGrade.SEEP, SealKind.LIQUID_GASKET, Verdict.REPAIR_IF_NECESSARY),
        (SeepageGrade.HEAVY_SEEP, SealKind.GASKET, Verdict.REPAIR_IF_NECESSARY),
        (SeepageGrade.DRIP, SealKind.LIP_SEAL, Verdict.REPAIR),
        (SeepageGrade.STREAM, SealKind.LIQUID_GASKET, Verdict.REPAIR),
        (SeepageGrade.SEEP, None, Verdict.REPAIR_IF_NECESSARY),
        (SeepageGrade.DRY, SealKind.GASKET, Verdict.ACCEPTABLE),
        (SeepageGrade.NOT_SEEN, SealKind.GASKET, Verdict.NOT_SEEN),
    ],
)
def test_the_verdict_depends_on_the_seal_as_well_as_on_the_grade(grade, seal_kind, expected):
    assert verdict(grade, seal_kind, Fluid.ENGINE_OIL).verdict is expected


# TM 10-4930-229-12&P allows classes I and II "of any fluid except fuel".
@pytest.mark.parametrize("seal_kind", list(SealKind))
def test_any_wetness_of_fuel_stops_the_work(seal_kind):
    judged = verdict(SeepageGrade.STAIN, seal_kind, Fluid.FUEL)

    assert judged.verdict is Verdict.STOP_AND_MEND


def test_residue_from_the_assembly_is_wiped_and_looked_at_again():
    judged = verdict(SeepageGrade.SEEP, SealKind.GASKET, Fluid.ASSEMBLY_RESIDUE)

    assert judged.verdict is Verdict.WIPE_AND_LOOK_AGAIN


def test_a_place_nobody_could_see_has_no_published_class():
    assert published(SeepageGrade.NOT_SEEN) is None


# Car maker A (read): a weep is a dye trace under UV, with no oil seen in white light.
def test_what_glows_but_shows_no_oil_in_white_light_is_a_stain_at_most():
    glowing = Observations(is_wet=True, light=Light.UV, is_dry_in_white=True)

    proposal = proposed_grade(glowing)

    assert (proposal.grade, proposal.fired.rule) == (SeepageGrade.STAIN, GradeRule.ONLY_GLOWS)
    assert proposal.is_firm


@pytest.mark.parametrize(
    ("seen", "next_look"),
    [
        (Observations(is_wet=True), NextLook.WIPE),
        (Observations(is_wet=True), NextLook.DROPS),
        (Observations(is_wet=True, do_drops_fall=True), NextLook.COUNT_DROPS),
        (Observations(is_wet=True, extent_mm=20.0), NextLook.MINUTES),
        (Observations(is_wet=True, light=Light.UV), NextLook.WHITE_LIGHT),
    ],
)
def test_what_nobody_looked_at_yet_is_asked_for(seen, next_look):
    assert next_look in proposed_grade(seen).next_looks


def test_nothing_more_is_asked_about_a_dry_place():
    assert proposed_grade(Observations(is_wet=False)).next_looks == ()


def test_bare_wetness_is_no_firm_ground_for_a_grade():
    assert not proposed_grade(Observations(is_wet=True)).is_firm
    assert proposed_grade(Observations(is_wet=True, did_reappear=True)).is_firm


def test_a_size_near_a_limit_allows_the_grades_on_both_sides():
    seen = Observations(is_wet=True, extent_mm=37.0, extent_sigma_mm=1.0, minutes=30)

    proposal = proposed_grade(seen)

    assert proposal.extent_grades == (SeepageGrade.SEEP, SeepageGrade.HEAVY_SEEP)


def test_after_a_longer_time_a_size_only_bounds_the_grade_from_above():
    seen = Observations(is_wet=True, extent_mm=15.0, extent_sigma_mm=0.5, minutes=600)

    proposal = proposed_grade(seen)

    assert proposal.by_extent is None
    assert proposal.extent_grades == (None, SeepageGrade.STAIN)


def test_what_counts_as_at_once_can_be_set_since_no_source_says():
    seen = Observations(reappears_after_min=4.0)

    assert proposed_grade(seen).grade is SeepageGrade.SEEP
    assert proposed_grade(seen, GradeLimits(at_once_min=5.0)).grade is SeepageGrade.HEAVY_SEEP


def test_a_larger_size_never_gives_a_lesser_grade():
    digits = [wetness(grade_of_extent(size)) for size in np.linspace(0, 150, 301)]

    assert digits == sorted(digits)
    assert (digits[0], digits[-1]) == (0, 4)


@pytest.mark.parametrize(
    ("seen", "what"),
    [
        (Observations(extent_mm=-1.0, minutes=30), "extent of the wet area is -1 mm"),
        (Observations(extent_mm=math.nan, minutes=30), "extent of the wet area is not a number"),
        (Observations(drops_per_minute=-0.5), "rate is -0.5 drops a minute"),
        (Observations(minutes=math.inf, extent_mm=3), "had been getting wet is inf min"),
        (Observations(reappears_after_min=-2.0), "until it is wet again is -2 min"),
    ],
)
def test_figures_that_cannot_be_are_refused_with_the_limit(seen, what):
    with pytest.raises(BadInput, match=f"{what}, but must be 0"):
        proposed_grade(seen)


def test_limits_that_do_not_rise_are_refused():
    with pytest.raises(BadInput, match=r"19\.05, 38\.1, 30 mm"):
        proposed_grade(Observations(is_wet=True), GradeLimits(heavy_seep_below_mm=30.0))
