import pytest

from leaktrack.analysis.grading import ExtentLimits, proposed_grade, published, verdict
from leaktrack.model.engine import SealKind
from leaktrack.model.leak import Fluid, SeepageGrade
from leaktrack.model.severity import DinTerm, Observations, PmcsClass, Verdict

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
    limits = ExtentLimits(heavy_seep_below_mm=76.2)

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
