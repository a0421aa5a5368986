"""Refuse numbers that a formula cannot take, and say which limit they break."""

from math import isfinite

from leaktrack.model.errors import BadInput


def require(value: float, what: str, lowest: float, highest: float, unit: str = "mm") -> float:
    """Return a number that lies within limits.

    Raises:
        BadInput: It is not a number, or lies outside; the text names it and the limits.

    >>> require(2.0, "cord", 0.1, 50)
    2.0
    """
    if isfinite(value) and lowest <= value <= highest:
        return value
    after = f" {unit}" if unit else ""
    raise BadInput(
        f"The {what} cannot be {value:g}{after}. It must lie between {lowest:g} and "
        f"{highest:g}{after}. Correct it; nothing was worked out."
    )
