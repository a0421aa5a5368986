"""Refuse a figure that a formula does not hold for, in words that name the figure and the limit."""

import math

from leaktrack.model.errors import BadInput


def limited(
    value: float, what: str, unit: str = "", *, lowest: float = 0.0, highest: float = math.inf
) -> float:
    """Return a figure that lies within its limits.

    Args:
        value: The figure.
        what: What people call it, such as "crankcase pressure".
        unit: Its unit.
        lowest: The smallest value that the formula holds for.
        highest: The largest.

    Raises:
        BadInput: It is not a number, infinite, or outside; the text names the limit.
    """
    if math.isfinite(value) and lowest <= value <= highest:
        return value
    figure = "not a number" if math.isnan(value) else _with_unit(value, unit)
    if highest == math.inf:
        limit = f"must be {_with_unit(lowest, unit)} or more"
    else:
        limit = f"must lie between {_with_unit(lowest, unit)} and {_with_unit(highest, unit)}"
    raise BadInput(f"The {what} is {figure}, but {limit}. Nothing was worked out from it.")


def above_zero(value: float, what: str, unit: str = "") -> float:
    """Return a figure that is larger than 0; raises as ``limited``."""
    if math.isfinite(value) and value > 0:
        return value
    figure = "not a number" if math.isnan(value) else _with_unit(value, unit)
    raise BadInput(f"The {what} is {figure}, but must be above 0. Nothing was worked out from it.")


def _with_unit(value: float, unit: str) -> str:
    return f"{value:g} {unit}".rstrip()
