"""How long does sealant stay open, and how long does it cure, at this temperature and humidity?

Makers give their times for about 23 C and 50 % humidity. Warmth halves them for each 10 C (rule of
thumb, from memory); a sealant that cures by moisture also waits for the air's humidity, an
anaerobic one does not. Which of both it is, the record does not say: the range covers both.
"""

from leaktrack.analysis.refusing import limited
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import Range

RULE_C, RULE_HUMIDITY_PERCENT = 23.0, 50.0
# So many times as fast for each 10 C more; 2 from memory, the ends own judgement.
FASTER_PER_10_C = Range(1.5, 2.0, 2.5)
# Beyond these the rule of thumb says nothing. Own judgement.
COLDEST_C, HOTTEST_C = -5.0, 60.0
DRIEST_PERCENT = 5.0
# Silicone that cures by moisture: 2 to 3 mm in the first day, then with the root of time (from
# memory); in a closed joint moisture reaches it from the edges only.
DEPTH_MM_PER_DAY = Range(2.0, 2.5, 3.0)
MOST_H = 10_000.0


def time_here(rule_h: float, air_c: float, humidity_percent: float | None = None) -> Range:
    """Return how long one of the rule's times is in this air, in the unit of ``rule_h``.

    Args:
        rule_h: As the maker gives it.
        air_c: Temperature of air and parts, in C.
        humidity_percent: Relative humidity; None where it is not known, and then not counted.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.

    >>> time_here(24.0, 13.0)
    Range(least=36.0, likely=48.0, most=60.0)
    """
    limited(rule_h, "time of the rule", highest=MOST_H * 60)
    limited(air_c, "air temperature", "°C", lowest=COLDEST_C, highest=HOTTEST_C)
    tens = (RULE_C - air_c) / 10
    times = sorted(
        by**tens for by in (FASTER_PER_10_C.least, FASTER_PER_10_C.likely, FASTER_PER_10_C.most)
    )
    slower = 1.0
    if humidity_percent is not None:
        limited(humidity_percent, "humidity", "%", lowest=DRIEST_PERCENT, highest=100.0)
        slower = RULE_HUMIDITY_PERCENT / humidity_percent
    least, most = sorted((1.0, slower))
    return Range(
        rule_h * times[0] * least, rule_h * times[1] * slower**0.5, rule_h * times[2] * most
    )


def through_h(film: Range, air_c: float | None, humidity_percent: float | None) -> Range:
    """Return when moisture from both edges has cured a closed film through, in hours.

    It goes with the square of the film's width. Only for sealants that cure by moisture.

    Args:
        film: Its width in mm.
        air_c: Temperature of the air, in C; not counted where unknown or beyond the rule of thumb.
        humidity_percent: Relative humidity; likewise.
    """
    fast, slow = DEPTH_MM_PER_DAY.most, DEPTH_MM_PER_DAY.least
    halves = Range(film.least / 2, film.likely / 2, film.most / 2)
    plain = Range(
        24 * (halves.least / fast) ** 2,
        24 * (halves.likely / DEPTH_MM_PER_DAY.likely) ** 2,
        24 * (halves.most / slow) ** 2,
    )
    if air_c is None:
        return plain
    try:
        return plain.times(time_here(1.0, air_c, humidity_percent))
    except BadInput:
        return plain
