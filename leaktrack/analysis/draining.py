"""Has the debris in the drain become more? Two counts held against each other."""

from collections.abc import Iterator, Sequence
from math import inf

from scipy.special import betaincinv

from leaktrack.analysis.requiring import require
from leaktrack.model.debris import (
    DebrisCount,
    DrainChange,
    DrainComparison,
    DrainCount,
    DrainRow,
    Particle,
    ParticleKind,
    size_names,
    size_place,
)
from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure

_ALPHA = 0.05
_HOURS = (0.01, 100_000.0)

ASSUMES = (
    "Assumes that all that the drain held lay on the paper both times, and that particles come at "
    "random: the interval is that of two counts, not of how well they were poured out."
)
_BY_DRAIN = " The hours that the oil ran are not known for both, so it is by drain, not by hour."


def compared_drains(
    before: DrainCount | DebrisCount,
    after: DrainCount | DebrisCount,
    before_h: float | None = None,
    after_h: float | None = None,
) -> DrainComparison:
    """Return how the particles of two drains compare, look by look and size by size.

    Only particles that both photos could show count. Ratio and interval are those of two Poisson
    counts, exact by their sum (Przyborowski and Wilenski, Biometrika 31, 1940).

    Args:
        before: The earlier drain.
        after: The later one.
        before_h: Hours that the earlier oil had run.
        after_h: Hours that the later one had.

    Raises:
        BadInput: A photo has no scale, or hours are negative or not a number.
    """
    if before.unit != "mm" or after.unit != "mm":
        raise BadInput(
            "Two drains can only be compared in millimetres, and one of the photos has no scale. "
            "Photograph the paper again with a printed target on it."
        )
    hours = 1.0
    by_hour = before_h is not None and after_h is not None
    if before_h is not None and after_h is not None:
        first = require(before_h, "running time before the earlier drain", *_HOURS, "h")
        hours = first / require(after_h, "running time before the later drain", *_HOURS, "h")
    least = max(before.least, after.least)
    earlier = [one for one in before.particles if one.length >= least]
    later = [one for one in after.particles if one.length >= least]
    return DrainComparison(
        rows=tuple(_rows(earlier, later, hours)),
        least_mm=least,
        before_h=before_h,
        after_h=after_h,
        assumes=ASSUMES if by_hour else ASSUMES + _BY_DRAIN,
    )


def rate_ratio(before: int, after: int, hours: float = 1.0) -> Figure | None:
    """Return how many times as many there are now, with the exact 95 % interval.

    Args:
        before: Earlier count.
        after: Later count.
        hours: Earlier hours divided by later ones.

    Returns:
        None where both are none. The upper bound is infinite where there were none before.
    """
    if before + after == 0:
        return None
    low = float(betaincinv(after, before + 1, _ALPHA / 2)) if after else 0.0
    high = float(betaincinv(after + 1, before, 1 - _ALPHA / 2)) if before else 1.0
    value = inf if before == 0 else after / before * hours
    return Figure(value, low / (1 - low) * hours, inf if high == 1 else high / (1 - high) * hours)


def _rows(earlier: list[Particle], later: list[Particle], hours: float) -> Iterator[DrainRow]:
    yield _row(None, "", earlier, later, hours)
    for kind in ParticleKind:
        first = [one for one in earlier if one.kind is kind]
        second = [one for one in later if one.kind is kind]
        if not first and not second:
            continue
        yield _row(kind, "", first, second, hours)
        for place, name in enumerate(size_names()):
            small = [one for one in first if size_place(one.length) == place]
            large = [one for one in second if size_place(one.length) == place]
            if small or large:
                yield _row(kind, name, small, large, hours)


def _row(
    kind: ParticleKind | None,
    size: str,
    earlier: Sequence[Particle],
    later: Sequence[Particle],
    hours: float,
) -> DrainRow:
    ratio = rate_ratio(len(earlier), len(later), hours)
    change = DrainChange.CANNOT_SAY
    if ratio is not None and ratio.low > 1:
        change = DrainChange.MORE
    elif ratio is not None and ratio.high < 1:
        change = DrainChange.FEWER
    return DrainRow(
        kind=kind,
        size=size,
        before=len(earlier),
        after=len(later),
        before_mm2=sum(one.area for one in earlier),
        after_mm2=sum(one.area for one in later),
        ratio=ratio,
        change=change,
    )
