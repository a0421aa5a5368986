"""What a leak's history chart shows, in hours and the measure's own unit; drawn in two places."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, log10
from uuid import UUID

from leaktrack.model.growth import Growth, GrowthPoint, Line, Measure, TrendState
from leaktrack.model.leak import SeepageGrade, wetness

_AHEAD = 0.25
"""The trend is drawn so much further than its looks reach, of their span. Own judgement."""
_MOST_TICKS = 5


@dataclass(frozen=True, slots=True)
class ChartPoint:
    """One look.

    Attributes:
        sigma: One standard deviation of the value; None where that is not known.
        series: Looks of one series are joined by a line.
    """

    inspection_id: UUID
    hours: float
    value: float
    sigma: float | None
    grade: SeepageGrade
    series: int


@dataclass(frozen=True, slots=True)
class ChartLimit:
    """The length at which a grade begins."""

    value: float
    grade: SeepageGrade


@dataclass(frozen=True, slots=True)
class GrowthChart:
    """A chart of one measure of a leak over running hours.

    Attributes:
        points: Oldest first; only looks whose hours and measure are known.
        wipes: Hours at which it was wiped in between, so that a new series begins.
        line: Two points of hours and value; empty without a trend.
        band: Corners of the area in which the trend lies; empty without an interval.
        limit: The next grade's, for the length.
        last_hours: Right end.
        highest: Upper end; the lower one is 0.
    """

    measure: Measure
    points: tuple[ChartPoint, ...]
    wipes: tuple[float, ...]
    line: tuple[tuple[float, float], ...]
    band: tuple[tuple[float, float], ...]
    limit: ChartLimit | None
    first_hours: float
    last_hours: float
    highest: float

    @property
    def runs(self) -> tuple[tuple[ChartPoint, ...], ...]:
        """The points of each series."""
        series = dict.fromkeys(point.series for point in self.points)
        return tuple(
            tuple(point for point in self.points if point.series == each) for each in series
        )


def growth_chart(growth: Growth, measure: Measure) -> GrowthChart | None:
    """Return the chart of a leak's measure; None where no look has both hours and a figure."""
    points = [found for each in growth.points if (found := _point(each, measure)) is not None]
    if not points:
        return None
    trend = growth.trend(measure)
    first, last = points[0].hours, points[-1].hours
    trended = [point.hours for point in growth.in_trend if point.hours is not None]
    start = min(trended, default=first)
    end = max(trended, default=last)
    ahead = end + _AHEAD * max(end - start, 0.0)
    line = _line(trend.likely, start, ahead)
    band: tuple[tuple[float, float], ...] = ()
    if trend.state is not TrendState.CANNOT_SAY and trend.slowest and trend.fastest:
        band = _band((trend.likely, trend.slowest, trend.fastest), start, ahead)
    limit = None
    if measure is Measure.EXTENT and growth.next_grade is not None:
        limit = ChartLimit(growth.next_grade.extent_mm, growth.next_grade.grade)
    values = [point.value + (point.sigma or 0.0) for point in points]
    values += [value for _, value in (*line, *band)]
    if limit is not None:
        values.append(limit.value)
    highest = 5.0 if measure is Measure.GRADE else 1.1 * max(*values, 1e-9)
    return GrowthChart(
        measure,
        tuple(points),
        tuple((a.hours + b.hours) / 2 for a, b in pairwise(points) if a.series != b.series),
        line,
        band,
        limit,
        min(first, 0.0),
        max(last, ahead if line else last, first + 1e-6),
        highest,
    )


def ticks(first: float, last: float) -> tuple[float, ...]:
    """Return round figures between two, at most five pieces.

    >>> ticks(0.0, 4.2), ticks(0.0, 0.36)
    ((0.0, 1.0, 2.0, 3.0, 4.0), (0.0, 0.1, 0.2, 0.3))
    """
    span = last - first
    if span <= 0:
        return (first,)
    size = 10 ** floor(log10(span / _MOST_TICKS))
    step = next(size * by for by in (1, 2, 5, 10) if span / (size * by) <= _MOST_TICKS)
    begin = ceil(first / step - 1e-9)
    return tuple(
        round((begin + place) * step, 10) for place in range(floor(last / step + 1e-9) - begin + 1)
    )


def _point(point: GrowthPoint, measure: Measure) -> ChartPoint | None:
    digit = wetness(point.grade)
    figures: dict[Measure, tuple[float | None, float | None]] = {
        Measure.AREA: (point.area_mm2, point.area_sigma_mm2),
        Measure.EXTENT: (point.extent_mm, point.extent_sigma_mm),
        Measure.GRADE: (None if digit is None else float(digit), None),
    }
    value, sigma = figures[measure]
    if value is None or point.hours is None:
        return None
    return ChartPoint(point.inspection_id, point.hours, value, sigma, point.grade, point.series)


def _line(line: Line | None, start: float, end: float) -> tuple[tuple[float, float], ...]:
    if line is None or end <= start:
        return ()
    return tuple((hours, max(0.0, line.at(hours))) for hours in (start, end))


def _band(
    lines: Sequence[Line | None], start: float, end: float
) -> tuple[tuple[float, float], ...]:
    """Return the outline between the lowest and the highest of some lines."""
    steps = [start + (end - start) * place / 12 for place in range(13)]
    known = [line for line in lines if line is not None]
    upper = [(hours, max(0.0, *(line.at(hours) for line in known))) for hours in steps]
    lower = [(hours, max(0.0, min(line.at(hours) for line in known))) for hours in steps]
    return (*upper, *reversed(lower))
