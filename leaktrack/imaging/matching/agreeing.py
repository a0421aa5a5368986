"""Which matches of two photos agree with each other, and is that enough to be the same place?

A right match moves like those around it, and all right ones fit two views of one rigid thing.
Wrong ones do so by chance, but then only along a row of bolts or on one like part; so what counts
is not how many agree but how many over how much of both photos.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points, epipolar, surface, through

Mask = NDArray[np.bool_]

_UNIT = 1000.0  # photos are compared at this length of the longer side
_NEIGHBOURS = 10
_ROUNDS = 5
_USUAL_STRAY = 2.0  # px at 1000; matches of one point in two photos scatter so
_LARGEST_STRAY = 6.0  # px at 1000, from where the neighbours put it
_EPIPOLAR = 1.5  # px at 1000
_ON_SURFACE = 4.0  # px at 1000
_NEAR_SURFACE = 15.0  # px at 1000
_DEPTH = 45.0  # px at 1000: depth moves a place no farther off the plane, a like bolt lies beyond
_LEAST = 15
_SPREADING = 3  # fewer points lie on a line

# Own measurement on 27 rendered photos of seven zones, score as below. Of 42 pairs of one zone,
# both ways, 82 had 70 agreeing matches and more with a score of 0.46 and more, the other two 0.26
# and 0.38; of 84 pairs of other zones, most of them of one kind of part, the best had 0.30; of 54
# mirrored ones, seven had 0.42 to 0.68, and the rest less or too few matches.
LEAST_AGREEING = 45
LEAST_SCORE = 0.4
LEAST_SPREAD = 0.004  # own measurement: 42 pairs of one zone had 0.0046 and more, one row 0.0016
SURE_SCORE = 1.5
"""From here on it need not be asked whether a mirrored photo agrees just as well."""

_POINTS = 2048  # of each photo; twice as many agree twice as often by chance


@dataclass(frozen=True, slots=True, eq=False)
class Agreement:
    """How well the matches of two photos agree.

    Attributes:
        agrees: (K,) which do.
        spread: Over how much of the photo they lie, in the photo where that is less: the area of
            one standard deviation each way, in squares of the longer side.
        points: Of how many points in each photo the matches were made.
    """

    agrees: Mask
    spread: float
    points: int

    @property
    def count(self) -> int:
        """How many agree."""
        return int(self.agrees.sum())

    @property
    def score(self) -> float:
        """How surely both photos show the same place; see ``LEAST_SCORE`` and ``SURE_SCORE``."""
        return self.count * self.spread * _POINTS / max(self.points, _POINTS)

    @property
    def is_same_place(self) -> bool:
        """Whether that is enough to take both photos for photos of one place."""
        is_wide = self.spread >= LEAST_SPREAD
        return is_wide and self.count >= LEAST_AGREEING and self.score >= LEAST_SCORE


def agreement(
    here: Points,
    there: Points,
    here_size: tuple[int, int],
    there_size: tuple[int, int],
    points: int,
) -> Agreement:
    """Return which matches agree with each other.

    Args:
        here: (K, 2) matched places in the one photo.
        there: (K, 2) the same in the other photo.
        here_size: Width and height of the one photo.
        there_size: Width and height of the other photo.
        points: Of how many points in each photo the matches were made.
    """
    here, there = here * (_UNIT / max(here_size)), there * (_UNIT / max(there_size))
    agrees = np.zeros(len(here), np.bool_)
    for rule in (_like_neighbours, _of_rigid_thing, _near_surface):
        kept = np.flatnonzero(agrees) if agrees.any() else np.arange(len(here))
        if len(kept) < _LEAST:
            return Agreement(np.zeros(len(here), np.bool_), 0.0, points)
        agrees = np.zeros(len(here), np.bool_)
        agrees[kept[rule(here[kept], there[kept])]] = True
    if agrees.sum() < _LEAST:
        return Agreement(np.zeros(len(here), np.bool_), 0.0, points)
    wide = min(spread(each[agrees], _UNIT) for each in (here, there))
    return Agreement(agrees, wide, points)


def _like_neighbours(here: Points, there: Points) -> Mask:
    """Return which matches lie where an affine motion of their neighbours puts them."""
    away = np.linalg.norm(here[:, None] - here[None], axis=2)
    np.fill_diagonal(away, np.inf)
    near = np.argpartition(away, _NEIGHBOURS, axis=1)[:, :_NEIGHBOURS]
    offset, moved = here[near] - here[:, None], there[near] - there[:, None]
    reach = np.maximum(np.linalg.norm(offset, axis=2).max(axis=1), 1e-6)[:, None, None]
    terms = np.concatenate([np.ones_like(offset[..., :1]), offset / reach], axis=2)
    weight = np.ones(near.shape)
    for _ in range(_ROUNDS):
        normal = np.einsum("nki,nk,nkj->nij", terms, weight, terms) + 1e-3 * np.eye(3)
        motion = np.linalg.solve(normal, np.einsum("nki,nk,nkd->nid", terms, weight, moved))
        stray = np.linalg.norm(moved - terms @ motion, axis=2)
        weight = 1 / (1 + (stray / _USUAL_STRAY) ** 2) ** 2
    return np.asarray(np.linalg.norm(motion[:, 0], axis=1) < _LARGEST_STRAY)


def _of_rigid_thing(here: Points, there: Points) -> Mask:
    """Return which matches one pair of viewpoints explains."""
    found = epipolar(here, there, _EPIPOLAR, 0.999, 2000)
    return np.zeros(len(here), np.bool_) if found is None else found[1]


def _near_surface(here: Points, there: Points) -> Mask:
    """Return which matches lie no farther from the commonest surface than depth explains."""
    found = surface(here, there, _ON_SURFACE)
    if found is not None:
        expected = through(found[0], here)
    else:
        # Few matches on several surfaces: their commonest plane may be a wild one, a tilt is not.
        motion, _ = cv2.estimateAffinePartial2D(here, there, ransacReprojThreshold=_NEAR_SURFACE)
        if motion is None:
            return np.zeros(len(here), np.bool_)
        expected = here @ motion[:, :2].T + motion[:, 2]
    return np.asarray(np.linalg.norm(expected - there, axis=1) < _DEPTH)


def spread(points: Points, longest: float) -> float:
    """Return over how much of a photo with that longer side places lie; see ``Agreement``."""
    if len(points) < _SPREADING:
        return 0.0
    return float(np.sqrt(max(0.0, np.linalg.det(np.cov((points / longest).T)))))
