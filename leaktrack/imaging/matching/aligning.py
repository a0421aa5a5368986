"""Where does a place of one photo lie in another photo of the same zone?

Matched points that move like their neighbours are kept; every other place moves with the matches
around it. Far from any match nothing is promised.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.learned_matching import Features
from leaktrack.imaging.matching.moving import Points, moved, surface, through
from leaktrack.model.place import PlaceState

_LEAST_MATCHES = 40
_STRAY = 0.008  # of the longest side: a match that far from its neighbours' motion is wrong
_DEPTH = 0.045  # of the longest side: how far depth may move a place off the plane
_ROUNDS = 3
# Matches crowded on one part or along one line say nothing about the rest, and that is how photos
# of another engine, or mirrored ones, match. Own measurement, in squares of the longest side: 41
# pairs of one zone had 0.010 and more, the one wrong among them 0.002, 13 false ones 0.006 at most.
_LEAST_SPREAD = 0.008
# Own measurement on 84 pairs of rendered engine photos: 71 % within one sigma, 90 % within two.
_DOUBT = 1.3
_DOUBT_PER_DISTANCE = 0.12  # px for each px to the nearest matches
_HARDLY_CARRIED = 0.03  # of the longest side


class AlignmentState(Enum):
    """Whether two photos could be laid over each other."""

    ALIGNED = "aligned"
    UNRELIABLE = "unreliable"
    FAILED = "failed"


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """Where points of the reference photo lie in the new one.

    Attributes:
        xy: (N, 2) in px of the new photo; not a number where hidden or outside.
        sigma_px: (N,) one standard deviation.
        states: One for each point.
    """

    xy: Points
    sigma_px: NDArray[np.float64]
    states: tuple[PlaceState, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Alignment:
    """How a new photo lies over a reference photo.

    Attributes:
        here: (N, 2) matched places in the reference photo.
        there: (N, 2) the same in the new photo.
        plane: (3, 3) homography of the surface most of them lie on.
        size: Width and height of the new photo.
    """

    state: AlignmentState
    here: Points
    there: Points
    plane: NDArray[np.float64]
    size: tuple[int, int]

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the reference photo lie in the new one."""
        if self.state is AlignmentState.FAILED or not len(points):
            lost = np.full((len(points), 2), np.nan)
            return Carried(lost, np.full(len(points), np.inf), (PlaceState.HIDDEN,) * len(points))
        xy, residual, distance = moved(points, self.here, self.there, self.plane)
        sigma = _DOUBT * np.hypot(residual, _DOUBT_PER_DISTANCE * distance)
        limit = _HARDLY_CARRIED * max(self.size)
        width, height = self.size
        inside = (xy >= -0.5) & (xy < np.array([width - 0.5, height - 0.5]))
        is_outside = np.asarray(~inside.all(axis=1))
        states = tuple(
            PlaceState.OUTSIDE
            if outside
            else PlaceState.CARRIED
            if one <= limit
            else PlaceState.UNCERTAIN
            for outside, one in zip(is_outside, sigma, strict=True)
        )
        xy[is_outside] = np.nan
        return Carried(xy, sigma, states)

    def places(self, points: Points) -> Points:
        """Return where (N, 2) points of the reference photo lie in the new one, sure or not."""
        return moved(points, self.here, self.there, self.plane)[0]


def align(
    reference: Features,
    new: Features,
    pairs: NDArray[np.int64],
    *,
    is_same_place: bool = False,
) -> Alignment:
    """Return how the new photo lies over the reference.

    Args:
        reference: Points of the reference photo.
        new: Points of the new photo.
        pairs: (K, 2) matches between them, some of them wrong.
        is_same_place: It is known that both show the same place, so few matches on one part of
            it will do.
    """
    here = reference.xy[pairs[:, 0]].astype(float)
    there = new.xy[pairs[:, 1]].astype(float)
    plane = _plane(here, there, max(new.size))
    if plane is None:
        return _failed(new.size)
    # Rows of like bolts: a match one bolt on looks right to its neighbours; depth moves less.
    is_near = np.linalg.norm(through(plane, here) - there, axis=1) < _DEPTH * max(new.size)
    here, there = here[is_near], there[is_near]
    for _ in range(_ROUNDS):
        if len(here) < _LEAST_MATCHES:
            return _failed(new.size)
        expected, _, _ = moved(here, here, there, plane, is_own=True)
        is_kept = np.linalg.norm(expected - there, axis=1) < _STRAY * max(new.size)
        here, there = here[is_kept], there[is_kept]
    spread = min(_spread(here, reference.size), _spread(there, new.size))
    is_crowded = spread < _LEAST_SPREAD and not is_same_place
    if len(here) < _LEAST_MATCHES or is_crowded:
        return _failed(new.size)
    enough = len(here) >= 2 * _LEAST_MATCHES
    state = AlignmentState.ALIGNED if enough else AlignmentState.UNRELIABLE
    return Alignment(state, here, there, plane, new.size)


def _failed(size: tuple[int, int]) -> Alignment:
    nothing = np.empty((0, 2))
    return Alignment(AlignmentState.FAILED, nothing, nothing, np.eye(3), size)


def _spread(points: Points, size: tuple[int, int]) -> float:
    """Return over how much of a photo points lie: the area of one standard deviation each way."""
    if len(points) < 2:
        return 0.0
    return float(np.sqrt(max(0.0, np.linalg.det(np.cov((points / max(size)).T)))))


def _plane(here: Points, there: Points, longest: int) -> NDArray[np.float64] | None:
    if len(here) < _LEAST_MATCHES:
        return None
    found = surface(here, there, 0.004 * longest)
    return None if found is None else found[0]
