"""Find the bolts of a joint again in another photo: bolt by bolt alike, and together in a row.

One bolt looks like the next, and a glint or a shadow like a bolt. So all are laid over the new
photo at once, and what they say together counts: it is accepted only where no other place of the
row comes near.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.likening import Likeness, edges, likeness, local_turn
from leaktrack.imaging.carrying.row_fitting import (
    Row,
    RowMotion,
    robust_row_motion,
    row_motion,
    row_of,
)
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]

# Shares of the longest side, told at 1000 px: places are carried about so well.
_USUAL_DOUBT = 3.0
_MOST_DOUBT = 40.0
_SEARCHED = 28.0
_SHIFTS = np.arange(-24.0, 24.1, 2.0)
_STRETCHES = np.arange(-12.0, 12.1, 3.0)
_TURNS = np.arange(-8.0, 8.1, 4.0)
_TOLD_AT = 1000.0

_PATCH_OF_SPACING = 0.17  # half the patch; heads are about a third of the spacing wide
_LEAST_PATCH_PX = 8
_MOST_PATCH_SHARE = 0.025
_STARTS = 30
_NARROWING = (4.0, 3.0, 2.0)
_PRICE = 2e-4  # of likeness for a row one px off from where it was carried, squared
_ANOTHER_PLACE = 4.0
_LEAST_LIKENESS = 0.1
# Own measurement on 81 pairs of rendered engine photos: half of the rows pass; of their bolts 98 in
# 100 are within 5 px at 1000 px width, with a median of 1.0 px; as carried alone, 80 and 2.3.
_LEAST_MARGIN = 0.02
_SIGMA = 2.0  # at 1000 px width: 95 of 100 within two


@dataclass(frozen=True, slots=True, eq=False)
class FoundBolts:
    """A row of bolts in the new photo.

    Attributes:
        xy: (N, 2) where each lies; inside the photo or not.
        sigma_px: One standard deviation of a place.
        motion: How the row lies there.
        row: The row in the reference photo.
    """

    xy: Points
    sigma_px: float
    motion: RowMotion
    row: Row


def bolts_again(
    reference_rgb: Rgb,
    reference_size: tuple[int, int],
    new_rgb: Rgb,
    placing: Placing,
    heads: Points,
) -> FoundBolts | None:
    """Return where bolts lie in the new photo; None where they cannot be told from other things.

    Args:
        reference_rgb: The upright reference photo or a smaller decode of it.
        reference_size: Width and height of the full reference photo.
        new_rgb: The upright new photo or a decode of it about as large as the other.
        placing: Where places of the reference photo roughly lie in the new one.
        heads: (N, 2) middles of the heads in the full reference photo, in a row; three at least.
    """
    if len(heads) < 3:
        return None
    row = row_of(heads)
    px = max(placing.size) / _TOLD_AT
    base = _carried_row(row, placing, heads, px).places(row)
    here, there = _Decode(reference_rgb, reference_size), _Decode(new_rgb, placing.size)
    seen = _likenesses(here, there, heads, base, placing)
    best, margin = _best_row(row, base, seen, px)
    if best is None or margin < _LEAST_MARGIN:
        return None
    return FoundBolts(best.places(row), _SIGMA * px, best, row)


def _carried_row(row: Row, placing: Placing, heads: Points, px: float) -> RowMotion:
    sigma = placing.carry(heads).sigma_px / px
    doubt = np.minimum(np.where(np.isfinite(sigma), sigma, _MOST_DOUBT), _MOST_DOUBT)
    weight = 1 / (doubt + 2) ** 2
    return robust_row_motion(row, placing.places(heads), weight / weight.max(), _USUAL_DOUBT * px)


@dataclass(frozen=True, slots=True, eq=False)
class _Decode:
    """A decoded photo, with the size of the full one."""

    rgb: Rgb
    size: tuple[int, int]

    @property
    def shrunk(self) -> float:
        return float(max(self.rgb.shape[:2]) / max(self.size))

    def place(self, at: Points) -> Points:
        """Return a place of the full photo in px of the decode."""
        return (at + 0.5) * self.shrunk - 0.5


def _likenesses(
    here: _Decode, there: _Decode, heads: Points, base: Points, placing: Placing
) -> list[Likeness]:
    """Return for each bolt how much the new photo looks like it around its place."""
    edges_here, edges_there = edges(here.rgb), edges(there.rgb)
    apart = np.linalg.norm(heads[:, None] - heads[None], axis=2)
    np.fill_diagonal(apart, np.inf)
    spacing = float(np.median(apart.min(axis=1)))
    scale = there.shrunk / here.shrunk
    of_row = _size_change(heads, base) * scale
    most = _MOST_PATCH_SHARE * max(here.rgb.shape[:2])
    half = np.clip(_PATCH_OF_SPACING * spacing * here.shrunk, _LEAST_PATCH_PX, most)
    reach = round(_SEARCHED / _TOLD_AT * max(there.rgb.shape[:2]))
    found = []
    for head, place in zip(heads, base, strict=True):
        turn = local_turn(placing, head, spacing) * scale
        size = float(np.sqrt(abs(np.linalg.det(turn))))
        if not 0.5 * of_row < size < 2 * of_row:
            turn, size = np.eye(2) * of_row, of_row
        radius = max(_LEAST_PATCH_PX // 2, int(half * np.clip(size, 0.4, 2.5)))
        middle = here.place(head)
        found.append(
            likeness(edges_here, edges_there, middle, turn, radius, place, reach, there.shrunk)
        )
    return found


def _size_change(here: Points, there: Points) -> float:
    order = np.argsort(row_of(here).along)
    before, after = (
        np.linalg.norm(np.diff(points[order], axis=0), axis=1) for points in (here, there)
    )
    return max(1e-3, float(np.median(after / np.maximum(before, 1e-9))))


def _best_row(
    row: Row, base: Points, seen: list[Likeness], px: float
) -> tuple[RowMotion | None, float]:
    """Return the likeliest place of the row, and by how much it is likelier than any other."""
    tried = []
    for start in _starts(row, base, seen, px):
        motion = _settled(row, start, seen, px)
        places = motion.places(row)
        alike = _alike(seen, places)
        off = float(np.mean(np.sum((places - base) ** 2, axis=1))) / px**2
        tried.append((alike - _PRICE * off, alike, motion, places))
    tried.sort(key=lambda each: -each[0])
    score, alike, motion, places = tried[0]
    if alike < _LEAST_LIKENESS:
        return None, 0.0
    second = next(
        (
            other
            for other, _, _, elsewhere in tried
            if np.sqrt(np.mean(np.sum((elsewhere - places) ** 2, axis=1))) > _ANOTHER_PLACE * px
        ),
        0.0,
    )
    return motion, score - second


def _starts(row: Row, base: Points, seen: list[Likeness], px: float) -> list[Points]:
    """Return the best places of the whole row, shifted, stretched and turned in coarse steps."""
    direction = row_of(base).direction
    across = np.array([-direction[1], direction[0]])
    shifts = np.stack(np.meshgrid(_SHIFTS, _SHIFTS), axis=2) * px
    starts: list[tuple[float, Points]] = []
    for stretch in _STRETCHES * px:
        for turn in _TURNS * px:
            slope = stretch * direction + turn * across
            score = np.zeros(shifts.shape[:2], np.float32)
            for one, place, along in zip(seen, base, row.along, strict=True):
                score += one.at(place + shifts + along * slope)
            off = (np.sum(shifts**2, axis=2) + stretch**2 + turn**2) / px**2
            score = score / len(base) - np.float32(_PRICE) * off.astype(np.float32)
            is_peak = score >= cv2.dilate(score, np.ones((5, 5), np.uint8))
            starts += [
                (float(score[peak]), base + shifts[peak] + row.along[:, None] * slope)
                for peak in zip(*np.nonzero(is_peak), strict=True)
            ]
    starts.sort(key=lambda each: -each[0])
    return [places for _, places in starts[:_STARTS]]


def _settled(row: Row, start: Points, seen: list[Likeness], px: float) -> RowMotion:
    """Return the motion after each bolt has drawn the row to where it looks most alike nearby."""
    places = start
    for reach in _NARROWING:
        there, weight = places.copy(), np.full(len(places), 0.01)
        for index, one in enumerate(seen):
            peak = one.peak_near(places[index], reach * px)
            if peak is not None:
                there[index], weight[index] = peak[0], max(peak[1], 0.01)
        motion = row_motion(row, there, weight)
        places = motion.places(row)
    return motion


def _alike(seen: list[Likeness], places: Points) -> float:
    each = [one.at(place[None, None])[0, 0] for one, place in zip(seen, places, strict=True)]
    return float(np.mean(each))
