"""Facts of runs, inspections and checks are given, unknown, or still to be asked for."""

from dataclasses import replace
from datetime import datetime

import pytest

from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import (
    INSPECTION_FACTS,
    RUN_FACTS,
    Check,
    CheckResult,
    Inspection,
    Reading,
    TestRun,
)
from leaktrack.workflows.record_run import (
    amend_run,
    mark_unknown,
    missing,
    record_check,
    record_inspection,
    record_run,
    remove_inspection,
    remove_run,
    set_readings,
)
from tests.filled_project import DAY, MARCH

NAIVE = datetime.fromisoformat("2026-03-07T16:00:00")


def test_what_nobody_asked_yet_is_missing_oldest_record_first(project, filled):
    found = missing(project)

    assert [item.record for item in found] == [filled.baseline, filled.run, filled.inspection]
    assert found[1].facts == RUN_FACTS[1:]  # the minutes are known


def test_a_fact_marked_unknown_is_not_asked_for_again(project, filled):
    project.apply(mark_unknown(project, filled.run, ["oil_c", "load"]))

    (asked,) = (item for item in missing(project) if item.record.id == filled.run.id)
    assert not {"oil_c", "load"} & set(asked.facts)
    assert asked.record.oil_c is None


def test_a_record_with_every_fact_given_or_unknown_is_not_missing_any(project, filled):
    unknown = tuple(name for name in INSPECTION_FACTS if name not in ("light", "load"))

    project.apply(mark_unknown(project, filled.inspection, unknown))

    assert filled.inspection.id not in {item.record.id for item in missing(project)}


def test_a_known_fact_cannot_be_marked_unknown(project, filled):
    with pytest.raises(BadInput, match="minutes run is known already"):
        mark_unknown(project, filled.run, ["minutes"])


def test_a_sealing_job_can_have_unknown_facts_too(project, filled):
    project.apply(mark_unknown(project, filled.job, ["humidity_percent"]))

    assert project.get(type(filled.job), filled.job.id).unknown_facts == ("humidity_percent",)


def test_a_fact_that_does_not_exist_is_refused(project, filled):
    with pytest.raises(BadInput, match="no fact called 'colour'"):
        mark_unknown(project, filled.run, ["colour"])


def test_a_fact_that_is_given_later_is_not_unknown_any_more(project, filled):
    asked = replace(filled.run, unknown_facts=("oil_c", "load"))
    project.apply(amend_run(project, filled.run, asked))

    project.apply(amend_run(project, asked, replace(asked, oil_c=86.0)))

    assert project.get(TestRun, filled.run.id).unknown_facts == ("load",)


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"minutes": -5}, "minutes run cannot be -5 min"),
        ({"oil_c": 900}, "oil temperature cannot be 900 °C. It must lie between -60 °C and 250 °C"),
        ({"coolant_c": -273}, "coolant temperature cannot be"),
        ({"highest_rpm": 1e6}, "highest engine speed cannot be 1 000 000 rpm"),
        ({"oil_added_ml": float("nan")}, "oil added cannot be nan mL"),
        ({"started_at": NAIVE}, r"time of the run \(2026-03-07 16:00\) has no time zone"),
    ],
)
def test_a_run_that_cannot_be_is_refused(project, filled, fields, reason):
    run = TestRun(**{"engine_id": filled.engine.id, "started_at": MARCH, **fields})

    with pytest.raises(BadInput, match=reason):
        record_run(project, run)


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"minutes_since_shutdown": -1}, "minutes since shutdown cannot be"),
        ({"pitch_deg": 91}, "tilt nose up cannot be 91 °"),
        ({"looked_at": NAIVE}, "has no time zone"),
        ({"cleaned_at": NAIVE}, "cleaned when .* has no time zone"),
        ({"cleaned_at": MARCH + 50 * DAY}, "cleaned after this look"),
    ],
)
def test_an_inspection_that_cannot_be_is_refused(project, filled, fields, reason):
    inspection = Inspection(
        **{"engine_id": filled.engine.id, "looked_at": MARCH + 40 * DAY, **fields}
    )

    with pytest.raises(BadInput, match=reason):
        record_inspection(project, inspection)


def test_a_baseline_follows_no_run(project, filled):
    baseline = replace(filled.baseline, id=new_id(), test_run_id=filled.run.id)

    with pytest.raises(BadInput, match="baseline is made before any run"):
        record_inspection(project, baseline)


def test_an_inspection_cannot_be_older_than_its_run(project, filled):
    early = replace(filled.inspection, id=new_id(), looked_at=MARCH)

    with pytest.raises(BadInput, match="dated before the run it follows"):
        record_inspection(project, early)


def test_readings_belong_to_the_record_they_came_with(project, filled):
    run = TestRun(engine_id=filled.engine.id, started_at=MARCH)

    project.apply(record_run(project, run, [Reading(name=" boost ", value=0.4, unit="bar")]))

    (reading,) = project.all(Reading, test_run_id=run.id)
    assert (reading.name, reading.value, reading.inspection_id) == ("boost", 0.4, None)


@pytest.mark.parametrize(
    ("reading", "reason"),
    [
        (Reading(name="", value=1), "reading has no name"),
        (Reading(name="boost", value=float("inf")), "value cannot be inf"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(project, filled, reading, reason):
    with pytest.raises(BadInput, match=reason):
        set_readings(project, [reading], inspection_id=filled.inspection.id)


def test_readings_need_one_record_to_belong_to(project, filled):
    with pytest.raises(BadInput, match="one test run or to one inspection"):
        set_readings(project, [])


def test_a_dated_check_is_not_open(project, filled):
    check = Check(engine_id=filled.engine.id, name="Codes", done_at=MARCH)

    with pytest.raises(BadInput, match="dated but still open"):
        record_check(project, check)


def test_a_check_without_a_name_is_refused(project, filled):
    with pytest.raises(BadInput, match="check has no name"):
        record_check(project, Check(engine_id=filled.engine.id, name=" "))


def test_a_check_that_passed_needs_no_date(project, filled):
    check = Check(engine_id=filled.engine.id, name="Codes", result=CheckResult.PASSED)

    project.apply(record_check(project, check))

    assert project.get(Check, check.id) == check


def test_records_need_an_engine_that_is_there(project):
    with pytest.raises(MissingRecord):
        record_run(project, TestRun(engine_id=new_id(), started_at=MARCH))


def test_a_run_with_an_inspection_and_an_inspection_with_photos_stay(project, filled):
    with pytest.raises(BadInput, match=r"test run of 2026-03-17 stays, .* needed by 1 inspection"):
        remove_run(project, filled.run.id)
    with pytest.raises(BadInput, match=r"inspection of 2026-03-17 stays, .* needed by 1 photo"):
        remove_inspection(project, filled.inspection.id)
