"""Standard sizes of rings: from the table in inches to millimetres, with usual tolerances."""

from leaktrack.analysis.requiring import require
from leaktrack.model.ring import RingSize

MM_PER_INCH = 25.4

# Nominal cord in mm: most that it may be off. AS568, from memory; makers say more exactly.
_SECTION_TOLERANCES = ((1.78, 0.08), (2.62, 0.08), (3.53, 0.10), (5.33, 0.13), (6.99, 0.15))


def ring_size(name: str, inner_in: float, section_in: float) -> RingSize:
    """Return a size of the table in millimetres, rounded to 0.01 mm as catalogues do.

    >>> ring_size("-214", 0.984, 0.139).inner_mm
    24.99
    """
    inner = round(inner_in * MM_PER_INCH, 2)
    section = round(section_in * MM_PER_INCH, 2)
    return RingSize(
        name=name,
        inner_mm=inner,
        inner_tolerance_mm=inner_tolerance(inner),
        section_mm=section,
        section_tolerance_mm=section_tolerance(section),
    )


def section_tolerance(section_mm: float) -> float:
    """Return by how much a cord may be off: that of the next larger standard cord.

    Raises:
        BadInput: It is thicker than 30 mm, not positive or not a number.
    """
    require(section_mm, "cord", 0.1, 30.0)
    standard = (off for nominal, off in _SECTION_TOLERANCES if section_mm <= nominal + 0.01)
    return next(standard, _SECTION_TOLERANCES[-1][1])


def inner_tolerance(inner_mm: float) -> float:
    """Return by how much an inner diameter may be off, in mm: 0.009 d ** 0.95 + 0.11.

    The form that ISO 3601-1 gives for general use, from memory.

    Raises:
        BadInput: It is out of reason or not a number.
    """
    inner = require(inner_mm, "inner diameter", 0.1, 2000.0)
    return float(round(0.009 * inner**0.95 + 0.11, 2))
