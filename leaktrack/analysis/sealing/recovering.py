"""How far a removed seal springs back: compression set."""

from collections.abc import Callable
from itertools import product

from leaktrack.analysis.requiring import require
from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure
from leaktrack.model.ring import SetFigures

_THICKNESS = (0.2, 100.0)
CALIPER_MM = 0.02
"""How far off a thickness may be that a caliper told, where nobody said; own judgement."""


def compression_set(
    new_mm: float,
    recovered_mm: float,
    squeezed_mm: float | None = None,
    caliper_mm: float = CALIPER_MM,
) -> SetFigures:
    """Return the compression set of a seal.

    Method A (ASTM D395): 100 (t0 - ti) / t0. Method B (ASTM D395, ISO 815):
    100 (t0 - ti) / (t0 - tn). Negative: the seal is thicker than new, so it swelled.

    Args:
        new_mm: Thickness when new, t0.
        recovered_mm: Thickness after the rest without load, ti.
        squeezed_mm: Thickness in the joint, tn: the height of the spacer or gland.
        caliper_mm: How far off each thickness may be, for the bounds.

    Raises:
        BadInput: One is negative, not a number or out of reason, or the seal was not squeezed.

    >>> found = compression_set(12.5, 11.6, 9.375)
    >>> round(found.of_thickness.value, 1), round(found.of_squeeze.value, 1)
    (7.2, 28.8)
    """
    new = require(new_mm, "thickness when new", *_THICKNESS)
    recovered = require(recovered_mm, "thickness after it came out", *_THICKNESS)
    caliper = require(caliper_mm, "caliper's error", 0.0, 1.0)
    of_squeeze = None
    if squeezed_mm is not None:
        squeezed = require(squeezed_mm, "thickness in the joint", *_THICKNESS)
        if new - squeezed <= 2 * caliper:
            raise BadInput(
                f"The seal was {new:g} mm thick when new and {squeezed:g} mm in the joint. With a "
                f"caliper good to {caliper:g} mm, that is no squeeze that a set could be told of. "
                "Correct one of them; nothing was worked out."
            )
        of_squeeze = _bounded(
            lambda t0, ti, tn: 100 * (t0 - ti) / (t0 - tn), (new, recovered, squeezed), caliper
        )
    of_thickness = _bounded(lambda t0, ti: 100 * (t0 - ti) / t0, (new, recovered), caliper)
    return SetFigures(of_thickness=of_thickness, of_squeeze=of_squeeze)


def _bounded(work_out: Callable[..., float], sizes: tuple[float, ...], off: float) -> Figure:
    """Return a figure with its worst cases, each size off by so much to either side."""
    corners = product(*((size - off, size + off) for size in sizes))
    values = [work_out(*corner) for corner in corners]
    return Figure(work_out(*sizes), min(values), max(values))
