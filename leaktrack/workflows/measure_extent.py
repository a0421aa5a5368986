"""Measure how far a wet area reaches, by whatever scale its photo has."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from leaktrack.model.photo import Photo
from leaktrack.model.shapes import Outline, PointPx, longest_way

if TYPE_CHECKING:
    from leaktrack.imaging.measuring.scaling import Scale

# How well one figure for all of a photo holds away from where it was measured: own judgement.
_TYPED_SHARE = 0.1
_EDGE_PX = 0.5  # how far an outline's points lie off; as for areas


@dataclass(frozen=True, slots=True)
class Extent:
    """The longest way across a wet area.

    Attributes:
        sigma_mm: One standard deviation.
    """

    mm: float
    sigma_mm: float


def extent(photo: Photo, outline: Outline, scale: "Scale | None" = None) -> Extent | None:
    """Return how far a wet area reaches, with its doubt; None where no scale tells.

    Args:
        photo: The photo; what is written down of its scale is used where there is nothing better.
        outline: Around the wet area, in the photo.
        scale: As measured at the printed target in the photo.
    """
    if not outline:
        return None
    ends = longest_way(outline)
    if scale is not None:
        from leaktrack.imaging.measuring.scaling import length_mm

        measured = length_mm(scale, ends)
        if measured is not None:
            return Extent(measured.mm, measured.sigma_mm)
    if photo.mm_per_px is None:
        return None
    length = _on_plane(photo, ends)
    if length is None:
        length = ends[0].distance_px(ends[1]) * photo.mm_per_px
    edges = math.sqrt(2) * _EDGE_PX * photo.mm_per_px
    return Extent(length, math.hypot(_TYPED_SHARE * length, edges))


def _on_plane(photo: Photo, ends: tuple[PointPx, PointPx]) -> float | None:
    """Return the way in mm on the surface that the photo's target lies on."""
    if photo.plane is None:
        return None
    a, b, c, d, e, f, g, h, i = photo.plane
    placed = []
    for at in ends:
        depth = g * at.x + h * at.y + i
        if depth <= 0:
            return None
        placed.append(((a * at.x + b * at.y + c) / depth, (d * at.x + e * at.y + f) / depth))
    return math.dist(*placed)
