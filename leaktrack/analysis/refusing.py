"""Refuse a figure that a formula does not hold for, in words that name the figure and the limit."""

import math

from leaktrack.model.errors import BadInput


def limited(
    value: float,
    what: str,
    unit: str = "",
    *,
    above: float | None = None,
    lowest: float = 0.0,
    highest: float = math.inf,
) -> float:
    """Return a figure that lies within its limits.

    Args:
        value: The figure.
        what: What people call it, such as "crankcase pressure".
        unit: Its unit.
        above: It must be larger than this; then ``lowest`` does not count.
        lowest: The smallest value that the formula holds for.
        highest: The largest.

    Raises:
        BadInput: It is not a number, infinite, or outside; the text names the limit.
    """
    is_enough = lowest <= value if above is None else above < value
    if math.isfinite(value) and is_enough and value <= highest:
        return value
    figure = "not a number" if math.isnan(value) else _with_unit(value, unit)
    limit = _limit(unit, above, lowest, highest)
    raise BadInput(f"The {what} is {figure}, but must {limit}. Nothing was worked out from it.")


def above_zero(value: float, what: str, unit: str = "") -> float:
    """Return a figure that is larger than 0; raises as ``limited``."""
    return limited(value, what, unit, above=0.0)


def _limit(unit: str, above: float | None, lowest: float, highest: float) -> str:
    most = _with_unit(highest, unit)
    if above is not None:
        return f"be above {above:g}" + ("" if highest == math.inf else f" and at most {most}")
    if highest == math.inf:
        return f"be {_with_unit(lowest, unit)} or more"
    return f"lie between {_with_unit(lowest, unit)} and {most}"


def _with_unit(value: float, unit: str) -> str:
    return f"{value:g} {unit}".rstrip()
