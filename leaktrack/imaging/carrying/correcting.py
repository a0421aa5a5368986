"""Learn from places that a person put right: what is near them was off by about as much.

Errors of carried places are alike over some distance. A known match tells the error at its place;
around it, the likely error is taken back and the doubt falls, the nearer the more.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.model.place import PlaceState

# Own measurement on 60 pairs of rendered engine photos: errors, told in sigmas, go together by 0.97
# of themselves at 5 px of a photo 1000 px wide, 0.78 at 15, 0.57 at 27, 0.44 at 42, 0.31 at 65,
# 0.20 at 100. This falls as exp(-distance / 50 px) does.
_RANGE_SHARE = 0.05  # of the longest side of the reference photo
_HAND = 0.1  # how far a hand's own error counts, against that of a carried place, squared
_LEAST_DOUBT = 0.001  # of the longest side of the new photo: nobody puts a place more exactly
_MOST_DOUBT = 0.04
_MOST_SIGMAS = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class Corrected:
    """How a new photo lies over a reference photo, with some places known.

    Attributes:
        placing: Without them.
        here: (K, 2) the known places in the reference photo, K at least 1.
        there: (K, 2) where they lie in the new one.
        longest_here: Longest side of the reference photo, in px.
    """

    placing: Placing
    here: Points
    there: Points
    longest_here: int

    @property
    def state(self) -> AlignmentState:
        """As without them."""
        return self.placing.state

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the new photo."""
        return self.placing.size

    def places(self, points: Points) -> Points:
        """Return where (N, 2) points of the reference photo lie, sure or not."""
        return self.placing.places(points) + self._told(points)[0]

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the reference photo lie in the new one."""
        carried = self.placing.carry(points)
        if not len(points):
            return carried
        shift, left = self._told(points)
        least = _LEAST_DOUBT * max(self.size)
        sigma = np.maximum(carried.sigma_px * np.sqrt(left), np.minimum(least, carried.sigma_px))
        xy = carried.xy + shift
        states = _still_inside(xy, carried.states, self.size)
        xy[[state is PlaceState.OUTSIDE for state in states]] = np.nan
        return Carried(xy, sigma, states)

    def _told(self, points: Points) -> tuple[Points, NDArray[np.float64]]:
        """Return (N, 2) by how much places are put right, and (N,) the share of doubt left.

        The errors, told in sigmas, are taken as normal and alike over the measured range: the
        shift is what is to be expected of them after the known ones are seen.
        """
        most = _MOST_DOUBT * max(self.size)
        known = _doubt(self.placing.carry(self.here), most)
        off = (self.there - self.placing.places(self.here)) / known[:, None]
        far = np.linalg.norm(off, axis=1, keepdims=True) / _MOST_SIGMAS
        # What was off by more than its doubt allows tells of a wrong guess there, not all around.
        off = off / np.maximum(far, 1.0)
        among = self._alike(self.here, self.here) + _HAND * np.eye(len(self.here))
        near = self._alike(points, self.here)
        votes = np.linalg.solve(among, near.T).T
        doubt = _doubt(self.placing.carry(points), most)
        left = np.clip(1 - (votes * near).sum(axis=1), 0, 1)
        return doubt[:, None] * (votes @ off), left

    def _alike(self, one: Points, other: Points) -> NDArray[np.float64]:
        away = np.linalg.norm(one[:, None] - other[None], axis=2)
        return np.asarray(np.exp(-away / (_RANGE_SHARE * self.longest_here)), np.float64)


def _doubt(carried: Carried, most_px: float) -> NDArray[np.float64]:
    sigma = np.where(np.isfinite(carried.sigma_px), carried.sigma_px, most_px)
    return np.clip(sigma, 1e-3, most_px)


def _still_inside(
    xy: Points, states: tuple[PlaceState, ...], size: tuple[int, int]
) -> tuple[PlaceState, ...]:
    limits = np.array(size) - 0.5
    return tuple(
        PlaceState.OUTSIDE
        if np.isfinite(place).all() and not ((place >= -0.5) & (place < limits)).all()
        else state
        for place, state in zip(xy, states, strict=True)
    )
