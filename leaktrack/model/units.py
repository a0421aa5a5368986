"""Records hold metric units; what people read and type follows their choice. The edge is here.

Fields ask ``unit_of``. Sentences ask ``in_units`` and ``figure``, which follow the units in use:
like a language they are chosen once, for the window, for a command or around one report.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from math import ceil, log10

METRIC, IMPERIAL = "metric", "imperial"
"""The two values of the setting."""

_in_use: ContextVar[str] = ContextVar("units", default=METRIC)


@dataclass(frozen=True, slots=True)
class Unit:
    """How a stored number is shown: ``shown = stored * factor + offset``.

    Attributes:
        symbol: As it stands after the number; empty for numbers without unit.
        decimals: Most digits after the decimal sign that are shown; more may be typed.
    """

    symbol: str
    decimals: int = 2
    factor: float = 1.0
    offset: float = 0.0

    def shown(self, stored: float) -> float:
        """Return a stored number in this unit.

        >>> unit_of("oil_c", IMPERIAL).shown(100.0)
        212.0
        """
        return stored * self.factor + self.offset

    def stored(self, shown: float) -> float:
        """Return a number in this unit as it is stored.

        >>> unit_of("oil_c", IMPERIAL).stored(212.0)
        100.0
        """
        return (shown - self.offset) / self.factor


# By the last part of a field's name, which is its unit: metric, then imperial.
_KM_PER_MILE = 1.609344
_MM_PER_INCH = 25.4
_ML_PER_QUART = 946.352946
_ML_PER_OUNCE = 29.5735295625
_M_PER_FOOT = 0.3048
_NM_PER_LBF_FT = 1.3558179483314004
_PA_PER_PSI = 6894.757293168
_UNITS: dict[str, tuple[Unit, Unit]] = {
    "c": (Unit("°C", 1), Unit("°F", 1, 1.8, 32.0)),
    "km": (Unit("km", 1), Unit("mi", 1, 1 / _KM_PER_MILE)),
    "mm": (Unit("mm", 2), Unit("in", 4, 1 / _MM_PER_INCH)),
    "mm2": (Unit("mm²", 0), Unit("in²", 3, 1 / _MM_PER_INCH**2)),
    "ml": (Unit("mL", 0), Unit("US qt", 3, 1 / _ML_PER_QUART)),
    "nm": (Unit("N·m", 2), Unit("lbf·ft", 2, 1 / _NM_PER_LBF_FT)),
    "mmh2o": (Unit("mmH₂O", 0), Unit("inH₂O", 2, 1 / _MM_PER_INCH)),
}
"""Sources of the factors: NIST Special Publication 811, appendix B.8."""

_FINE: dict[str, tuple[Unit, Unit]] = {
    "gap_mm": (Unit("mm", 3), Unit("in", 5, 1 / _MM_PER_INCH)),
}
"""Fields whose figures are smaller than others of their unit."""

_SAME_EVERYWHERE: dict[str, Unit] = {
    "min": Unit("min", 1),
    "minutes": Unit("min", 1),
    "minutes_since_shutdown": Unit("min", 1),
    "h": Unit("h", 2),
    "engine_hours": Unit("h", 2),
    "highest_rpm": Unit("rpm", 0),
    "deg": Unit("°", 1),
    "percent": Unit("%", 1),
}
_PLAIN = Unit("", 6)

_IMPERIAL_BY_SYMBOL: dict[str, Unit] = {
    "°C": _UNITS["c"][1],
    "degC": _UNITS["c"][1],
    "km": _UNITS["km"][1],
    "mm": _UNITS["mm"][1],
    "mm²": _UNITS["mm2"][1],
    "mm2": Unit("in2", 3, 1 / _MM_PER_INCH**2),
    "mL": _UNITS["ml"][1],
    "N m": _UNITS["nm"][1],
    "N·m": _UNITS["nm"][1],
    "mmH2O": Unit("inH2O", 2, 1 / _MM_PER_INCH),
    "mmH₂O": _UNITS["mmh2o"][1],
    "kPa": Unit("psi", 2, 1000 / _PA_PER_PSI),
    "mm²/h": Unit("in²/h", 3, 1 / _MM_PER_INCH**2),
    "mm/h": Unit("in/h", 3, 1 / _MM_PER_INCH),
    # Amounts far below a quart: sealant, and oil that seeps.
    "mL of it": Unit("US fl oz", 3, 1 / _ML_PER_OUNCE),
    "mL/m": Unit("US fl oz/ft", 3, _M_PER_FOOT / _ML_PER_OUNCE),
    "mL/day": Unit("US fl oz/day", 3, 1 / _ML_PER_OUNCE),
}
_METRIC_SYMBOLS = {"degC": "°C", "mL of it": "mL"}


def unit_of(name: str, units: str) -> Unit:
    """Return the unit in which a field is shown.

    Args:
        name: The field's name; its last part tells the stored unit, as in "oil_before_ml".
        units: The user's choice, "metric" or "imperial".

    >>> unit_of("bead_mm", METRIC).symbol, unit_of("bead_mm", IMPERIAL).symbol
    ('mm', 'in')
    """
    ending = name.rpartition("_")[2]
    pair = _FINE.get(name) or _UNITS.get(ending)
    if pair is not None:
        metric, imperial = pair
        return imperial if units == IMPERIAL else metric
    return _SAME_EVERYWHERE.get(name) or _SAME_EVERYWHERE.get(ending) or _PLAIN


def use_units(units: str) -> None:
    """Tell all sentences of this thread in these units from now on."""
    _in_use.set(units)


def units_in_use() -> str:
    """Return the units in which sentences are told now."""
    return _in_use.get()


@contextmanager
def told_in(units: str) -> Iterator[None]:
    """Tell sentences in these units for a while, as for one report."""
    token = _in_use.set(units)
    try:
        yield
    finally:
        _in_use.reset(token)


def in_units(value: float, symbol: str, *, is_difference: bool = False) -> tuple[float, str]:
    """Return a metric figure and its symbol in the units in use; unknown ones stay as they are.

    Args:
        value: In the metric unit.
        symbol: Of that unit, such as "mm²", "°C" or "mL"; "mL of it" for small amounts.
        is_difference: It is a span or a standard deviation: no zero point is shifted.

    >>> in_units(645.16, "mm²")
    (645.16, 'mm²')
    >>> with told_in(IMPERIAL):
    ...     in_units(645.16, "mm²"), in_units(20.0, "°C"), in_units(20.0, "°C", is_difference=True)
    ((1.0, 'in²'), (68.0, '°F'), (36.0, '°F'))
    """
    unit = _IMPERIAL_BY_SYMBOL.get(symbol)
    if unit is None or units_in_use() != IMPERIAL:
        return value, _METRIC_SYMBOLS.get(symbol, symbol)
    return value * unit.factor + (0.0 if is_difference else unit.offset), unit.symbol


def figure(value: float, symbol: str = "", digits: int = 3) -> str:
    """Return a metric figure in the units in use, with so many digits that count.

    >>> figure(38.1, "mm"), figure(0.0123456, "mL/day"), figure(12_345.0, "mm²")
    ('38.1 mm', '0.0123 mL/day', '12,345 mm²')
    >>> with told_in(IMPERIAL):
    ...     figure(38.1, "mm")
    '1.5 in'
    """
    shown, unit = in_units(value, symbol)
    return f"{digits_of(shown, digits)} {unit}".rstrip()


def rough(value: float, symbol: str, decimals: int = 0) -> str:
    """Return a metric figure with so many decimals, in other units no coarser than that.

    >>> rough(38.24, "mm"), rough(38.24, "mm", 1), rough(12.0, "px")
    ('38 mm', '38.2 mm', '12 px')
    >>> with told_in(IMPERIAL):
    ...     rough(38.24, "mm"), rough(12.0, "px")
    ('1.51 in', '12 px')
    """
    shown, unit = in_units(value, symbol)
    if unit == _METRIC_SYMBOLS.get(symbol, symbol):
        return f"{value:.{decimals}f} {unit}"
    step, _ = in_units(10.0**-decimals, symbol, is_difference=True)
    return f"{shown:.{max(0, ceil(-log10(step)))}f} {unit}"


def rough_span(low: float, high: float, symbol: str, decimals: int = 0) -> str:
    """Return two metric figures with their unit once.

    >>> rough_span(20.0, 25.0, "mm")
    '20 to 25 mm'
    """
    first = rough(low, symbol, decimals).rpartition(" ")[0]
    return f"{first} to {rough(high, symbol, decimals)}"


def digits_of(value: float, digits: int = 3) -> str:
    """Return a number with so many digits that count, never as a power of ten.

    >>> digits_of(0.0123456), digits_of(12_345.6), digits_of(3.0), digits_of(0.0)
    ('0.0123', '12,346', '3', '0')
    """
    if value == 0:
        return "0"
    size = len(f"{abs(value):.0f}") if abs(value) >= 1 else -_zeros(abs(value))
    text = f"{value:,.{max(0, min(9, digits - size))}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_sigma(value: float, sigma: float | None, symbol: str, sign: str = "±") -> str:
    """Return a measure with one standard deviation, no finer than that makes sense.

    >>> with_sigma(504.6, 41.2, "mm²"), with_sigma(38.2, 1.64, "mm"), with_sigma(94.4, None, "mm²")
    ('505 ± 41 mm²', '38.2 ± 1.6 mm', '94 mm²')
    >>> with told_in(IMPERIAL):
    ...     with_sigma(504.6, 41.2, "mm²"), with_sigma(94.4, None, "mm²")
    ('0.782 ± 0.064 in²', '0.15 in²')
    """
    shown, unit = in_units(value, symbol)
    is_metric = unit == _METRIC_SYMBOLS.get(symbol, symbol)
    if sigma is None:
        decimals = 0 if is_metric else _decimals(abs(shown), 2)
        return f"{_fixed(shown, decimals)} {unit}"
    doubt, _ = in_units(sigma, symbol, is_difference=True)
    # From a standard deviation of 2 on, a figure behind the point says nothing.
    decimals = _decimals(doubt, 2) if not is_metric else 0 if doubt >= 2 else 1
    return f"{_fixed(shown, decimals)} {sign} {_fixed(doubt, decimals)} {unit}"


def _decimals(value: float, digits: int) -> int:
    size = len(f"{value:.0f}") if value >= 1 else -_zeros(value)
    return max(0, min(6, digits - size))


def _zeros(value: float) -> int:
    """Return how many zeros follow the point of a number below 1."""
    zeros = 0
    while 0 < value < 0.1 and zeros < 12:
        value *= 10
        zeros += 1
    return zeros


def _fixed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
