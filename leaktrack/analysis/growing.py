"""How does a leak grow over running hours, and when does it reach the next grade?

The trend is the median of the slopes between all pairs of looks (Theil and Sen), which one bad
outline in four does not spoil. Its interval takes those slopes that Kendall's test cannot refuse
(Sen, J. Amer. Statist. Assoc. 63:1379-1389, 1968), by the exact chances for few looks; so four
looks since the last wipe are needed at least, and where there are fewer, nothing is claimed.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import factorial, floor, isfinite
from statistics import median
from uuid import UUID

from leaktrack.analysis.refusing import limited
from leaktrack.model.comparison import LeakHistory, Sighting
from leaktrack.model.errors import BadInput
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
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import SeepageGrade, wetness
from leaktrack.model.severity import GradeLimits

# The interval holds the true slope at least so often. Own judgement: the usual 95 % would take five
# looks at least, and few engines get as many before the teardown.
WANTED_CONFIDENCE = 0.9
LEAST_LOOKS = 4
MOST_LOOKS = 400
# From here on the chances are normal to three decimals; 1.645 standard deviations hold 90 %.
_MANY_LOOKS = 30
_NORMAL_90 = 1.6449
_FINER_THAN_HOURS = 1e-6

USUAL_LIMITS = GradeLimits()
"""Where grades end, unless somebody set it otherwise."""


def hours_at(inspection: Inspection, runs: Sequence[TestRun]) -> float | None:
    """Return how long the engine had run by an inspection: as written down, else by its runs.

    The runs count only where every one of them has its minutes.
    """
    if inspection.engine_hours is not None:
        return inspection.engine_hours
    until = [run.minutes for run in runs if run.started_at <= inspection.looked_at]
    if not runs or None in until:
        return None
    return sum(each for each in until if each is not None) / 60


def growth(
    history: LeakHistory,
    inspections: Sequence[Inspection],
    runs: Sequence[TestRun],
    until_id: UUID | None = None,
    limits: GradeLimits = USUAL_LIMITS,
) -> Growth:
    """Return how a leak grew, from the wipe before some inspection up to it.

    Args:
        history: Of the leak, oldest look first.
        inspections: All of the engine, oldest first.
        runs: All of the engine.
        until_id: The inspection; None for the last one.
        limits: Extents at which grades begin.
    """
    points = _points(history, inspections, runs)
    ids = [one.id for one in inspections]
    until_place = ids.index(until_id) if until_id in ids else len(ids)
    seen = [
        place for place, each in enumerate(points) if ids.index(each.inspection_id) <= until_place
    ]
    plain = Growth(history.leak, points, seen[-1] if seen else -1, (), None)
    trends = tuple(_trend_of(plain.in_trend, measure) for measure in Measure)
    return replace(plain, trends=trends, next_grade=_next_grade(plain.in_trend, trends, limits))


def trend(hours: Sequence[float], values: Sequence[float], measure: Measure) -> Trend:
    """Return the robust trend of some figures over hours, with its interval.

    Figures of the same hour count as one, their mean.

    Args:
        hours: Of each figure, in any order.
        values: The figures.
        measure: What they are.

    Raises:
        BadInput: The counts differ, there are too many, or a figure is no number.
    """
    if len(hours) != len(values) or len(hours) > MOST_LOOKS:
        raise BadInput(
            f"{len(hours)} hours and {len(values)} figures were given. There must be as many of "
            f"both, and at most {MOST_LOOKS}; nothing was worked out."
        )
    for hour in hours:
        limited(hour, "running time", "h", highest=1e6)
    for value in values:
        limited(value, measure.value, lowest=-1e12, highest=1e12)
    times, means = _merged(hours, values)
    count = len(times)
    if count < 2:
        return Trend(measure, TrendState.CANNOT_SAY, count, gap=GrowthGap.TOO_FEW)
    pairs = combinations(range(count), 2)
    slopes = sorted((means[j] - means[i]) / (times[j] - times[i]) for i, j in pairs)
    likely = _line(times, means, median(slopes))
    if count < LEAST_LOOKS:
        return Trend(measure, TrendState.CANNOT_SAY, count, likely, gap=GrowthGap.TOO_FEW)
    place, confidence = _interval_place(count)
    low, high = slopes[place], slopes[-1 - place]
    state = (
        TrendState.GROWING if low > 0 else TrendState.SHRINKING if high < 0 else TrendState.LEVEL
    )
    return Trend(
        measure,
        state,
        count,
        likely,
        _line(times, means, low),
        _line(times, means, high),
        confidence,
    )


def _merged(hours: Sequence[float], values: Sequence[float]) -> tuple[list[float], list[float]]:
    same: dict[float, list[float]] = defaultdict(list)
    for hour, value in sorted(zip(hours, values, strict=True)):
        near = next((each for each in same if abs(each - hour) < _FINER_THAN_HOURS), hour)
        same[near].append(value)
    return list(same), [sum(each) / len(each) for each in same.values()]


def _line(times: Sequence[float], values: Sequence[float], slope: float) -> Line:
    pairs = zip(times, values, strict=True)
    level = median(value - slope * (time - times[-1]) for time, value in pairs)
    return Line(times[-1], level, slope)


@cache
def _interval_place(count: int) -> tuple[int, float]:
    """Return how many slopes to leave out at each end, and how often the rest holds the true one.

    Of N slopes the true one lies between the k-th from below and from above unless no more than
    k - 1 of them lie on one side of it. How many do is Kendall's number of discordant pairs, whose
    chances without a trend are those of the inversions of a permutation.
    """
    if count > _MANY_LOOKS:
        sd = (count * (count - 1) * (2 * count + 5) / 18) ** 0.5
        return floor((count * (count - 1) / 2 - _NORMAL_90 * sd) / 2) - 1, WANTED_CONFIDENCE
    ways = _inversions(count)
    everything = factorial(count)
    below, found = 0, (0, 1 - 2 * ways[0] / everything)
    for place, number in enumerate(ways[: len(ways) // 2]):
        below += number
        confidence = 1 - 2 * below / everything
        if confidence < WANTED_CONFIDENCE:
            break
        found = (place, confidence)
    return found


def _inversions(count: int) -> list[int]:
    """Return how many permutations of so many things have 0, 1, 2 ... inversions."""
    ways = [1]
    for size in range(2, count + 1):
        sums = [0]
        for number in ways:
            sums.append(sums[-1] + number)
        length = len(ways) + size - 1
        ways = [
            sums[min(k + 1, len(ways))] - sums[max(0, min(k + 1 - size, len(ways)))]
            for k in range(length)
        ]
    return ways


def _points(
    history: LeakHistory, inspections: Sequence[Inspection], runs: Sequence[TestRun]
) -> tuple[GrowthPoint, ...]:
    seen = {one.inspection_id: one for one in history.sightings}
    points, series, last_look = [], 0, None
    for inspection in inspections:
        wiped_at = inspection.cleaned_at
        if wiped_at and last_look and last_look < wiped_at <= inspection.looked_at:
            series += 1
        last_look = inspection.looked_at
        sighting = seen.get(inspection.id)
        if sighting is None or sighting.grade is SeepageGrade.NOT_SEEN:
            continue
        points.append(_point(sighting, hours_at(inspection, runs), series))
    return tuple(points)


def _point(sighting: Sighting, hours: float | None, series: int) -> GrowthPoint:
    # Dry is a measured zero. It needs no scale.
    is_dry = sighting.grade is SeepageGrade.DRY
    return GrowthPoint(
        sighting.inspection_id,
        hours,
        sighting.grade,
        0.0 if is_dry else sighting.area_mm2,
        None if is_dry else sighting.area_sigma_mm2,
        0.0 if is_dry else sighting.extent_mm,
        None if is_dry else sighting.extent_sigma_mm,
        series,
    )


def value_of(point: GrowthPoint, measure: Measure) -> float | None:
    """Return what a look measured; None where it did not."""
    match measure:
        case Measure.AREA:
            return point.area_mm2
        case Measure.EXTENT:
            return point.extent_mm
        case Measure.GRADE:
            digit = wetness(point.grade)
            return None if digit is None else float(digit)


def _trend_of(points: Sequence[GrowthPoint], measure: Measure) -> Trend:
    timed = [point for point in points if point.hours is not None]
    if points and not timed:
        return Trend(measure, TrendState.CANNOT_SAY, len(points), gap=GrowthGap.NO_HOURS)
    pairs = [(point.hours, value_of(point, measure)) for point in timed]
    known = [(hour, value) for hour, value in pairs if hour is not None and value is not None]
    if timed and not known:
        return Trend(measure, TrendState.CANNOT_SAY, len(timed), gap=GrowthGap.NOT_MEASURED)
    return trend([hour for hour, _ in known], [value for _, value in known], measure)


def _next_grade(
    points: Sequence[GrowthPoint], trends: Sequence[Trend], limits: GradeLimits
) -> NextGrade | None:
    extents = next(each for each in trends if each.measure is Measure.EXTENT)
    if not points or points[-1].extent_mm is None:
        return None
    line = extents.likely
    now_mm = points[-1].extent_mm if line is None else max(0.0, line.level)
    begins = (limits.stain_below_mm, limits.seep_below_mm, limits.heavy_seep_below_mm)
    grades = (SeepageGrade.SEEP, SeepageGrade.HEAVY_SEEP, SeepageGrade.DRIP)
    digit = wetness(points[-1].grade) or 0
    # Drops may have made it a higher grade already than its length does.
    place = next(
        (
            place
            for place, grade in enumerate(grades)
            if begins[place] > now_mm and (wetness(grade) or 0) > digit
        ),
        None,
    )
    if place is None:
        return None
    limit = begins[place]
    if extents.state is TrendState.CANNOT_SAY or line is None:
        return NextGrade(grades[place], limit)
    assert extents.slowest is not None  # it can say
    assert extents.fastest is not None
    return NextGrade(
        grades[place],
        limit,
        _hours_to(line, limit),
        _hours_to(extents.fastest, limit),
        _hours_to(extents.slowest, limit),
    )


def _hours_to(line: Line, limit: float) -> float | None:
    if line.per_hour <= 0:
        return None
    hours = max(0.0, (limit - line.level) / line.per_hour)
    return hours if isfinite(hours) else None
