"""Where does oil show up that comes out at some place? And where along a joint did it come out?"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil, exp, pi, radians, tan

import numpy as np
from numpy.typing import NDArray

from leaktrack.analysis.stationing import RuledLine
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import FoundSource, SourcePoint

Numbers = NDArray[np.float64]

# Finer than any uncertainty of a source; more places than this on one line are not looked at.
STEP_MM = 1.0
MOST_PLACES = 800
# The steepest uncertainty of direction that still widens a run to its sides only. Own judgement.
WIDEST_DEG = 60.0
# The place that is told is the one with most chance within this reach of it. Own judgement.
REACH_MM = 5.0
# How far about a source the places are looked at that it may come from, and how finely.
GRID_MM = 120.0
GRID_STEP_MM = 2.5
# Far off, densities get too small for a computer's numbers; none is nil.
LEAST_DENSITY = 1e-290


@dataclass(frozen=True, slots=True)
class Seam:
    """Places along a joint's line, evenly spaced in the photo.

    Attributes:
        xy: In px, of shape (n, 2).
        along_px: Length of path to each, of shape (n,).
        step_mm: Between neighbours.
        line: The line itself.
    """

    xy: Numbers
    along_px: Numbers
    step_mm: float
    line: RuledLine

    def stations(self) -> Numbers | None:
        """Return the station of each place, of shape (n,); None where nothing rules the line."""
        if not self.line.is_ruled:
            return None
        return self.line.stations_along(self.along_px)


@dataclass(frozen=True, slots=True)
class PlaceOnSeam:
    """Where along a joint oil came out.

    Attributes:
        along_px: From the path's start.
        sigma_mm: One standard deviation.
    """

    along_px: float
    at: PointPx
    sigma_mm: float


def seam_of(line: RuledLine, mm_per_px: float) -> Seam:
    """Return the places along a joint's line that are looked at."""
    count = int(min(MOST_PLACES, max(2, ceil(line.total_px * mm_per_px / STEP_MM))))
    # In the middle of equal pieces: so the ends count no more than the rest.
    along = (np.arange(count) + 0.5) * line.total_px / count
    corners = [*line.path, line.path[0]] if line.is_loop else list(line.path)
    x = np.array([corner.x for corner in corners], dtype=float)
    y = np.array([corner.y for corner in corners], dtype=float)
    lengths = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    xy = np.column_stack([np.interp(along, lengths, x), np.interp(along, lengths, y)])
    return Seam(xy, along, line.total_px * mm_per_px / count, line)


def density(
    source: FoundSource, xy: Numbers, places: Mapping[str, float], own_mm: float = 0.0
) -> Numbers:
    """Return how densely, per mm2, sources show up here of oil that comes out at each place.

    Most show up where the oil comes out, as well as that can be told. Some begin further down the
    run, where the trail above was wiped, dried or is hidden. The rest strays anywhere near. Each
    part integrates to its share over the plane. Looks at the same leak count together, each for
    itself, but for some that merely repeat what was wrong with the first.

    Args:
        source: Where the wet area begins.
        xy: Places where oil comes out, in px, of shape (n, 2).
        places: The weights' figures of places.
        own_mm: How far from the place itself oil shows up, as at the washer of a bolt.

    Returns:
        Of shape (n,); of so many looks together, the product.
    """
    total = _of_look(source, xy, places, own_mm)
    again = places["looks_repeat"]
    for look in source.later:
        here = _of_look(look, xy, places, own_mm)
        total = total * ((1 - again) * here + again * _where_it_was(source, look, places))
    least: Numbers = np.maximum(total, LEAST_DENSITY)
    return least


def in_stages(source: FoundSource) -> tuple[FoundSource, ...]:
    """Return a source by its first look alone, then with each later one."""
    return tuple(replace(source, later=source.later[:k]) for k in range(len(source.later) + 1))


def plain_densities(source: FoundSource, places: Mapping[str, float]) -> tuple[float, ...]:
    """Return ``density`` for oil that may come out anywhere in the photo, stage by stage."""
    area = source.width_px * source.height_px * source.mm_per_px**2
    if not source.later:
        return (1.0 / area,)
    # Over a grid about the source; what lies beyond it is too far to count.
    half = np.arange(-GRID_MM, GRID_MM + 1e-9, GRID_STEP_MM) / source.mm_per_px
    x, y = np.meshgrid(source.at.x + half, source.at.y + half)
    is_inside = (x >= 0) & (x < source.width_px) & (y >= 0) & (y < source.height_px)
    xy = np.column_stack([x[is_inside], y[is_inside]])
    sums = [float(density(one, xy, places).sum()) for one in in_stages(source)[1:]]
    return (1.0 / area, *(one * GRID_STEP_MM**2 / area for one in sums))


def _of_look(
    source: FoundSource, xy: Numbers, places: Mapping[str, float], own_mm: float
) -> Numbers:
    parts = [point.share * _density(source, point, xy, places, own_mm) for point in source.points]
    total: Numbers = np.sum(parts, axis=0)
    return total


def _where_it_was(source: FoundSource, look: FoundSource, places: Mapping[str, float]) -> float:
    """Return how densely a later look would begin here, were it where the first one began."""
    squared = (look.at.distance_px(source.at) * source.mm_per_px) ** 2
    variance = look.sigma_mm**2 + source.sigma_mm**2 + places["wick_mm"] ** 2
    return exp(-squared / (2 * variance)) / (2 * pi * variance)


def place_on(seam: Seam, chances: Numbers) -> PlaceOnSeam:
    """Return where oil came out: the middle of the likeliest neighbourhood.

    Args:
        seam: The joint.
        chances: Of each place, in any unit, of shape (n,).
    """
    reach = max(1, round(REACH_MM / seam.step_mm))
    count = len(chances)
    window = min(2 * reach + 1, count)
    if seam.line.is_loop:
        sums = sum(np.roll(chances, shift) for shift in range(-(window // 2), window // 2 + 1))
        middle = int(np.argmax(sums))
        offsets = np.arange(-(window // 2), window // 2 + 1)
        near = chances[(middle + offsets) % count]
    else:
        sums = np.convolve(chances, np.ones(window), "same")
        middle = int(np.argmax(sums))
        offsets = np.arange(max(-reach, -middle), min(reach, count - 1 - middle) + 1)
        near = chances[middle + offsets]
    weights = near / near.sum() if near.sum() > 0 else np.full(len(near), 1 / len(near))
    shift = float(weights @ offsets)
    step_px = seam.line.total_px / count
    along = float(seam.along_px[middle]) + shift * step_px
    spread = _spread(seam, chances, along)
    return PlaceOnSeam(along, _point_at(seam, along), spread)


def _density(
    source: FoundSource,
    point: SourcePoint,
    xy: Numbers,
    places: Mapping[str, float],
    own_mm: float,
) -> Numbers:
    mm = source.mm_per_px
    right, down = (xy[:, 0] - point.at.x) * mm, (xy[:, 1] - point.at.y) * mm
    squared = right**2 + down**2
    sigma = np.sqrt(point.sigma_mm**2 + places["line_mm"] ** 2 + places["wick_mm"] ** 2 + own_mm**2)
    there = np.exp(-squared / (2 * sigma**2)) / (2 * pi * sigma**2)
    strays_mm = places["strays_mm"]
    astray = np.exp(-np.sqrt(squared) / strays_mm) / (2 * pi * strays_mm**2)
    stray_share = 1 - places["at"] - places["below"]
    ran = _ran_down(source, right, down, float(sigma), places["run_mm"])
    total: Numbers = places["at"] * there + places["below"] * ran + stray_share * astray
    return total


def _ran_down(
    source: FoundSource, right: Numbers, down: Numbers, sigma: float, run_mm: float
) -> Numbers:
    """Return the density of sources that begin somewhere on the run down from each place."""
    if not source.trail.is_known:
        away = np.hypot(right, down)
        anywhere: Numbers = np.exp(-away / run_mm) / (2 * pi * run_mm**2)
        return anywhere
    turn = radians(source.trail.toward_deg)
    # From the source back to each place: upwards against the run, and across it.
    above = -(right * np.sin(turn) + down * np.cos(turn))
    across = right * np.cos(turn) - down * np.sin(turn)
    run = np.maximum(above, 0.0)
    slope = tan(radians(min(source.trail.sigma_deg, WIDEST_DEG)))
    wide = np.sqrt(sigma**2 + (slope * run) ** 2)
    beside = np.exp(-(across**2) / (2 * wide**2)) / (np.sqrt(2 * pi) * wide)
    ran: Numbers = np.where(above > 0, np.exp(-run / run_mm) / run_mm * beside, 0.0)
    return ran


def _spread(seam: Seam, chances: Numbers, along_px: float) -> float:
    """Return the standard deviation in mm about a place, the short way round on a loop."""
    total = float(chances.sum())
    if total <= 0:
        return seam.step_mm * len(chances) / 12**0.5
    away = np.abs(seam.along_px - along_px)
    if seam.line.is_loop:
        away = np.minimum(away, seam.line.total_px - away)
    mm_per_px = seam.step_mm * len(chances) / seam.line.total_px
    return float(np.sqrt((chances / total) @ away**2)) * mm_per_px


def _point_at(seam: Seam, along_px: float) -> PointPx:
    inside = along_px % seam.line.total_px if seam.line.is_loop else along_px
    x = float(np.interp(inside, seam.along_px, seam.xy[:, 0]))
    y = float(np.interp(inside, seam.along_px, seam.xy[:, 1]))
    return PointPx(x, y)
