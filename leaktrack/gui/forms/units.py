"""Records hold metric units; what people read and type follows their settings. The edge is here."""

from dataclasses import dataclass

METRIC, IMPERIAL = "metric", "imperial"
"""The two values of the setting."""


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
_NM_PER_LBF_FT = 1.3558179483314004
_UNITS: dict[str, tuple[Unit, Unit]] = {
    "c": (Unit("°C", 1), Unit("°F", 1, 1.8, 32.0)),
    "km": (Unit("km", 1), Unit("mi", 1, 1 / _KM_PER_MILE)),
    "mm": (Unit("mm", 2), Unit("in", 4, 1 / _MM_PER_INCH)),
    "ml": (Unit("mL", 0), Unit("US qt", 3, 1 / _ML_PER_QUART)),
    "nm": (Unit("N·m", 2), Unit("lbf·ft", 2, 1 / _NM_PER_LBF_FT)),
    "mmh2o": (Unit("mmH₂O", 0), Unit("inH₂O", 2, 1 / _MM_PER_INCH)),
}
"""Sources of the factors: NIST Special Publication 811, appendix B.8."""

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


def unit_of(name: str, units: str) -> Unit:
    """Return the unit in which a field is shown.

    Args:
        name: The field's name; its last part tells the stored unit, as in "oil_before_ml".
        units: The user's choice, "metric" or "imperial".

    >>> unit_of("bead_mm", METRIC).symbol, unit_of("bead_mm", IMPERIAL).symbol
    ('mm', 'in')
    """
    ending = name.rpartition("_")[2]
    if ending in _UNITS:
        metric, imperial = _UNITS[ending]
        return imperial if units == IMPERIAL else metric
    return _SAME_EVERYWHERE.get(name) or _SAME_EVERYWHERE.get(ending) or _PLAIN
