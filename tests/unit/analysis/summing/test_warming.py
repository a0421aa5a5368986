from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from leaktrack.analysis.comparing import AREA_TOLERANCE, SIGMAS
from leaktrack.analysis.summing.thinning import oil_of
from leaktrack.analysis.summing.warming import conditions, heat_factor
from leaktrack.model import heat_words
from leaktrack.model.comparison import Change, LeakChange, Sighting
from leaktrack.model.heat import HeatGap, LookConditions
from leaktrack.model.heat_words import beyond_sentence, heat_sentences
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Leak, SeepageGrade
from leaktrack.model.units import told_in

START = datetime(2026, 3, 1, 12, tzinfo=UTC)
ENGINE = new_id()
COLD = LookConditions(20.0, None, "5W-30", 0.5, True)
HOT = LookConditions(100.0, None, "5W-30", 1.0, True)


def look(day, **fields):
    return Inspection(engine_id=ENGINE, looked_at=START + timedelta(days=day), **fields)


def run(day, **fields):
    return TestRun(engine_id=ENGINE, started_at=START + timedelta(days=day), **fields)


def test_hot_oil_and_twice_the_time_make_thirty_times_as_much():
    """5W-30 leaks 14.8 times as fast at 100 C as at 20 C (computed from ASTM D341)."""
    found = heat_factor(COLD, HOT)

    by_grade = oil_of("5W-30").faster(20, 100)
    assert found.rate.likely == by_grade.likely
    # Thermometers may be off besides, which widens it.
    assert found.rate.least < by_grade.least < by_grade.most < found.rate.most
    assert found.hours == 2.0
    assert found.oil.least < 2 * 14.8 < found.oil.most
    assert found.oil.least == pytest.approx(2 * found.rate.least)
    assert found.missing == ()


def test_nothing_changes_where_nothing_is_different():
    found = heat_factor(COLD, COLD)

    assert found.oil.likely == 1.0
    assert found.oil.least * found.oil.most == pytest.approx(1.0)


def test_the_runs_temperatures_tell_how_much_came_out_the_looks_how_fast_it_drips():
    found = heat_factor(
        LookConditions(58, 86, "5W-30", 0.42, True), LookConditions(52, 97, "5W-30", 4.0, True)
    )

    assert found.rate.most < 1 < found.run_rate.least
    assert found.oil.likely == pytest.approx(found.run_rate.likely * 4.0 / 0.42)


@pytest.mark.parametrize(
    ("before", "after", "missing"),
    [
        (LookConditions(None, None, "5W-30", 1, True), HOT, HeatGap.OIL_TEMPERATURE_BEFORE),
        (COLD, LookConditions(None, None, "5W-30", 1, True), HeatGap.OIL_TEMPERATURE_AFTER),
        (COLD, LookConditions(90, None, "10W-40", 1, True), HeatGap.OTHER_OIL),
        (COLD, LookConditions(90, None, "thick", 1, True), HeatGap.OIL_GRADE_UNREADABLE),
        (COLD, LookConditions(240, None, "5W-30", 1, True), HeatGap.OUTSIDE_LIMITS),
        (COLD, LookConditions(90, None, "5W-30", None, True), HeatGap.RUN_TIME_AFTER),
        (LookConditions(20, None, "5W-30", 0, True), HOT, HeatGap.NOT_RUN_BEFORE),
    ],
)
def test_what_is_missing_is_said_and_nothing_is_made_up(before, after, missing):
    found = heat_factor(before, after)

    assert found.missing == (missing,)
    assert found.oil is None
    assert any("cannot be said" in sentence for sentence in heat_sentences(found))


def test_without_any_grade_the_oil_is_missing():
    plain = LookConditions(50, None, "", 1, True)

    assert heat_factor(plain, plain).missing == (HeatGap.OIL_GRADE,)
    assert heat_factor(plain, HOT).rate is not None  # one of both looks knows it


def test_running_time_counts_from_the_wipe():
    runs = [
        run(1, minutes=60, oil_c=80),
        run(3, minutes=30, oil_c=90),
        run(5, minutes=90, oil_c=100),
    ]
    first, wiped = look(2), look(6, cleaned_at=START + timedelta(days=2, hours=1), oil_c=70)

    found = conditions(wiped, [first], runs)

    assert found.hours_since_wipe == 2.0
    assert found.oil_c == 70
    assert found.run_c == pytest.approx((90 * 30 + 100 * 90) / 120)
    assert conditions(first, [], runs).hours_since_wipe == 1.0
    assert not conditions(first, [], runs).was_wiped


def test_a_wipe_of_an_earlier_look_still_counts():
    runs = [run(1, minutes=60), run(3, minutes=30)]
    first = look(2, cleaned_at=START)

    assert conditions(look(4), [first], runs).hours_since_wipe == 1.5


def test_engine_hours_tell_where_a_run_has_no_minutes():
    first = look(2, engine_hours=5.0)
    wiped = look(6, engine_hours=8.0, cleaned_at=START + timedelta(days=3))

    assert conditions(wiped, [first], [run(5)]).hours_since_wipe == 3.0
    # It ran after the earlier look and was wiped only then: nobody knows for how long.
    assert conditions(wiped, [first], [run(2.5), run(5)]).hours_since_wipe is None


def test_the_temperature_of_the_run_stands_in_for_that_of_the_look():
    warm = run(1, minutes=30, oil_c=95, oil_grade="5W-30")

    found = conditions(look(2), [], [warm])

    assert (found.oil_c, found.run_c, found.oil_grade) == (None, 95, "5W-30")
    assert conditions(look(0), [], [warm]).run_c is None


def test_the_sentence_gives_factor_range_reasons_and_assumption():
    sentences = heat_sentences(heat_factor(COLD, HOT))

    assert sentences[0] == (
        "Heat and running time alone would make 30 times (21 to 45) as much oil: it ran 1 h since "
        "the last wipe instead of 30 min, 2 times as long, and oil of 100 °C instead of 20 °C at "
        "the look leaks 15 times (10 to 22) as fast."
    )
    assert "same gap, the same pressure" in sentences[-1]
    with told_in("imperial"):
        assert "212 °F instead of 68 °F" in heat_sentences(heat_factor(COLD, HOT))[0]


def test_areas_are_compared_as_a_comparison_of_inspections_does():
    assert (heat_words.SIGMAS, heat_words.OUTLINES_DIFFER) == (SIGMAS, AREA_TOLERANCE)


def test_an_area_that_is_badly_known_proves_no_worse_leak():
    was = Sighting(new_id(), SeepageGrade.SEEP, area_mm2=100.0, area_sigma_mm2=30.0)
    now = Sighting(new_id(), SeepageGrade.SEEP, area_mm2=5000.0, area_sigma_mm2=1500.0)
    badly = LeakChange(Leak(zone_id=new_id(), number=3), was, now, Change.GROWING)
    well = replace(
        badly, before=replace(was, area_sigma_mm2=1.0), after=replace(now, area_sigma_mm2=50.0)
    )
    factor = heat_factor(COLD, HOT)  # up to 45 times as much oil

    assert "need not leak worse" in beyond_sentence(factor, badly)
    assert "leaks worse than before" in beyond_sentence(factor, well)


@pytest.mark.parametrize(
    ("now", "words"),
    [
        (2000.0, "20 times (16 to 25) the wet area, which heat and running time alone would make"),
        (
            9000.0,
            "90 times (72 to 112) the wet area, which is more than heat and running time make",
        ),
        (80.0, "0.8 times (0.64 to 1) the wet area: it has not grown"),
    ],
)
def test_what_it_means_for_a_leak(now, words):
    was, later = (Sighting(new_id(), SeepageGrade.SEEP, area_mm2=area) for area in (100.0, now))
    change = LeakChange(Leak(zone_id=new_id(), number=3), was, later, Change.GROWING)

    assert words in beyond_sentence(heat_factor(COLD, HOT), change)
    no_factor = heat_factor(COLD, LookConditions(None, None, "", None, False))
    assert beyond_sentence(no_factor, change) == ""
