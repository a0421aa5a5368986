from datetime import UTC, datetime, timedelta
from math import nan

import numpy as np
import pytest
from scipy.stats import kendalltau, theilslopes

from leaktrack.analysis.growing import LEAST_LOOKS, growth, hours_at, trend
from leaktrack.model import growth_words
from leaktrack.model.comparison import LeakHistory, Sighting
from leaktrack.model.errors import BadInput
from leaktrack.model.growth import GrowthGap, Measure, TrendState
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Leak, SeepageGrade

START = datetime(2026, 3, 1, 12, tzinfo=UTC)
ENGINE = new_id()


def looks(*hours, wiped_before=()):
    return tuple(
        Inspection(
            engine_id=ENGINE,
            looked_at=START + timedelta(days=place),
            engine_hours=hour,
            cleaned_at=START + timedelta(days=place, hours=-2) if place in wiped_before else None,
        )
        for place, hour in enumerate(hours)
    )


def history(inspections, extents, areas=None, grade=SeepageGrade.SEEP):
    if areas is None:
        areas = [each**2 if isinstance(each, int) else None for each in extents]
    return LeakHistory(
        Leak(zone_id=new_id(), number=1),
        tuple(
            Sighting(
                one.id,
                SeepageGrade.NOT_SEEN if extent == "hidden" else grade,
                area_mm2=None if extent == "hidden" else area,
                extent_mm=None if extent == "hidden" else extent,
            )
            for one, extent, area in zip(inspections, extents, areas, strict=True)
        ),
    )


def test_the_slope_of_sen_s_example():
    """P. K. Sen, J. Amer. Statist. Assoc. 63 (1968): slope 4 for these; data recalled."""
    found = trend([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], Measure.AREA)

    assert found.likely.per_hour == 4
    assert found.slowest.per_hour <= 4 <= found.fastest.per_hour


@pytest.mark.parametrize("seed", range(5))
def test_slope_and_interval_agree_with_scipy(seed):
    """scipy.stats.theilslopes, an independent reference; its interval is by the normal law, so it
    may end one slope further out or in where the looks are few."""
    rng = np.random.default_rng(seed)
    hours = np.sort(rng.uniform(0, 50, 25))
    areas = 3 * hours + rng.normal(0, 20, 25)

    found = trend(list(hours), list(areas), Measure.AREA)
    reference = theilslopes(areas, hours, alpha=found.confidence)

    assert found.likely.per_hour == pytest.approx(reference.slope, rel=1e-12)
    assert found.slowest.per_hour == pytest.approx(reference.low_slope, abs=0.1)
    assert found.fastest.per_hour == pytest.approx(reference.high_slope, abs=0.1)


@pytest.mark.parametrize("count", [4, 5, 6, 7])
def test_the_stated_confidence_is_kept(count):
    """By simulation: of many trends without error in their slope, so many lie in the interval."""
    rng = np.random.default_rng(3)
    hours = list(range(count))
    held = 0
    for _ in range(800):
        found = trend(hours, list(2.0 * np.arange(count) + rng.normal(0, 5, count)), Measure.AREA)
        held += found.slowest.per_hour <= 2.0 <= found.fastest.per_hour

    assert held / 800 == pytest.approx(found.confidence, abs=0.03)


def test_with_four_looks_the_confidence_is_that_of_kendall_s_test():
    """scipy.stats.kendalltau by its exact method: a straight rise of four has p = 1/12."""
    p = kendalltau([1, 2, 3, 4], [1, 2, 3, 4], method="exact").pvalue

    assert trend([1, 2, 3, 4], [5, 6, 7, 9], Measure.AREA).confidence == pytest.approx(1 - p)


def test_one_bad_outline_does_not_spoil_the_trend():
    hours = list(range(9))
    areas = [100.0 + 10 * hour for hour in hours]
    areas[4] = 5000.0

    assert trend(hours, areas, Measure.AREA).likely.per_hour == pytest.approx(10.0)


def test_looks_after_the_same_hours_count_once():
    found = trend([1, 1, 2, 3], [4, 6, 6, 7], Measure.AREA)

    assert found.looks == 3
    assert found.state is TrendState.CANNOT_SAY


def test_growth_level_and_shrinking_are_told_apart():
    hours = [0, 1, 2, 3, 4, 5]
    grows = trend(hours, [10, 21, 30, 42, 50, 61], Measure.AREA)
    level = trend(hours, [10, 12, 9, 11, 10, 12], Measure.AREA)
    shrinks = trend(hours, [61, 50, 42, 30, 21, 10], Measure.AREA)

    assert [each.state for each in (grows, level, shrinks)] == [
        TrendState.GROWING,
        TrendState.LEVEL,
        TrendState.SHRINKING,
    ]
    assert shrinks.likely.per_hour == pytest.approx(-grows.likely.per_hour)


def test_fewer_than_four_looks_carry_no_trend():
    for count in range(LEAST_LOOKS):
        found = trend(list(range(count)), [10.0 * each for each in range(count)], Measure.AREA)
        assert found.state is TrendState.CANNOT_SAY
        assert found.gap is GrowthGap.TOO_FEW
        assert found.slowest is None
    assert growth_words._LEAST_LOOKS == LEAST_LOOKS


@pytest.mark.parametrize(
    ("hours", "values", "words"),
    [
        ([0, 1, nan], [1, 2, 3], "running time is not a number"),
        ([0, 1, -2], [1, 2, 3], "running time is -2 h, but must lie between 0 h"),
        ([0, 1, 2], [1, nan, 3], "area is not a number"),
        ([0, 1], [1, 2, 3], "as many of both"),
    ],
)
def test_figures_that_cannot_be_are_refused(hours, values, words):
    with pytest.raises(BadInput, match=words):
        trend(hours, values, Measure.AREA)


def test_a_wipe_starts_a_new_series():
    inspections = looks(1, 2, 3, 4, 5, wiped_before=(3,))
    found = growth(history(inspections, [10, 20, 30, 5, 9]), inspections, ())

    assert [point.series for point in found.points] == [0, 0, 0, 1, 1]
    assert found.trend(Measure.EXTENT).looks == 2
    assert found.trend(Measure.EXTENT).likely.per_hour == pytest.approx(4.0)


def test_the_wipe_before_the_first_look_starts_none():
    inspections = looks(1, 2, wiped_before=(0,))

    assert {
        point.series for point in growth(history(inspections, [1, 2]), inspections, ()).points
    } == {0}


def test_time_to_the_next_grade_with_its_interval():
    """The extents are a straight line of 2 mm/h, so the limit of 38.1 mm is 4.05 h away."""
    inspections = looks(1, 2, 3, 4, 5, 6)
    found = growth(history(inspections, [20, 22, 24, 26, 28, 30]), inspections, ())

    assert found.next_grade.grade is SeepageGrade.HEAVY_SEEP
    assert found.next_grade.extent_mm == 38.1
    for hours in (
        found.next_grade.least_hours,
        found.next_grade.hours,
        found.next_grade.most_hours,
    ):
        assert hours == pytest.approx(4.05)


def test_what_scatters_may_never_reach_the_next_grade():
    inspections = looks(1, 2, 3, 4, 5, 6)
    found = growth(history(inspections, [22, 20, 27, 21, 26, 24]), inspections, ())

    assert found.trend(Measure.EXTENT).state is TrendState.LEVEL
    assert found.next_grade.most_hours is None
    assert found.next_grade.least_hours > 0


def test_drops_may_have_made_the_grade_higher_than_the_length_does():
    inspections = looks(1, 2, 3, 4)
    drips = history(inspections, [20, 22, 24, 26], grade=SeepageGrade.HEAVY_SEEP)

    assert growth(drips, inspections, ()).next_grade.grade is SeepageGrade.DRIP
    falling = history(inspections, [20, 22, 24, 26], grade=SeepageGrade.DRIP)
    assert growth(falling, inspections, ()).next_grade is None


def test_the_trend_reaches_up_to_the_look_in_question():
    inspections = looks(1, 2, 3, 4, wiped_before=(3,))
    told = history(inspections, [10, 20, 30, 5])
    found = growth(told, inspections, (), inspections[1].id)

    assert found.trend(Measure.EXTENT).looks == 2
    assert len(found.points) == 4
    assert len(growth(told, inspections, ()).in_trend) == 1


def test_a_leak_beyond_the_last_limit_has_no_next_grade():
    inspections = looks(1, 2)

    assert growth(history(inspections, [110, 120]), inspections, ()).next_grade is None


def test_why_nothing_can_be_said():
    no_hours, unseen = looks(None, None), looks(1, 2)
    by_hours = growth(history(no_hours, [1, 2]), no_hours, ())
    no_scale = growth(history(unseen, [None, None]), unseen, ())

    assert by_hours.trend(Measure.AREA).gap is GrowthGap.NO_HOURS
    assert no_scale.trend(Measure.AREA).gap is GrowthGap.NOT_MEASURED
    assert no_scale.trend(Measure.GRADE).gap is GrowthGap.TOO_FEW
    assert growth(history(unseen, ["hidden", "hidden"]), unseen, ()).points == ()


def test_dry_is_a_measured_zero():
    inspections = looks(1, 2)
    found = growth(history(inspections, [None, None], grade=SeepageGrade.DRY), inspections, ())

    assert [point.area_mm2 for point in found.points] == [0.0, 0.0]


def test_hours_come_from_the_runs_where_nobody_wrote_them_down():
    (look,) = looks(None)
    runs = [
        TestRun(engine_id=ENGINE, started_at=START - timedelta(hours=5), minutes=30),
        TestRun(engine_id=ENGINE, started_at=START - timedelta(hours=2), minutes=60),
        TestRun(engine_id=ENGINE, started_at=START + timedelta(hours=2), minutes=600),
    ]

    assert hours_at(look, runs) == 1.5
    assert hours_at(look, ()) is None
    runs.append(TestRun(engine_id=ENGINE, started_at=START - timedelta(hours=1)))
    assert hours_at(look, runs) is None
    assert hours_at(looks(7.0)[0], runs) == 7.0
