"""Where in another photo may the distinct patches of a photo be? Several places for each.

In other light the likeliest place of a patch is often a wrong one, but the right one is mostly
among the next. Which it is, ``posing`` decides for all patches together. A patch counts as distinct
if it is unlike itself moved in any direction: a stretch of a straight rib fits everywhere along it
and would draw the cameras until all lines run along the ribs.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.correlating import Correlated
from leaktrack.imaging.carrying.flattening import Floats, Picture, bent
from leaktrack.imaging.matching.moving import Points

_DIRECTIONS = 8
_LEAST_DISTINCT = 0.3  # one less the correlation with itself, moved
_MOST_PLACES = 5  # of one patch
_LEAST_LIKENESS = 0.3
_APART = np.ones((5, 5), np.uint8)  # px: places of one patch are at least so far apart
_RIM = len(_APART) // 2
_INNER = slice(_RIM, -_RIM)


@dataclass(frozen=True, slots=True)
class Look:
    """How closely to look.

    Attributes:
        window_px: Side of a patch, odd.
        reach_px: How far from where it is expected a patch is looked for.
        moved_px: How far a patch is moved to see whether it is distinct.
        block_px: Of each square of that side the most distinct patch is taken.
        most: So many patches at most, the most distinct ones.
    """

    window_px: int
    reach_px: int
    moved_px: float
    block_px: int
    most: int = 600


@dataclass(frozen=True, slots=True, eq=False)
class Sightings:
    """Places where patches of one photo may be in another photo.

    Attributes:
        patch: (N,) which patch, from 0, in order.
        here: (N, 2) where it is, in px of the full photo.
        there: (N, 2) where it may be, in px of the full other photo.
        likeness: (N,) how alike they look, 0 to 1.
    """

    patch: NDArray[np.int64]
    here: Points
    there: Points
    likeness: NDArray[np.float64]

    def turned_round(self) -> "Sightings":
        """Return them as seen from the other photo."""
        return Sightings(self.patch, self.there, self.here, self.likeness)

    @staticmethod
    def together(parts: "list[Sightings]") -> "Sightings":
        """Return all of several, as those of different patches."""
        first = np.cumsum([0] + [len(np.unique(part.patch)) for part in parts])
        patches = [np.unique(part.patch, return_inverse=True)[1] for part in parts]
        return Sightings(
            np.concatenate([patch + before for patch, before in zip(patches, first, strict=False)]),
            np.concatenate([part.here for part in parts]),
            np.concatenate([part.there for part in parts]),
            np.concatenate([part.likeness for part in parts]),
        )


def sightings(
    here: Picture, there: Picture, expected: Floats, look: Look, distinct: Floats | None = None
) -> Sightings:
    """Return where distinct patches of a picture may be in a picture of another photo.

    Args:
        here: The picture that patches are taken from.
        there: The picture that they are looked for in.
        expected: (rows, cols, 2) where places of the one are expected in the other, in its px.
        look: How closely to look.
        distinct: What ``distinctness`` says of the first picture, where that is known already.
    """
    if distinct is None:
        distinct = distinctness(here.flat, look.window_px, look.moved_px)
    half, reach = look.window_px // 2, look.reach_px
    middles = _middles(distinct, expected, there.flat.shape, look)
    if not len(middles):
        nowhere = np.empty((0, 2))
        return Sightings(np.empty(0, np.int64), nowhere, nowhere, np.empty(0))
    seen = bent(there.flat, expected)
    bordered = cv2.copyMakeBorder(seen, reach, reach, reach, reach, cv2.BORDER_REPLICATE)
    side = 2 * (reach + _RIM) + 1
    tables = np.full((len(middles), side, side), -1, np.float32)
    for (x, y), table in zip(middles.tolist(), tables, strict=True):
        patch = here.flat[y - half : y + half + 1, x - half : x + half + 1]
        around = bordered[y - half : y + half + 1 + 2 * reach, x - half : x + half + 1 + 2 * reach]
        table[_INNER, _INNER] = cv2.matchTemplate(around, patch, cv2.TM_CCOEFF_NORMED)
    owner, moved, likeness = _peaks(tables)
    places = (middles[owner] - reach + moved).astype(np.float32)
    where = bent(expected, places[None])[0].astype(float)
    return Sightings(
        owner, here.to_full(middles[owner].astype(float)), there.to_full(where), likeness
    )


def _middles(
    distinct: Floats, expected: Floats, there_shape: tuple[int, ...], look: Look
) -> NDArray[np.int64]:
    """Return (N, 2) middles of patches: the most distinct of each block that the other shows."""
    last = np.array(there_shape[::-1], np.float32) - 1
    across, down = expected[..., 0], expected[..., 1]
    is_shown = (across > 0) & (across < last[0]) & (down > 0) & (down < last[1])
    distinct = np.where(is_shown, distinct, np.float32(0))
    half, block = look.window_px // 2, look.block_px
    rows, cols = (side // block * block for side in distinct.shape)
    distinct[:half] = distinct[-half:] = 0
    distinct[:, :half] = distinct[:, -half:] = 0
    blocks = distinct[:rows, :cols].reshape(rows // block, block, cols // block, block)
    each = blocks.transpose(0, 2, 1, 3).reshape(-1, block * block)
    best, most = each.argmax(axis=1), each.max(axis=1)
    down, across = np.divmod(np.arange(len(each)), max(cols // block, 1))
    middles = np.stack([across * block + best % block, down * block + best // block], axis=1)
    order = np.argsort(-most, kind="stable")[: look.most]
    chosen: NDArray[np.int64] = middles[order[most[order] > _LEAST_DISTINCT]]
    return chosen


def distinctness(flat: Floats, window_px: int, moved_px: float) -> Floats:
    """Return (rows, cols) how unlike itself, moved in any direction, a picture is: 0 to 2."""
    own = Correlated(flat, window_px)
    rows, cols = flat.shape
    rim = int(np.ceil(moved_px))
    beyond = cv2.copyMakeBorder(flat, rim, rim, rim, rim, cv2.BORDER_REPLICATE)
    around = Correlated(np.asarray(beyond, np.float32), window_px)
    most_alike = np.full(flat.shape, -1, np.float32)
    for angle in np.pi * np.arange(_DIRECTIONS) / _DIRECTIONS:
        # By whole pixels: so the moved picture need not be looked at anew.
        left, top = rim - round(moved_px * np.cos(angle)), rim - round(moved_px * np.sin(angle))
        moved = np.s_[top : top + rows, left : left + cols]
        np.maximum(most_alike, own.to_part(around, moved), out=most_alike)
    distinct: Floats = 1 - most_alike
    distinct[own.is_plain()] = 0
    return distinct


def _peaks(padded: Floats) -> tuple[NDArray[np.int64], Points, NDArray[np.float64]]:
    """Return the highest peaks of each of (K, rows, cols) tables: of which, where, how high.

    Places are (N, 2) x and y, between the values, without the rim of -1 around each table.
    """
    one_below_another = padded.reshape(-1, padded.shape[2])
    highest = cv2.dilate(one_below_another, _APART).reshape(padded.shape)
    is_peak = padded == highest
    is_peak &= padded > _LEAST_LIKENESS
    which, row, col = np.unravel_index(np.flatnonzero(is_peak), padded.shape)
    height = padded[which, row, col]
    order = np.lexsort((-height, which))
    rank = np.arange(len(order)) - np.searchsorted(which, which)
    order = order[rank < _MOST_PLACES]
    which, row, col = which[order], row[order], col[order]
    at = padded[which, row, col]
    beyond_x = _beyond(padded[which, row, col - 1], at, padded[which, row, col + 1])
    beyond_y = _beyond(padded[which, row - 1, col], at, padded[which, row + 1, col])
    places = np.stack([col - _RIM + beyond_x, row - _RIM + beyond_y], axis=1)
    return which.astype(np.int64), places, at.astype(np.float64)


def _beyond(before: Floats, at: Floats, after: Floats) -> NDArray[np.float64]:
    """Return how far beyond the middle one of three values the top of a parabola lies."""
    bend = np.maximum(2 * at - before - after, 1e-6)
    beyond: NDArray[np.float64] = np.clip((after - before) / 2 / bend, -0.5, 0.5).astype(float)
    return np.where(np.minimum(before, after) < 0, 0.0, beyond)
