from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from leaktrack.analysis.deviating import departures, deviations
from leaktrack.model.bead_audit import MisplacedBead
from leaktrack.model.engine import SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import (
    BeadPlace,
    Closing,
    Deviation,
    DeviationKind,
    Evidence,
    Part,
    PartCondition,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.shapes import PointPx

LAID = datetime(2026, 3, 7, 16, 40, tzinfo=UTC)
CLOSED = LAID + timedelta(minutes=8)
MATERIAL = new_id()
RULE = SealingRule(
    material_id=MATERIAL,
    closing=Closing.WHILE_WET,
    open_time_min=10,
    cure_before_filling_h=4,
    cure_before_running_h=24,
    bead_min_mm=2.5,
    bead_max_mm=3.5,
    bead_place=BeadPlace.INSIDE_BOLTS,
    lowest_c=10,
    highest_c=35,
)
JOB = SealingJob(
    joint_id=new_id(),
    material_id=MATERIAL,
    done_at=LAID + timedelta(minutes=15),
    bead_mm=3.0,
    bead_place=BeadPlace.INSIDE_BOLTS,
    bead_laid_at=LAID,
    closed_at=CLOSED,
    filled_at=CLOSED + timedelta(hours=5),
    temperature_c=18,
)
PASS = TorquePass(sealing_job_id=JOB.id, number=1, torque_nm=10)
PHOTO = Evidence(sealing_job_id=JOB.id, photo_id=new_id())
RUN = CLOSED + timedelta(hours=30)


def found(
    job=JOB,
    rule=RULE,
    passes=(PASS,),
    parts=(),
    evidence=(PHOTO,),
    run=RUN,
    seal_kind=SealKind.LIQUID_GASKET,
    misplaced=(),
):
    return deviations(job, rule, passes, parts, evidence, run, seal_kind, misplaced)


def not_recorded(subject):
    return Deviation(DeviationKind.NOT_RECORDED, JOB.id, subject)


def test_a_job_by_the_book_departs_from_nothing():
    assert found() == ()


@pytest.mark.parametrize(
    ("changed", "kind", "subject", "actual", "allowed", "unit"),
    [
        (
            {"closed_at": LAID + timedelta(minutes=16)},
            DeviationKind.CLOSED_TOO_LATE,
            "closed_at",
            16,
            10,
            "min",
        ),
        (
            {"filled_at": CLOSED + timedelta(hours=1)},
            DeviationKind.FILLED_BEFORE_CURE,
            "filled_at",
            1,
            4,
            "h",
        ),
        ({"bead_mm": 2.0}, DeviationKind.BEAD_TOO_THIN, "bead_mm", 2.0, 2.5, "mm"),
        ({"bead_mm": 4.0}, DeviationKind.BEAD_TOO_THICK, "bead_mm", 4.0, 3.5, "mm"),
        ({"temperature_c": 4}, DeviationKind.TOO_COLD, "temperature_c", 4, 10, "degC"),
        ({"temperature_c": 41}, DeviationKind.TOO_HOT, "temperature_c", 41, 35, "degC"),
    ],
)
def test_each_departure_brings_both_figures(changed, kind, subject, actual, allowed, unit):
    assert found(job=replace(JOB, **changed)) == (
        Deviation(kind, JOB.id, subject, actual, allowed, unit),
    )


@pytest.mark.parametrize(
    "changed",
    [
        {"closed_at": LAID + timedelta(minutes=10), "filled_at": LAID + timedelta(hours=9)},
        {"filled_at": CLOSED + timedelta(hours=4)},
        {"bead_mm": 2.5},
        {"bead_mm": 3.5},
        {"temperature_c": 10},
        {"temperature_c": 35},
    ],
)
def test_what_just_meets_the_rule_is_no_departure(changed):
    assert found(job=replace(JOB, **changed)) == ()


def test_running_too_early_counts_from_the_closing_to_the_first_run():
    early = found(run=CLOSED + timedelta(hours=20))

    assert early == (Deviation(DeviationKind.RUN_BEFORE_CURE, JOB.id, "first run", 20, 24, "h"),)


def test_an_engine_that_has_not_run_has_not_run_too_early():
    assert found(run=None) == ()


def test_without_a_time_of_closing_cure_counts_from_the_end_of_the_job():
    unclosed = replace(JOB, closed_at=None)
    no_open_time = replace(RULE, open_time_min=None)

    early = found(job=unclosed, rule=no_open_time, run=JOB.done_at + timedelta(hours=6))

    assert early == (Deviation(DeviationKind.RUN_BEFORE_CURE, JOB.id, "first run", 6, 24, "h"),)


def test_a_rule_that_wants_a_skin_first_is_broken_by_closing_at_once():
    skin_first = replace(RULE, closing=Closing.AFTER_SKIN, open_time_min=60, skin_time_min=15)

    assert found(rule=skin_first) == (
        Deviation(DeviationKind.CLOSED_BEFORE_SKIN, JOB.id, "closed_at", 8, 15, "min"),
    )


def test_a_rule_that_wants_wet_parts_never_asks_for_a_skin():
    assert found(rule=replace(RULE, skin_time_min=15)) == ()


def test_a_bead_on_the_wrong_side_of_the_bolts_departs_from_this_rule_only():
    around = replace(JOB, bead_place=BeadPlace.AROUND_BOLTS)

    assert [one.kind for one in found(job=around)] == [DeviationKind.BEAD_MISPLACED]
    assert found(job=around, rule=replace(RULE, bead_place=None)) == ()


@pytest.mark.parametrize(
    ("changed", "subject"),
    [
        ({"bead_laid_at": None}, "bead_laid_at"),
        ({"closed_at": None}, "closed_at"),
        ({"filled_at": None}, "filled_at"),
        ({"bead_mm": None}, "bead_mm"),
        ({"bead_place": None}, "bead_place"),
        ({"temperature_c": None}, "temperature_c"),
        ({"temperature_c": None, "unknown_facts": ("temperature_c",)}, "temperature_c"),
        ({"material_id": None}, "material_id"),
    ],
)
def test_a_fact_the_rule_needs_is_reported_once_as_not_recorded(changed, subject):
    assert found(job=replace(JOB, **changed)) == (not_recorded(subject),)


def test_facts_that_no_rule_asks_for_are_not_missed():
    bare = SealingJob(id=JOB.id, joint_id=JOB.joint_id, material_id=MATERIAL, done_at=JOB.done_at)

    assert found(job=bare, rule=SealingRule(material_id=MATERIAL)) == ()


def test_nobody_asks_when_it_was_filled_before_it_has_run():
    assert found(job=replace(JOB, filled_at=None), run=None) == ()


def test_a_curing_material_without_a_rule_cannot_be_checked():
    assert found(rule=None) == (not_recorded("rule"),)
    assert found(rule=None, seal_kind=SealKind.O_RING) == ()


@pytest.mark.parametrize(
    "passes",
    [
        (),
        (replace(PASS, torque_nm=None),),
        (PASS, replace(PASS, id=new_id(), number=3)),
    ],
    ids=["none", "without a figure", "with a gap"],
)
def test_a_tightening_pass_that_is_missing_is_reported(passes):
    assert found(passes=passes) == (not_recorded("torque"),)


def test_a_lip_seal_needs_no_tightening():
    assert found(passes=(), seal_kind=SealKind.LIP_SEAL) == ()


def test_a_job_that_nothing_shows_is_reported():
    assert found(evidence=()) == (not_recorded("evidence"),)


@pytest.mark.parametrize(
    ("condition", "kinds"),
    [
        (PartCondition.NEW, []),
        (PartCondition.REUSED, [DeviationKind.REUSED_SINGLE_USE]),
        (PartCondition.UNKNOWN, [DeviationKind.NOT_RECORDED]),
    ],
)
def test_single_use_parts_must_be_new(condition, kinds):
    washer = Part(
        sealing_job_id=JOB.id, name="crush washer", is_single_use=True, condition=condition
    )

    assert [one.kind for one in found(parts=(washer,))] == kinds


def test_known_departures_come_before_what_was_not_recorded():
    mixed = found(job=replace(JOB, bead_mm=None, temperature_c=2), evidence=())

    assert [one.subject for one in mixed] == ["temperature_c", "bead_mm", "evidence"]
    assert [one.subject for one in departures(mixed)] == ["temperature_c"]


def test_each_bolt_on_the_wrong_side_of_the_bead_is_named_once():
    seen = [MisplacedBead(number, new_id(), PointPx(0, 0)) for number in (10, 2, 10)]

    assert found(misplaced=seen) == (
        Deviation(DeviationKind.BEAD_AT_BOLT, JOB.id, "bolt 2"),
        Deviation(DeviationKind.BEAD_AT_BOLT, JOB.id, "bolt 10"),
    )
