"""Figures with their doubt as people read them, in metric or imperial units."""

import math

from leaktrack.model.between import Between
from leaktrack.model.units import IMPERIAL, units_in_use

_MM_PER_INCH = 25.4
_KM_PER_MILE = 1.609344
_ML_PER_OUNCE = 29.5735295625
_L_PER_QUART = 0.946352946

# Symbol and factor: metric, then imperial. NIST Special Publication 811, appendix B.8.
_UNITS: dict[str, tuple[tuple[str, float], tuple[str, float]]] = {
    "ul": (("µL", 1.0), ("µL", 1.0)),
    "ml": (("mL", 1.0), ("US fl oz", 1 / _ML_PER_OUNCE)),
    "l": (("L", 1.0), ("US qt", 1 / _L_PER_QUART)),
    "l_1000_km": (("L", 1.0), ("US qt", _KM_PER_MILE / _L_PER_QUART)),
    "mm": (("mm", 1.0), ("in", 1 / _MM_PER_INCH)),
    "mmh2o": (("mmH₂O", 1.0), ("inH₂O", 1 / _MM_PER_INCH)),
    "h": (("h", 1.0), ("h", 1.0)),
}


def plain(value: float) -> str:
    """Return a number with two digits that count, without a power of ten.

    >>> plain(0.943), plain(3.04), plain(71.4), plain(1728.0), plain(0.0)
    ('0.94', '3', '71', '1,700', '0')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else f"{value:g}"
    finest = 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, finest):,.{max(finest, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def between_words(figure: Between, kind: str, units: str | None = None) -> str:
    """Return a range with its unit.

    Args:
        figure: The range, in the unit that ``kind`` names.
        kind: "ul", "ml", "l", "l_1000_km" (per 1,000 km or miles), "mm", "mmh2o" or "h".
        units: "metric" or "imperial"; None: those in use.

    >>> between_words(Between(0.94, 3.04), "ml"), between_words(Between(2.0, 2.0), "mm")
    ('0.94 to 3 mL', '2 mm')
    >>> between_words(Between(25.4, 50.8), "mm", IMPERIAL)
    '1 to 2 in'
    """
    symbol, factor = _unit(kind, units)
    low, high = plain(figure.low * factor), plain(figure.high * factor)
    if math.isinf(figure.high):
        return f"{low} {symbol} or more"
    return f"{low} {symbol}" if low == high else f"{low} to {high} {symbol}"


def doubted_words(value: float, sigma: float, kind: str, units: str | None = None) -> str:
    """Return a figure with one standard deviation, as many digits as that deserves.

    >>> doubted_words(25.46, 1.2, "mm"), doubted_words(412.3, 71.0, "ml")
    ('25 ± 1 mm', '410 ± 70 mL')
    >>> doubted_words(25.4, 1.3, "mm", IMPERIAL)
    '1.00 ± 0.05 in'
    """
    symbol, factor = _unit(kind, units)
    value, sigma = value * factor, sigma * factor
    if sigma <= 0:
        return f"{plain(value)} {symbol}"
    finest = -math.floor(math.log10(sigma))
    digits = max(finest, 0)
    shown, doubt = round(value, finest) + 0.0, round(sigma, finest)
    return f"{shown:,.{digits}f} ± {doubt:,.{digits}f} {symbol}"


def amount_words(value: float, kind: str, units: str | None = None) -> str:
    """Return a known figure, such as a limit.

    >>> amount_words(255.0, "mmh2o"), amount_words(255.0, "mmh2o", IMPERIAL)
    ('255 mmH₂O', '10.04 inH₂O')
    """
    symbol, factor = _unit(kind, units)
    return f"{value * factor:.4g} {symbol}"


def share_words(share: Between) -> str:
    """Return a share in per cent, 1 being all.

    >>> share_words(Between(0.2, 0.551)), share_words(Between(0.001, 0.004))
    ('20 to 55 %', 'less than 1 %')
    >>> share_words(Between(0.8, 2.4)), share_words(Between(0.3, math.inf))
    ('80 % or more', '30 % or more')
    >>> share_words(Between(1.3, 2.4))
    'all'
    >>> share_words(Between(0.001, 0.04))
    'at most 4 %'
    """
    low, high = round(100 * share.low), None
    if low >= 100:
        return "all"
    if share.high < 1:
        high = round(100 * share.high)
    if high is None:
        return f"{low} % or more"
    if high == 0:
        return "less than 1 %"
    if low == 0:
        return f"at most {high} %"
    return f"{low} %" if low == high else f"{low} to {high} %"


def time_words(hours: Between) -> str:
    """Return a span of time in hours or days.

    >>> time_words(Between(3.0, 9.5)), time_words(Between(60.0, 240.0))
    ('3 to 9.5 h', '2.5 to 10 days')
    """
    if hours.low >= 48:
        days = hours.times(1 / 24)
        return f"{plain(days.low)} to {plain(days.high)} days"
    return between_words(hours, "h")


def minutes_words(minutes: float) -> str:
    """Return a time in minutes, hours or days, whichever reads best.

    >>> minutes_words(0.5), minutes_words(30), minutes_words(240), minutes_words(2.5 * 24 * 60)
    ('0.5 min', '30 min', '4 h', '2.5 days')
    """
    if minutes < 120:
        return f"{plain(minutes)} min"
    hours = minutes / 60
    return f"{plain(hours)} h" if hours < 48 else f"{plain(hours / 24)} days"


def _unit(kind: str, units: str | None) -> tuple[str, float]:
    metric, imperial = _UNITS[kind]
    return imperial if (units or units_in_use()) == IMPERIAL else metric
