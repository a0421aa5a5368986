from dataclasses import replace
from datetime import timedelta
from math import exp, hypot, pi, radians, sqrt, tan

import pytest

from leaktrack.analysis.suspecting import job_in_force
from leaktrack.model.engine import LinePoint
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import Deviation, DeviationKind, SealingJob, TorquePass
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState, ClueKind, Origin
from tests.unit.analysis.trace_weights import WEIGHTS
from tests.unit.analysis.tracing_scenes import (
    COVER,
    MM_PER_PX,
    NOON,
    SIZE,
    bolt,
    clue,
    kinds,
    other,
    scene,
    seal,
    suspect,
    trace_of,
    with_bolt,
)


def test_a_source_on_the_line_starts_at_the_joint_between_its_bolts():
    found = trace_of(scene(120, 505), COVER)

    one = found.candidates[0]
    assert (one.joint, one.bolt) == (COVER.joint, None)
    assert one.station == pytest.approx(4.6, abs=0.02)
    assert one.joint_at_px.distance_px(PointPx(120, 500)) < 4
    assert one.distance_px == 5
    assert one.clues[0].kind is ClueKind.AT_THE_JOINT
    assert (one.clues[0].value, one.clues[0].unit) == (pytest.approx(0.75), "mm")
    assert one.chance > 0.8


def test_without_a_scale_the_distance_is_told_in_pixels():
    one = seal(trace_of(scene(300, 505, mm_per_px=None), COVER))

    assert (one.clues[0].value, one.clues[0].unit) == (5, "px")


@pytest.mark.parametrize(
    ("y", "kind"),
    [
        (534, ClueKind.AT_THE_JOINT),
        (540, ClueKind.BELOW_THE_JOINT),
        (466, ClueKind.AT_THE_JOINT),
        (460, ClueKind.ABOVE_THE_JOINT),
    ],
)
def test_at_the_joint_means_within_two_standard_deviations(y, kind):
    """By hand: click 2, line 1.2 and creeping 1.5 mm make 2.8 mm; twice that is 5.5 mm or 37 px."""
    assert seal(trace_of(scene(300, y), COVER)).clues[0].kind is kind


def test_a_source_beside_a_bolt_starts_at_that_bolt_and_not_at_the_seam():
    found = trace_of(scene(605, 430), COVER)

    one = found.candidates[0]
    assert (one.bolt.number, one.origin, one.station) == (7, Origin.BOLT, 7.0)
    assert (one.clues[0].kind, one.clues[0].value) == (ClueKind.AT_A_BOLT, 7)


@pytest.mark.parametrize("at", [(500, 500), (600, 620), (300, 505)])
def test_sources_away_from_bolts_do_not_start_at_one(at):
    assert trace_of(scene(*at), COVER).candidates[0].bolt is None


def test_of_two_joints_above_the_nearer_one_is_likelier():
    far, near = suspect("top cover", 100), suspect("side cover", 300)

    found = trace_of(scene(300, 400), far, near)

    assert seal(found, "side cover").chance > 2 * seal(found, "top cover").chance


def test_oil_runs_down_so_a_joint_below_the_source_is_less_likely_at_the_same_distance():
    above, below = suspect("top cover", 300), suspect("sump", 600)

    found = trace_of(scene(300, 450), below, above)

    assert seal(found, "top cover").chance > 3 * seal(found, "sump").chance
    assert clue(seal(found, "sump"), ClueKind.ABOVE_THE_JOINT).weight < 0


def test_far_from_everything_that_is_recorded_the_unknown_is_likeliest():
    found = trace_of(scene(1500, 1300), COVER)

    assert found.others[0].origin is Origin.UNKNOWN
    assert found.others[0].chance > found.candidates[0].chance


def test_joints_without_a_line_come_with_the_own_zone_first():
    elsewhere = suspect("rear seal", is_in_zone=False)
    found = trace_of(scene(300, 1300), elsewhere, suspect("plug"))

    assert [one.joint.name for one in found.candidates] == ["plug", "rear seal"]
    assert kinds(found.candidates[0]) == {ClueKind.LINE_NOT_DRAWN}
    assert found.candidates[0].station is None


def test_a_leak_without_a_source_says_nothing_of_places():
    (one,) = trace_of(scene(), COVER).candidates

    assert one.clues[0].kind is ClueKind.LINE_NOT_DRAWN


def test_a_joint_without_a_job_is_an_origin_of_its_own():
    unrecorded = replace(COVER, job=None)

    found = trace_of(scene(120, 505), unrecorded, suspect("plug"))

    assert found.joints_without_job == (COVER.joint,)
    assert found.others[0].joint == COVER.joint
    assert [one.joint.name for one in found.candidates] == ["plug"]


def ruled_out(one, bolt_id=None, state=CauseState.RULED_OUT):
    return replace(
        one,
        verdicts=(
            *one.verdicts,
            Cause(
                leak_id=new_id(), sealing_job_id=one.job.id, bolt_id=bolt_id, state=state,
                reason="dry under powder", decided_at=NOON,
            ),
        ),
    )  # fmt: skip


def test_what_a_person_ruled_out_comes_last_with_all_its_bolts():
    far = suspect("top cover", 100)

    found = trace_of(scene(120, 505), ruled_out(COVER), far)

    assert found.candidates[0].joint.name == "top cover"
    out = [one for one in found.candidates if one.joint == COVER.joint]
    assert len(out) > 1
    assert all(ClueKind.RULED_OUT in kinds(one) and one.verdict for one in out)
    assert sum(one.chance for one in out) < 0.1


def test_ruling_out_a_bolt_leaves_the_seam_in_question():
    bolt_7 = COVER.bolts[6]

    found = trace_of(scene(605, 450), ruled_out(COVER, bolt_7.id))

    assert ClueKind.RULED_OUT in kinds(bolt(found, 7))
    assert ClueKind.RULED_OUT not in kinds(seal(found))
    assert seal(found).verdict is None


def test_each_bolt_can_be_ruled_out_by_itself():
    judged = ruled_out(ruled_out(COVER, COVER.bolts[6].id), COVER.bolts[5].id)

    found = trace_of(scene(605, 450), judged)

    assert ClueKind.RULED_OUT in kinds(bolt(found, 6))
    assert ClueKind.RULED_OUT in kinds(bolt(found, 7))
    assert ClueKind.RULED_OUT not in kinds(seal(found))


def test_what_was_said_of_a_bolt_counts_more_than_what_was_said_of_the_whole():
    judged = ruled_out(ruled_out(COVER), COVER.bolts[6].id, CauseState.SUSPECTED)

    found = trace_of(scene(605, 450), judged)

    assert ClueKind.RULED_OUT in kinds(seal(found))
    assert bolt(found, 7).verdict.state is CauseState.SUSPECTED
    assert ClueKind.RULED_OUT not in kinds(bolt(found, 7))


def test_a_suspicion_is_shown_where_it_belongs_and_does_not_change_the_chance():
    """It comes from the same clues: counting it again would make the program believe itself."""
    judged = ruled_out(COVER, COVER.bolts[6].id, CauseState.SUSPECTED)

    found, before = trace_of(scene(605, 450), judged), trace_of(scene(605, 450), COVER)

    assert (bolt(found, 7).verdict,) == judged.verdicts
    assert bolt(found, 7).chance == bolt(before, 7).chance


def test_a_verdict_on_a_bolt_far_from_the_source_is_not_lost():
    judged = ruled_out(COVER, COVER.bolts[6].id, CauseState.SUSPECTED)

    assert (bolt(trace_of(scene(20, 505), judged), 7).verdict,) == judged.verdicts


@pytest.mark.parametrize(
    "suspects",
    [(), (COVER,), (COVER, suspect("plug"), replace(suspect("sump", 900), job=None))],
    ids=["nobody", "one", "many"],
)
@pytest.mark.parametrize("at", [(), (120, 505), (605, 430), (1900, 1400)])
def test_all_chances_add_up_to_one(suspects, at):
    found = trace_of(scene(*at), *suspects)

    total = sum(one.chance for one in (*found.candidates, *found.others))
    assert total == pytest.approx(1.0)


def test_a_job_fitted_after_the_run_cannot_have_caused_its_leaks():
    joint = new_id()
    morning = SealingJob(joint_id=joint, done_at=NOON - timedelta(days=9))
    redone = SealingJob(joint_id=joint, done_at=NOON - timedelta(days=2), supersedes_id=morning.id)
    evening = SealingJob(joint_id=joint, done_at=NOON + timedelta(hours=6), supersedes_id=redone.id)

    assert job_in_force((evening, morning, redone), NOON) == redone
    assert job_in_force((evening,), NOON) is None


def brute_force(around, first, second, room):
    """Bayes' rule the long way: every origin, every place of it, every clue, nothing cancelled.

    Two level joints, straight from x = 0 to 600 px, with bolts 4 to 7 each; one source that was
    clicked, no outline. Known: closing time of the first joint, wet hole of its bolt 6, whether the
    second leaked before. ``room`` is how likely something unrecorded leaks here, against anywhere.
    Each clue has one likelihood if the origin is the one that it speaks of, and another one if not.
    """
    places, parts, pairs = WEIGHTS.places, WEIGHTS.parts, WEIGHTS.clues

    def shows_up(x, y, own_mm=0.0):
        """Density per mm2 of a source here, of oil that comes out at (x, y) px."""
        dx = (around.source.at.x - x) * MM_PER_PX
        dy = (around.source.at.y - y) * MM_PER_PX
        var = places["click_mm"] ** 2 + places["line_mm"] ** 2 + places["wick_mm"] ** 2 + own_mm**2
        there = exp(-(dx**2 + dy**2) / (2 * var)) / (2 * pi * var)
        run = 0.0
        if dy > 0:
            wide = sqrt(var + (tan(radians(places["upright_deg"])) * dy) ** 2)
            run = exp(-dy / places["run_mm"]) / places["run_mm"]
            run *= exp(-(dx**2) / (2 * wide**2)) / (sqrt(2 * pi) * wide)
        stray_mm = places["strays_mm"]
        stray = exp(-hypot(dx, dy) / stray_mm) / (2 * pi * stray_mm**2)
        rest = 1 - places["at"] - places["below"]
        return places["at"] * there + places["below"] * run + rest * stray

    anywhere = 1 / (SIZE[0] * SIZE[1] * MM_PER_PX**2)

    def clues(origin):
        def chance(name, is_own, is_seen):
            if_so = pairs[name].if_cause if is_own else pairs[name].otherwise
            return if_so if is_seen else 1 - if_so

        total = chance("closed_too_late", origin == ("seal", 0), True)
        total *= chance("opens_into_oil", origin == ("bolt", 0, 6), True)
        total *= chance("leaked_before", origin == ("seal", 1), True)
        return total

    whole = 2 * parts["liquid_gasket"] + 16 * parts["one_bolt"]
    # Two joints leak twice as often as one; what is not in the record leaks as often as ever.
    missing = WEIGHTS.shares["unknown"]
    pool = 1 - sum(WEIGHTS.shares.values()) + missing
    odds = (pool - missing) / missing * 2 * parts["liquid_gasket"] / parts["usual_zone"]
    joints = pool * odds / (1 + odds)
    likely = {}
    for index, y in enumerate((first, second)):
        grid = [600 * (k + 0.5) / 1500 for k in range(1500)]
        share = joints * parts["liquid_gasket"] / whole
        density = sum(shows_up(x, y) for x in grid) / len(grid)
        likely["seal", index] = share * density * clues(("seal", index))
        for number in (4, 5, 6, 7):
            head = (200 * (number - 4), y - 100 + places["washer_mm"] / MM_PER_PX)
            share = joints * parts["one_bolt"] / whole
            density = shows_up(*head, places["bolt_mm"])
            likely["bolt", index, number] = share * density * clues(("bolt", index, number))
    # Pressure gets out at the same weak places as oil without it.
    name = "crankcase_pressure"
    likely[name] = WEIGHTS.shares[name] * sum(likely.values()) / joints
    for name in ("part_body", "from_above", "residue"):
        likely[name] = WEIGHTS.shares[name] * anywhere * clues(name)
    likely["unknown"] = (pool - joints) * anywhere * room * clues("unknown")
    total = sum(likely.values())
    return {origin: one / total for origin, one in likely.items()}


def clue_weights(one):
    return [clue.weight for clue in one.clues]


@pytest.mark.parametrize("at", [(120, 505), (405, 430), (300, 560), (420, 1000), (60, 760)])
def test_chances_agree_with_bayes_rule_the_long_way(at):
    late = Deviation(DeviationKind.CLOSED_TOO_LATE, new_id(), "closed_at", 16, 10, "min")
    one = with_bolt(replace(COVER, deviations=(late,)), 6, opens_into_oil=True)
    two = suspect("sump", 800, earlier_leak_id=new_id())
    around = scene(*at)

    found = trace_of(around, one, two)

    unknown = clue_weights(other(found, Origin.UNKNOWN))
    wanted = brute_force(around, 500, 800, exp(sum(unknown)))
    told = {
        ("seal", 0): seal(found).chance,
        ("seal", 1): seal(found, "sump").chance,
        **{
            origin.value: other(found, origin).chance for origin in Origin if origin.value in wanted
        },
    }
    for each in found.candidates:
        if each.bolt is not None:
            told["bolt", int(each.joint.name == "sump"), each.bolt.number] = each.chance
    # Bolts that are left out have next to no chance.
    kept = sum(wanted[origin] for origin in told)
    assert kept > 0.99
    for origin, chance in told.items():
        assert chance == pytest.approx(wanted[origin] / kept, abs=1e-6, rel=3e-3), origin


def test_an_untightened_bolt_speaks_for_itself_and_for_the_seam_beside_it():
    some = TorquePass(
        sealing_job_id=COVER.job.id, number=1, torque_nm=10, bolt_numbers=(1, 2, 3, 4, 6, 7, 8)
    )
    loose = replace(COVER, torque_passes=(some,))

    at_bolt, beside = trace_of(scene(200, 420), loose), trace_of(scene(210, 503), loose)
    before = trace_of(scene(200, 420), COVER), trace_of(scene(210, 503), COVER)

    assert bolt(at_bolt, 5).chance > bolt(before[0], 5).chance
    assert clue(bolt(at_bolt, 5), ClueKind.BOLT_NOT_TIGHTENED).weight > 1
    odds = [seal(one).chance / other(one, Origin.UNKNOWN).chance for one in (beside, before[1])]
    assert odds[0] > 1.5 * odds[1]
    assert clue(seal(beside), ClueKind.BESIDE_LOOSE_BOLT).weight > 0.5


def looked_again(at, *later):
    """A scene whose leak was marked again at later looks of the same photo."""
    first = scene(*at)
    sources = tuple(scene(*each).source for each in later)
    return replace(first, source=replace(first.source, later=sources))


def test_a_later_look_tells_what_the_first_one_left_open():
    begins_below, again_at_it = (300, 600), (300, 502)  # wiped above it, and 15 mm higher later

    one = seal(trace_of(scene(*begins_below), COVER))
    two = seal(trace_of(looked_again(begins_below, again_at_it), COVER))
    apart = seal(trace_of(looked_again(begins_below, (300, 800)), COVER))

    assert two.chance > one.chance + 0.1
    assert apart.chance < one.chance
    assert clue(two, ClueKind.LATER_LOOK).value == pytest.approx(2 * MM_PER_PX)
    assert clue(two, ClueKind.LATER_LOOK).weight > 1 > 0 > clue(apart, ClueKind.LATER_LOOK).weight
    assert clue(two, ClueKind.BELOW_THE_JOINT).weight == clue(one, ClueKind.BELOW_THE_JOINT).weight


def test_a_mark_that_only_repeats_the_first_changes_the_odds_little():
    """By hand: with chance 0.4 it says nothing new, so it takes no more than 1 / 0.4 off them."""
    at = (300, 600)

    once, twice = trace_of(scene(*at), COVER), trace_of(looked_again(at, at), COVER)

    odds = [seal(one).chance / other(one, Origin.PART_BODY).chance for one in (once, twice)]
    assert 1 < odds[0] / odds[1] < 1 / WEIGHTS.places["looks_repeat"]


@pytest.mark.parametrize("mm_per_px", [1e-4, 0.15, 50.0])
@pytest.mark.parametrize("later", [(1990, 5), (300, 600), (-40_000, 9_000)])
def test_looks_that_fit_nothing_leave_chances_that_add_up_to_one(mm_per_px, later):
    first = scene(300, 600, mm_per_px=mm_per_px)
    source = scene(*later, mm_per_px=mm_per_px).source
    around = replace(first, source=replace(first.source, later=(source, source)))

    found = trace_of(around, COVER, suspect("sump", 900))

    chances = [one.chance for one in (*found.candidates, *found.others)]
    assert sum(chances) == pytest.approx(1)


def test_the_fewer_joints_are_recorded_the_more_is_likely_missing():
    far = scene(1500, 1200)

    one, three = (
        trace_of(far, *(suspect(f"joint {n}", 100 + 30 * n) for n in range(count)))
        for count in (1, 3)
    )

    assert other(one, Origin.UNKNOWN).chance > other(three, Origin.UNKNOWN).chance
    assert WEIGHTS.missing_share(0) == pytest.approx(
        WEIGHTS.shares["unknown"] + WEIGHTS.joints_share
    )
    usual = WEIGHTS.missing_share(WEIGHTS.parts["usual_zone"])
    assert usual == pytest.approx(WEIGHTS.shares["unknown"])


def test_what_is_not_recorded_is_likelier_away_from_the_joints_than_on_one():
    on_it, away = (other(trace_of(scene(300, y), COVER), Origin.UNKNOWN) for y in (500, 900))

    assert on_it.clues[0].kind is ClueKind.ON_THE_JOINTS
    assert on_it.clues[0].weight < -1
    assert away.clues[0].kind is ClueKind.AWAY_FROM_JOINTS
    assert 0 < away.clues[0].weight < 0.5


def test_oil_of_a_bolt_shows_at_the_lower_side_of_its_washer():
    head_y = 400  # of bolts 4 to 7; 6 mm below it is 40 px
    lower, upper = (trace_of(scene(200, head_y + side), COVER) for side in (40, -40))

    assert bolt(lower, 5).chance > 0.4
    assert bolt(lower, 5).chance > 2 * bolt(upper, 5).chance


def test_pressure_gets_out_where_a_joint_is_weak():
    weak = replace(COVER, earlier_leak_id=new_id())
    sound = replace(COVER, earlier_leak_id=None)
    high = scene(300, 500, is_pressure_high=True, are_several_wet=True)

    for one in (weak, sound):
        found = trace_of(high, one)
        assert other(found, Origin.CRANKCASE_PRESSURE).chance > seal(found).chance
    fits = [
        clue(other(trace_of(high, one), Origin.CRANKCASE_PRESSURE), ClueKind.AMONG_THE_JOINTS)
        for one in (weak, sound)
    ]
    assert fits[0].weight > fits[1].weight


def test_a_pass_for_all_bolts_leaves_none_untightened():
    every = TorquePass(sealing_job_id=COVER.job.id, number=1, torque_nm=10)

    found = trace_of(scene(210, 503), replace(COVER, torque_passes=(every,)))

    assert ClueKind.BESIDE_LOOSE_BOLT not in kinds(seal(found))


# The demo engine's first cover photo: a seep between bolts 4 and 5, and one at the washer of bolt 7
# (source places and bolt places as rendered).
DEMO_LINE = tuple(
    LinePoint(PointPx(*at), number, PointPx(*head))
    for number, at, head in [
        (4, (568, 830), (574, 715)),
        (5, (792, 826), (792, 712)),
        (6, (1032, 821), (1025, 708)),
        (7, (1243, 817), (1231, 705)),
        (8, (1470, 813), (1452, 701)),
    ]
)


@pytest.mark.parametrize(
    ("x", "y", "station", "bolt_number"), [(689.1, 826.7, 4.54, None), (1238.7, 750.0, 7.0, 7)]
)
def test_the_demo_engines_two_cover_leaks_are_told_apart(x, y, station, bolt_number):
    demo = replace(COVER, line=replace(COVER.line, points=DEMO_LINE))

    one = trace_of(scene(x, y), demo).candidates[0]

    assert one.station == pytest.approx(station, abs=0.05)
    assert (one.bolt.number if one.bolt else None) == bolt_number
