"""Say how much of a change heat and running time alone would make, and what that assumes."""

from collections.abc import Sequence
from math import hypot

from leaktrack.model.comparison import LeakChange, Sighting
from leaktrack.model.heat import HeatFactor, Range
from leaktrack.model.units import digits_of, figure
from leaktrack.model.words import word

HEAT_ASSUMES = (
    "This takes the same gap, the same pressure and the same oil for both looks. In the range: "
    "what the oil's grade leaves open (SAE J300, ASTM D341), and thermometers some degrees off."
)
"""Stands beside every such figure."""

SIGMAS, OUTLINES_DIFFER = 2.0, 1.25
"""As where a comparison of areas decides how a leak fared (``analysis.comparing``)."""


def times_words(times: Range) -> str:
    """Return how many times, with the range.

    >>> times_words(Range(1.21, 1.34, 1.52)), times_words(Range(2.0, 2.0, 2.0))
    ('1.3 times (1.2 to 1.5)', '2 times')
    """
    least, likely, most = (digits_of(each, 2) for each in (times.least, times.likely, times.most))
    return f"{likely} times" if least == most else f"{likely} times ({least} to {most})"


def heat_sentences(factor: HeatFactor) -> tuple[str, ...]:
    """Return what temperature and running time alone would make, or what is missing to say it."""
    sentences = [*_oil_sentence(factor), *_look_sentence(factor), *_missing_sentence(factor)]
    if factor.rate is not None or factor.run_rate is not None:
        sentences.append(HEAT_ASSUMES)
    return tuple(sentences)


def beyond_sentence(factor: HeatFactor, change: LeakChange) -> str:
    """Return what that means for one leak; empty where its areas or the factor are not known.

    Oil that drips off leaves no area behind, so an area that grew less proves nothing.
    """
    was, now = change.before.area_mm2, change.after.area_mm2
    if factor.oil is None or not was or not now:
        return ""
    grown = _ratio(change.before, change.after)
    grew = f"Leak {change.leak.number}: {times_words(grown)} the wet area"
    if grown.least > factor.oil.most:
        return f"{grew}, which is more than heat and running time make: it leaks worse than before."
    if grown.likely <= 1:
        return f"{grew}: it has not grown."
    return f"{grew}, which heat and running time alone would make: it need not leak worse."


def beyond_sentences(factor: HeatFactor, changes: Sequence[LeakChange]) -> tuple[str, ...]:
    """Return what that means for each leak of which it can be said."""
    return tuple(filter(None, (beyond_sentence(factor, each) for each in changes)))


def _ratio(before: Sighting, after: Sighting) -> Range:
    """Return how many times as large the wet area is, with what two standard deviations leave."""
    was, now = before.area_mm2 or 1.0, after.area_mm2 or 1.0
    if before.area_sigma_mm2 is None or after.area_sigma_mm2 is None:
        return Range(now / was / OUTLINES_DIFFER, now / was, now / was * OUTLINES_DIFFER)
    share = SIGMAS * hypot(before.area_sigma_mm2 / was, after.area_sigma_mm2 / now)
    return Range(now / was / (1 + share), now / was, now / was * (1 + share))


def _oil_sentence(factor: HeatFactor) -> tuple[str, ...]:
    before, after = factor.before, factor.after
    reasons = []
    if factor.hours is not None:
        was, now = (_duration(each.hours_since_wipe or 0.0) for each in (before, after))
        since = "since the last wipe" if after.was_wiped else "since the start"
        longer = "" if factor.oil is None else f", {digits_of(factor.hours, 2)} times as long"
        reasons.append(f"it ran {now} {since} instead of {was}{longer}")
    if factor.run_rate is not None:
        reasons.append(_rate_words(before.run_c, after.run_c, factor.run_rate, "while running"))
    elif factor.rate is not None and factor.oil is not None:
        reasons.append(_rate_words(before.oil_c, after.oil_c, factor.rate, "at the look"))
    if factor.oil is not None:
        made = times_words(factor.oil)
        return (f"Heat and running time alone would make {made} as much oil: {_and(reasons)}.",)
    if factor.run_rate is not None:
        made = times_words(factor.run_rate)
        return (f"Heat alone would let it leak {made} as fast: {_and(reasons)}.",)
    if factor.hours is not None:
        times = digits_of(factor.hours, 2)
        return (f"Running time alone would make {times} times as much oil: {reasons[0]}.",)
    return ()


def _look_sentence(factor: HeatFactor) -> tuple[str, ...]:
    """Return what the temperatures at the looks make of drops that are counted there."""
    if factor.rate is None or (factor.oil is not None and factor.run_rate is None):
        return ()
    words = _rate_words(factor.before.oil_c, factor.after.oil_c, factor.rate, "at the look")
    return (f"What drips during the look: {words}.",)


def _missing_sentence(factor: HeatFactor) -> tuple[str, ...]:
    if not factor.missing:
        return ()
    reasons = _and([word(gap) for gap in factor.missing])
    known = factor.rate is not None or factor.run_rate is not None
    if known and factor.hours is None:
        what = "What the running time makes of it cannot be said"
    elif factor.hours is not None and not known:
        what = "What the oil's temperature makes of it cannot be said"
    else:
        what = "What heat and running time alone would make cannot be said"
    return (f"{what}: {reasons}.",)


def _rate_words(before_c: float | None, after_c: float | None, rate: Range, when: str) -> str:
    was, now = (figure(each, "°C") if each is not None else "" for each in (before_c, after_c))
    return f"oil of {now} instead of {was} {when} leaks {times_words(rate)} as fast"


def _duration(hours: float) -> str:
    return f"{round(hours * 60)} min" if hours < 1 else f"{digits_of(hours)} h"


def _and(parts: Sequence[str]) -> str:
    return ", and ".join(parts) if len(parts) == 2 else "; ".join(parts)
