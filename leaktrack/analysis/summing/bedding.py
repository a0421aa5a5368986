"""How wide does a bead of sealant spread in its gap, and how much sealant does it take?

What is laid is what is pressed: a round bead of diameter d in a gap g makes a film of
pi d^2 / (4 g), a half-round one half of that (conservation of volume; computed, no other source).
Nothing is counted for what is squeezed past the edges or into bolt holes.
"""

from math import pi, sqrt

from leaktrack.analysis.refusing import limited
from leaktrack.model.heat import Range

# As ``workflows.check_input`` asks for of records.
LEAST_BEAD_MM, MOST_BEAD_MM = 0.1, 50.0
LEAST_GAP_MM, MOST_GAP_MM = 0.001, 10.0
MOST_WIDTH_MM = 500.0
MOST_LENGTH_MM = 100_000.0
HALF_ROUND = 0.5
"""A half-round bead holds so much of a round one's sealant."""


def film_mm(bead_mm: float, gap_mm: float, share: float = 1.0) -> float:
    """Return how wide a bead spreads in a closed gap, in mm.

    Args:
        bead_mm: Width of the bead as laid.
        gap_mm: Between the closed faces.
        share: How much of a round bead it is: 1, or ``HALF_ROUND``.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.

    >>> round(film_mm(2.0, 0.1), 2)
    31.42
    """
    _checked_bead(bead_mm)
    _checked_gap(gap_mm)
    return _section_mm2(bead_mm, share) / gap_mm


def bead_for_mm(width_mm: float, gap_mm: float, share: float = 1.0) -> float:
    """Return the bead, in mm, that spreads so wide: the inverse of ``film_mm``.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.

    >>> round(bead_for_mm(8.0, 0.1), 3)
    1.009
    """
    limited(width_mm, "width of the film", "mm", above=0.0, highest=MOST_WIDTH_MM)
    _checked_gap(gap_mm)
    limited(share, "share of a round bead", lowest=0.1, highest=1.0)
    return sqrt(4 * gap_mm * width_mm / (pi * share))


def ml_per_metre(bead_mm: float, share: float = 1.0) -> float:
    """Return how much sealant a metre of bead takes, in mL.

    Raises:
        BadInput: The bead is negative, no number or beyond the limits.

    >>> round(ml_per_metre(3.0), 3)
    7.069
    """
    _checked_bead(bead_mm)
    return _section_mm2(bead_mm, share)


def volume_share(bead_mm: float, other_mm: float) -> float:
    """Return how many times as much sealant another bead takes: the square of their widths.

    >>> volume_share(2.0, 2.5)
    1.5625
    """
    _checked_bead(bead_mm)
    _checked_bead(other_mm)
    return (other_mm / bead_mm) ** 2


def tolerance_as_volume(bead_mm: float, either_way_mm: float) -> Range:
    """Return what a tolerance of a bead's width makes of its volume, as shares of the volume meant.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.

    >>> tolerance_as_volume(2.0, 0.5)
    Range(least=0.5625, likely=1.0, most=1.5625)
    """
    _checked_bead(bead_mm)
    limited(either_way_mm, "tolerance", "mm", highest=bead_mm)
    return Range(
        ((bead_mm - either_way_mm) / bead_mm) ** 2,
        1.0,
        ((bead_mm + either_way_mm) / bead_mm) ** 2,
    )


def film_range(bead_mm: float, gap_mm: float) -> Range:
    """Return the film's width, from a half-round bead's to a round one's."""
    most = film_mm(bead_mm, gap_mm)
    return Range(most * HALF_ROUND, most, most)


def bead_range(width_mm: float, gap_mm: float) -> Range:
    """Return the bead that fills a width, from a round one's to a half-round one's."""
    least = bead_for_mm(width_mm, gap_mm)
    return Range(least, least, bead_for_mm(width_mm, gap_mm, HALF_ROUND))


def volume_range(bead_mm: float, length_mm: float = 1000.0) -> Range:
    """Return how much sealant a length takes, in mL, from a half-round bead's to a round one's.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.
    """
    limited(length_mm, "length of the joint", "mm", above=0.0, highest=MOST_LENGTH_MM)
    most = ml_per_metre(bead_mm) * length_mm / 1000
    return Range(most * HALF_ROUND, most, most)


def _section_mm2(bead_mm: float, share: float) -> float:
    limited(share, "share of a round bead", lowest=0.1, highest=1.0)
    return pi * bead_mm**2 / 4 * share


def _checked_bead(bead_mm: float) -> None:
    limited(bead_mm, "bead", "mm", lowest=LEAST_BEAD_MM, highest=MOST_BEAD_MM)


def _checked_gap(gap_mm: float) -> None:
    limited(gap_mm, "gap", "mm", lowest=LEAST_GAP_MM, highest=MOST_GAP_MM)
