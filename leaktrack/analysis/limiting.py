"""Refuse figures that a formula was not made for, and say what they may be."""

from math import isfinite

from leaktrack.model.errors import BadInput


def checked(
    name: str, value: float, unit: str, least: float, most: float, *, open_below: bool = False
) -> float:
    """Return a figure that lies within the limits of a formula.

    Args:
        name: What it is, in words.
        value: In ``unit``.
        unit: Its symbol; empty without.
        least: The smallest value allowed.
        most: The largest value allowed.
        open_below: The smallest value itself is not allowed.

    Raises:
        BadInput: It is no number or outside the limits.

    >>> checked("the gap", 0.05, "mm", 0.0, 5.0, open_below=True)
    0.05
    """
    is_inside = isfinite(value) and least <= value <= most and not (open_below and value == least)
    if is_inside:
        return value
    given = f"{value:g} {unit}".rstrip() if isfinite(value) else "no number"
    low = f"more than {least:g}" if open_below else f"at least {least:g}"
    raise BadInput(
        f"{name[:1].upper()}{name[1:]} is {given}. It must be {low} and at most {most:g}"
        f"{' ' + unit if unit else ''}; nothing was worked out."
    )
