"""Each clue moves the chance of what it speaks of in the right direction."""

from dataclasses import replace

import pytest

from leaktrack.analysis.suspecting import SealHistory
from leaktrack.model.bead_audit import MisplacedBead
from leaktrack.model.clue_words import clue_sentence
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import (
    Deviation,
    DeviationKind,
    Part,
    PartCondition,
    SealingRule,
)
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import ClueKind, Origin
from leaktrack.model.verification import Outcome
from tests.unit.analysis.tracing_scenes import (
    COVER,
    NOON,
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

AT_SEAM, AT_BOLT = (300, 520), (400, 415)
PLUG = suspect("plug", 1000)


def deviation(kind, subject="closed_at"):
    return Deviation(kind, COVER.job.id, subject, 16, 10, "min")


def chances_of_seal(changed):
    found, before = trace_of(scene(*AT_SEAM), changed, PLUG), trace_of(scene(*AT_SEAM), COVER, PLUG)
    return seal(found).chance, seal(before).chance


@pytest.mark.parametrize(
    "kind",
    [
        kind
        for kind in DeviationKind
        if kind
        not in (
            DeviationKind.NOT_RECORDED,
            DeviationKind.REUSED_SINGLE_USE,
            DeviationKind.BEAD_AT_BOLT,  # of one bolt only
        )
    ],
)
def test_a_departure_from_the_rule_speaks_for_the_seal(kind):
    now, before = chances_of_seal(replace(COVER, deviations=(deviation(kind),)))

    assert now > before


@pytest.mark.parametrize(
    "changes",
    [
        {"earlier_leak_id": new_id()},
        {"history": SealHistory(leaks=5, jobs=8)},
        {"redo": Outcome.CURED},
        {"redo": Outcome.MOVED},
        {"deviations": (deviation(DeviationKind.REUSED_SINGLE_USE, "O-ring"),)},
        {
            "parts": (
                Part(sealing_job_id=COVER.job.id, name="cover", condition=PartCondition.REUSED),
            )
        },
    ],
    ids=["leaked before", "bad history", "cured", "moved", "ring again", "cover again"],
)
def test_what_speaks_for_the_seal(changes):
    now, before = chances_of_seal(replace(COVER, **changes))

    assert now > before


@pytest.mark.parametrize(
    "changes",
    [
        {"was_fitted_later": True},
        {"history": SealHistory(leaks=0, jobs=30)},
        {"redo": Outcome.STILL_THERE},
    ],
    ids=["fitted later", "good history", "redo did not help"],
)
def test_what_speaks_against_the_seal(changes):
    now, before = chances_of_seal(replace(COVER, **changes))

    assert now < before


@pytest.mark.parametrize(
    "changes",
    [
        {"redo": Outcome.NOT_SEEN},
        {"history": SealHistory()},
        {"deviations": (Deviation(DeviationKind.NOT_RECORDED, COVER.job.id, "evidence"),)},
        {
            "parts": (
                Part(sealing_job_id=COVER.job.id, name="cover", condition=PartCondition.UNKNOWN),
            )
        },
    ],
    ids=["not seen", "no history", "not recorded", "unknown part"],
)
def test_what_nobody_knows_changes_nothing(changes):
    now, before = chances_of_seal(replace(COVER, **changes))

    assert now == pytest.approx(before)


def test_a_rule_that_was_kept_speaks_against_the_seal():
    rule = SealingRule(material_id=new_id(), lowest_c=10, highest_c=35, bead_min_mm=2.5)
    kept = replace(COVER, job=replace(COVER.job, temperature_c=18, bead_mm=3.0), rule=rule)

    now, before = chances_of_seal(kept)

    assert now < before
    assert clue(seal(trace_of(scene(*AT_SEAM), kept)), ClueKind.RULE_KEPT).weight < 0


def test_bolts_used_again_speak_for_the_bolts_and_not_for_the_seal():
    again = replace(
        COVER, deviations=(deviation(DeviationKind.REUSED_SINGLE_USE, "cover bolts with patch"),)
    )

    found, before = trace_of(scene(*AT_BOLT), again), trace_of(scene(*AT_BOLT), COVER)

    assert bolt(found, 6).chance > bolt(before, 6).chance
    assert seal(found).chance < seal(before).chance


def test_a_bead_on_the_wrong_side_of_a_bolt_speaks_for_that_bolt_alone():
    photo = new_id()
    seen = MisplacedBead(6, photo, PointPx(40, 50))
    passed = replace(
        COVER,
        deviations=(Deviation(DeviationKind.BEAD_AT_BOLT, COVER.job.id, seen.subject),),
        misplaced=(seen,),
    )

    found, before = trace_of(scene(*AT_BOLT), passed), trace_of(scene(*AT_BOLT), COVER)

    assert bolt(found, 6).chance > bolt(before, 6).chance
    assert seal(found).chance < seal(before).chance
    (said,) = [one for one in bolt(found, 6).clues if one.deviation]
    assert (said.photo_id, said.at_px, said.record_id) == (photo, PointPx(40, 50), COVER.job.id)
    assert clue_sentence(said) == "bolt 6: bead on the wrong side of the bolt"
    beside = [one for one in found.candidates if one.bolt and one.bolt.number != 6]
    assert not any(one.deviation for each in beside for one in each.clues)


@pytest.mark.parametrize(("opens", "is_more"), [(True, True), (False, False)])
def test_whether_a_hole_opens_into_oil_decides_for_or_against_its_bolt(opens, is_more):
    known = with_bolt(COVER, 6, opens_into_oil=opens)

    now, before = (bolt(trace_of(scene(*AT_BOLT), one), 6).chance for one in (known, COVER))

    assert (now > before) is is_more


def test_a_redo_that_did_not_help_speaks_less_against_a_bolt_than_against_the_seam():
    redone = replace(COVER, redo=Outcome.STILL_THERE)

    found = trace_of(scene(*AT_BOLT), redone)

    of_seal, of_bolt = (
        clue(one, ClueKind.STILL_WET_AFTER_REDO).weight for one in (seal(found), bolt(found, 6))
    )
    assert of_seal < of_bolt < 0


RESIDUE_FOR = {
    "wet before the first run": {"has_baseline": True, "was_wet_at_baseline": True},
    "nobody looked before": {"has_baseline": False},
    "not cleaned": {"was_cleaned": False},
    "taken for residue": {"is_residue_seen": True},
    "stayed away": {"did_come_back": False},
}
RESIDUE_AGAINST = {
    "dry before the first run": {"has_baseline": True, "was_wet_at_baseline": False},
    "came back": {"did_come_back": True},
    "growing": {"is_growing": True},
}


@pytest.mark.parametrize("facts", RESIDUE_FOR.values(), ids=RESIDUE_FOR)
def test_what_speaks_for_residue(facts):
    now, before = (trace_of(scene(*AT_SEAM, **each), COVER) for each in (facts, {}))

    assert other(now, Origin.RESIDUE).chance > other(before, Origin.RESIDUE).chance
    assert seal(now).chance < seal(before).chance


@pytest.mark.parametrize("facts", RESIDUE_AGAINST.values(), ids=RESIDUE_AGAINST)
def test_what_speaks_against_residue(facts):
    now, before = (trace_of(scene(*AT_SEAM, **each), COVER) for each in (facts, {}))

    assert other(now, Origin.RESIDUE).chance < other(before, Origin.RESIDUE).chance


def outline(top):
    return tuple(PointPx(x, y) for x, y in [(480, top), (520, top), (500, top + 300)])


def test_a_wet_area_from_the_photos_edge_comes_from_above():
    from_edge = trace_of(scene(500, 60, outline(0), faces_above=("Top",)), COVER)
    inside = trace_of(scene(500, 60, outline(50)), COVER)

    above = other(from_edge, Origin.FROM_ABOVE)
    assert above.chance > 5 * other(inside, Origin.FROM_ABOVE).chance
    assert (above.clues[0].kind, above.faces) == (ClueKind.COMES_FROM_EDGE, ("Top",))


def test_many_leaks_at_once_and_high_pressure_have_one_cause():
    facts = {"are_several_wet": True, "is_pressure_high": True, "pressure_mmh2o": 320.0}

    found = trace_of(scene(*AT_SEAM, **facts), COVER, PLUG)

    pressure = other(found, Origin.CRANKCASE_PRESSURE)
    assert found.others[0] == pressure
    assert pressure.chance > seal(found).chance
    assert {ClueKind.SEVERAL_AT_ONCE, ClueKind.HIGH_PRESSURE} <= kinds(pressure)


def test_normal_pressure_speaks_against_it():
    now, before = (
        other(trace_of(scene(*AT_SEAM, **each), COVER), Origin.CRANKCASE_PRESSURE).chance
        for each in ({"is_pressure_high": False, "are_several_wet": False}, {})
    )

    assert now < before / 2


def test_every_clue_that_a_record_says_names_that_record():
    job = replace(COVER.job, temperature_c=2)
    bad = replace(
        COVER,
        job=job,
        deviations=(deviation(DeviationKind.TOO_COLD),),
        was_fitted_later=True,
        redo=Outcome.CURED,
    )

    found = seal(trace_of(scene(*AT_SEAM), bad))

    assert {one.record_id for one in found.clues[1:]} == {job.id}
    assert found.clues[0].photo_id is not None


def test_the_time_of_the_scene_does_not_matter():
    """Only what was in force is handed over; a trace has no clock."""
    old = replace(COVER, job=replace(COVER.job, done_at=NOON.replace(year=1999)))

    assert chances_of_seal(old)[0] == pytest.approx(chances_of_seal(COVER)[1])
