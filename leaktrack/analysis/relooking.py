"""Bring where a leak begins from one photo into another, by the bolts that both show."""

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
from numpy.typing import NDArray

from leaktrack.model.shapes import PointPx
from leaktrack.model.source import FoundSource, SourcePoint

Floats = NDArray[np.float64]

# How near bolts must be to say most about a place: what is flat and square about it matters, not
# how the camera sees the rest. Own judgement.
NEAR_MM = 60.0
# How well a bolt is placed in either photo; own judgement.
BOLT_MM = 1.0
# Two photos by hand differ in lean: a place so far from the bolts is off by this share of the way.
# Own judgement.
LEAN_SHARE = 0.04
# They also differ in slant: what lies off the bolts' row comes out nearer to it or farther by this
# share. Bolts about the place show it themselves, by not fitting. Own judgement.
SLANT_SHARE = 0.2
# A place that comes out worse than this tells nothing. Own judgement.
WORST_MM = 25.0


def carried_source(
    source: FoundSource, there: Sequence[PointPx], here: Sequence[PointPx], mm_per_px: float
) -> FoundSource | None:
    """Return a source of one photo as another would show it.

    Args:
        source: In the photo it was marked in.
        there: Bolts in that photo.
        here: The same bolts in the other photo.
        mm_per_px: The other photo's scale.

    Returns:
        Without run-off; None where fewer than two bolts tell, or none well enough.

    Source:
        Least squares of a turn, a scale and a shift, as one complex line; near bolts count most.
    """
    if len(there) < 2 or len(there) != len(here):
        return None
    a = np.array([complex(one.x, one.y) for one in there])
    b = np.array([complex(one.x, one.y) for one in here])
    at = complex(source.at.x, source.at.y)
    away_mm = np.abs(a - at) * source.mm_per_px
    weight = 1 / (NEAR_MM**2 + away_mm**2)
    weight /= weight.sum()
    middle_a, middle_b = weight @ a, weight @ b
    spread = float(weight @ np.abs(a - middle_a) ** 2)
    if spread <= 0:
        return None
    turn = complex((weight * np.conj(a - middle_a)) @ (b - middle_b)) / spread
    if abs(turn) <= 0:
        return None
    off_mm = np.abs(middle_b + turn * (a - middle_a) - b) * mm_per_px
    far = abs(at - middle_a) * source.mm_per_px
    lever = abs(at - middle_a) / spread**0.5
    slant = SLANT_SHARE * _off_the_row(a - middle_a, weight, at - middle_a) * source.mm_per_px
    sigma = hypot(
        slant, BOLT_MM * hypot(1.0, lever), LEAN_SHARE * far, float(weight @ off_mm**2) ** 0.5
    )
    if sigma > WORST_MM:
        return None

    def moved(point: SourcePoint) -> SourcePoint:
        to = middle_b + turn * (complex(point.at.x, point.at.y) - middle_a)
        place = PointPx(float(to.real), float(to.imag))
        return replace(point, at=place, sigma_mm=hypot(point.sigma_mm, sigma))

    trail = source.trail
    if trail.is_known:
        way = complex(sin(radians(trail.toward_deg)), cos(radians(trail.toward_deg))) * turn
        trail = replace(trail, toward_deg=degrees(atan2(way.real, way.imag)))
    return replace(
        source,
        points=tuple(moved(point) for point in source.points),
        trail=trail,
        mm_per_px=mm_per_px,
        run_off_px=(),
        later=(),
    )


def _off_the_row(places: NDArray[np.complex128], weight: Floats, at: complex) -> float:
    """Return how far a place lies off the row of some others, beyond their own spread there.

    Args:
        places: About their middle, of shape (n,).
        weight: Of each; together 1.
        at: The place, about the same middle.

    Source:
        A second moment's direction is half the angle of the mean of squared complex numbers.
    """
    row = complex(weight @ places**2) ** 0.5
    row = row / abs(row) if abs(row) > 0 else 1.0 + 0.0j
    across = (places / row).imag
    spread = float(np.sqrt(weight @ across**2))
    return max(0.0, abs((at / row).imag) - spread)
