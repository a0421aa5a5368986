"""Say how a leak grew over running hours, and what that assumes."""

from leaktrack.model.growth import (
    Growth,
    GrowthGap,
    GrowthPoint,
    Line,
    Measure,
    NextGrade,
    Trend,
    TrendState,
)
from leaktrack.model.units import digits_of, figure, in_units, with_sigma
from leaktrack.model.words import grade_words, word

GROWTH_ASSUMES = (
    "The trend is the median slope between all pairs of looks since the last wipe (Theil and Sen); "
    "it takes the growth to go on as a straight line. The lengths at which grades begin are "
    "published for a look 30 minutes after wiping."
)
"""Stands beside every such figure."""

_SYMBOLS = {Measure.AREA: "mm²/h", Measure.EXTENT: "mm/h", Measure.GRADE: "grades/h"}
_LEAST_LOOKS = 4  # as in analysis.growing; a test holds both together
_LONGEST_H = 10_000.0


def growth_sentences(growth: Growth) -> tuple[str, ...]:
    """Return what is known of one leak's growth since the last wipe, most telling measure first."""
    if growth.until < 0:
        return ("Growth cannot be told: no look has seen this leak.",)
    area, extent = growth.trend(Measure.AREA), growth.trend(Measure.EXTENT)
    told = [each for each in (area, extent) if each.state is not TrendState.CANNOT_SAY]
    if not told:
        told = [area if area.likely is not None else _best_of(growth)]
    sentences = [trend_sentence(each) for each in told]
    if growth.next_grade is not None and extent.state is not TrendState.CANNOT_SAY:
        sentences.append(next_sentence(growth.next_grade, extent))
    return tuple(sentences)


def _best_of(growth: Growth) -> Trend:
    """Return the grade's trend where that can be told and no size can, else why the area cannot."""
    grade = growth.trend(Measure.GRADE)
    return grade if grade.state is not TrendState.CANNOT_SAY else growth.trend(Measure.AREA)


def trend_sentence(trend: Trend) -> str:
    """Return what the looks since the last wipe say of one measure."""
    name = word(trend.measure).capitalize()
    looks = f"{trend.looks} look{'' if trend.looks == 1 else 's'}"
    if trend.state is TrendState.CANNOT_SAY:
        few = f"{looks} since the last wipe, and {_LEAST_LOOKS} are needed"
        if trend.likely is not None:
            about = figure(abs(trend.likely.per_hour), _SYMBOLS[trend.measure], 2)
            way = "less" if trend.likely.per_hour < 0 else "more"
            return f"{name}: about {about} {way}, but that cannot be told from chance: {few}."
        why = few if trend.gap in (None, GrowthGap.TOO_FEW) else word(trend.gap)
        return f"Growth and the time to the next grade cannot be told: {why}."
    assert trend.slowest is not None  # it can say
    assert trend.fastest is not None
    ends = (
        f"{_number(trend.slowest, trend.measure)} to {_per_hour(trend.fastest, trend.measure)}, "
        f"sure to {round(100 * (trend.confidence or 0.0))} %, {looks} since the last wipe"
    )
    if trend.state is TrendState.LEVEL or trend.likely is None:
        return f"{name}: {word(trend.state)} ({ends})."
    return f"{name} {word(trend.state)}: {_per_hour(trend.likely, trend.measure)} ({ends})."


def next_sentence(following: NextGrade, extent: Trend) -> str:
    """Return when the leak is as long as the next grade begins."""
    grade = grade_words(following.grade)
    limit = f"the length at which grade {grade} begins ({figure(following.extent_mm, 'mm')})"
    if following.least_hours is None:
        if extent.state in (TrendState.LEVEL, TrendState.SHRINKING):
            return f"It is not on the way to {limit}."
        return f"When it reaches {limit} cannot be told."
    least = _hours(following.least_hours)
    if following.hours is None:
        return f"It reaches {limit} after {least} more of running at the earliest, perhaps never."
    most = "perhaps never" if following.most_hours is None else _hours(following.most_hours)
    return (
        f"It reaches {limit} after about {_hours(following.hours)} more of running "
        f"({least} to {most}), if it goes on so."
    )


def point_words(point: GrowthPoint, look: str) -> str:
    """Return what one look saw, for reading out.

    Args:
        point: The look's figures.
        look: What the look is called, such as "4 April, after 4 hours".
    """
    parts = [look]
    if point.hours is not None:
        parts.append(f"{digits_of(point.hours)} h run")
    parts.append(grade_words(point.grade))
    if point.area_mm2:
        parts.append(with_sigma(point.area_mm2, point.area_sigma_mm2, "mm²"))
    if point.extent_mm:
        parts.append(f"{with_sigma(point.extent_mm, point.extent_sigma_mm, 'mm')} long")
    return ", ".join(parts)


def _number(line: Line, measure: Measure) -> str:
    value, _ = in_units(line.per_hour, _SYMBOLS[measure])
    return digits_of(value, 2)


def _per_hour(line: Line, measure: Measure) -> str:
    return figure(line.per_hour, _SYMBOLS[measure], 2)


def _hours(hours: float) -> str:
    if hours > _LONGEST_H:
        return f"more than {digits_of(_LONGEST_H)} h"
    return f"{digits_of(hours, 2)} h"
