from dataclasses import replace

import pytest

from leaktrack.analysis.discerning import next_check
from leaktrack.analysis.suspecting import Scene
from leaktrack.model.caution import Caution
from leaktrack.model.engine import SealKind
from leaktrack.model.trace import CheckNext, Clue, ClueKind, Origin, OtherOrigin
from tests.unit.analysis.tracing_scenes import (
    COVER,
    bolt,
    scene,
    seal,
    suspect,
    trace_of,
    with_bolt,
)

AT_SEAM = scene(300, 505)
FOUND = trace_of(AT_SEAM, COVER, suspect("sump", 900))
SEAL, OTHER_SEAL = seal(FOUND), seal(FOUND, "sump")
WET_BOLT = bolt(trace_of(scene(400, 415), with_bolt(COVER, 6, opens_into_oil=True)), 6)


def other(origin):
    return OtherOrigin(origin, 0.2)


@pytest.mark.parametrize(
    ("second", "check"),
    [
        (other(Origin.RESIDUE), CheckNext.WIPE_AND_RECHECK),
        (other(Origin.FROM_ABOVE), CheckNext.LOOK_ABOVE),
        (other(Origin.UNKNOWN), CheckNext.POWDER),
        (other(Origin.PART_BODY), CheckNext.POWDER),
        (other(Origin.CRANKCASE_PRESSURE), CheckNext.MEASURE_PRESSURE),
        (OTHER_SEAL, CheckNext.DYE),
    ],
)
def test_the_check_is_the_one_that_tells_the_likeliest_two_apart(second, check):
    found = next_check((SEAL, second), AT_SEAM)

    assert found.check is check
    assert found.between[0].startswith("cover joint at bolt 5.5")


def test_unlikely_pressure_does_not_stand_before_a_check_that_tells_two_places_apart():
    unlikely = OtherOrigin(Origin.CRANKCASE_PRESSURE, 0.05)

    found = next_check((SEAL, unlikely, OTHER_SEAL), AT_SEAM)

    assert found.check is CheckNext.DYE
    assert found.between[1].startswith("sump")


def test_a_bolt_and_a_seam_with_cured_liquid_gasket_are_not_told_apart_by_a_wrench():
    assert next_check((WET_BOLT, SEAL), AT_SEAM).check is CheckNext.DYE


@pytest.mark.parametrize("how", ["gasket", "untightened"])
def test_a_bolt_of_a_gasket_or_one_that_nobody_tightened_is_checked_with_a_wrench(how):
    joint = SEAL.joint
    clues = WET_BOLT.clues
    if how == "gasket":
        joint = replace(joint, seal_kind=SealKind.GASKET)
    else:
        clues = (*clues, Clue(ClueKind.BOLT_NOT_TIGHTENED, weight=2.0))
    one, two = replace(WET_BOLT, joint=joint, clues=clues), replace(SEAL, joint=joint)

    assert next_check((one, two), AT_SEAM).check is CheckNext.TORQUE_CHECK


def test_two_jobs_at_the_same_place_are_no_pair_that_a_look_could_tell_apart():
    again = replace(WET_BOLT, job=replace(WET_BOLT.job, done_at=WET_BOLT.job.done_at))

    found = next_check((WET_BOLT, again, other(Origin.UNKNOWN)), AT_SEAM)

    assert (found.check, found.between[1]) == (
        CheckNext.POWDER,
        "something that is not in the record",
    )


def test_what_makes_distances_count_comes_first():
    no_lines = trace_of(AT_SEAM, suspect("plug"), suspect("sump"))

    assert next_check((SEAL, OTHER_SEAL), Scene()).check is CheckNext.MARK_SOURCE
    assert next_check(no_lines.candidates, AT_SEAM).check is CheckNext.DRAW_LINES


def test_many_leaks_at_once_ask_for_the_pressure_unless_it_was_measured():
    several = replace(AT_SEAM, are_several_wet=True)

    assert next_check((SEAL, OTHER_SEAL), several).check is CheckNext.MEASURE_PRESSURE
    measured = replace(several, is_pressure_high=False)
    assert next_check((SEAL, OTHER_SEAL), measured).check is CheckNext.DYE


def test_once_a_cause_is_confirmed_nothing_is_left_to_tell():
    assert next_check((SEAL, OTHER_SEAL), replace(AT_SEAM, is_settled=True)) is None
    assert next_check((SEAL,), AT_SEAM) is None


def test_checks_that_can_hurt_come_with_their_cautions():
    assert Caution.UV_LAMP in next_check((SEAL, OTHER_SEAL), AT_SEAM).cautions
    assert Caution.HOT_OIL in next_check((SEAL, other(Origin.UNKNOWN)), AT_SEAM).cautions
