"""Tell what heat and running time make of a change, and how leaks grow."""

from collections.abc import Sequence
from typing import Any

from leaktrack.cli.printing import say
from leaktrack.cli.summing import range_document
from leaktrack.model.comparison import Comparison
from leaktrack.model.growth import Growth, Line, Measure, NextGrade
from leaktrack.model.growth_words import GROWTH_ASSUMES, growth_sentences
from leaktrack.model.heat import HeatFactor, LookConditions
from leaktrack.model.heat_words import beyond_sentences, heat_sentences
from leaktrack.model.leak import wetness

Document = dict[str, Any]


def tell_heat(factor: HeatFactor, comparison: Comparison) -> None:
    """Print what heat and running time alone would make, and what that means for each leak."""
    for sentence in (*heat_sentences(factor), *beyond_sentences(factor, comparison.changes)):
        say(sentence)


def tell_growth(growths: Sequence[Growth]) -> None:
    """Print how each leak grew over running hours."""
    if not growths:
        return
    say("Over running hours:")
    for growth in growths:
        say(f"Leak {growth.leak.number}. {' '.join(growth_sentences(growth))}", indent="  ")
    say(GROWTH_ASSUMES)


def heat_document(factor: HeatFactor) -> Document:
    """Return the factors; null where they cannot be said, with the reasons."""
    return {
        "before": _conditions(factor.before),
        "after": _conditions(factor.after),
        "rate": range_document(factor.rate),
        "rate_while_running": range_document(factor.run_rate),
        "running_time": factor.hours,
        "oil": range_document(factor.oil),
        "missing": [gap.value for gap in factor.missing],
        "sentences": list(heat_sentences(factor)),
    }


def growth_document(growth: Growth) -> Document:
    """Return a leak's looks, trends and the time to the next grade."""
    return {
        "number": growth.leak.number,
        "looks": [
            {
                "inspection": str(point.inspection_id),
                "hours": point.hours,
                "grade": wetness(point.grade),
                "area_mm2": point.area_mm2,
                "area_sigma_mm2": point.area_sigma_mm2,
                "extent_mm": point.extent_mm,
                "series": point.series,
            }
            for point in growth.points
        ],
        "trends": {each.value: _trend(growth, each) for each in Measure},
        "next_grade": _next(growth.next_grade),
        "sentences": [*growth_sentences(growth), GROWTH_ASSUMES],
    }


def _conditions(one: LookConditions) -> Document:
    return {
        "oil_c": one.oil_c,
        "oil_c_while_running": one.run_c,
        "oil_grade": one.oil_grade,
        "hours_since_wipe": one.hours_since_wipe,
        "was_wiped": one.was_wiped,
    }


def _trend(growth: Growth, measure: Measure) -> Document:
    trend = growth.trend(measure)
    return {
        "state": trend.state.value,
        "looks": trend.looks,
        "per_hour": _slope(trend.likely),
        "least_per_hour": _slope(trend.slowest),
        "most_per_hour": _slope(trend.fastest),
        "confidence": trend.confidence,
        "missing": trend.gap.value if trend.gap else None,
    }


def _slope(line: Line | None) -> float | None:
    return None if line is None else line.per_hour


def _next(following: NextGrade | None) -> Document | None:
    if following is None:
        return None
    return {
        "grade": wetness(following.grade),
        "extent_mm": following.extent_mm,
        "hours": following.hours,
        "least_hours": following.least_hours,
        "most_hours": following.most_hours,
    }
