"""Reach a photo through another one: what two photos do not share, a third may share with both."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState, Carried
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.model.place import PlaceState

Bools = NDArray[np.bool_]

# Shares of the longest side of the new photo. Own measurement on all photos of seven rendered
# zones: so 7 of 100 visible points more are carried; of these 90 in 100 are within 5 px at 1000 px
# width and 92 within two sigma, as 94 and 95 of those carried directly.
_MOST_SIGMA = 0.0045
_DISAGREE = 2.0  # sigmas of the difference


def _nothing() -> None:
    """Tell that nothing is known."""


@dataclass(frozen=True, slots=True)
class Leg:
    """The way through one other photo.

    Attributes:
        to_between: From the reference photo to the one between.
        to_new: From there to the new photo.
    """

    to_between: Placing
    to_new: Placing


@dataclass(frozen=True, slots=True, eq=False)
class Through:
    """How a new photo lies over a reference photo, told directly and through others.

    Where all places are sure directly, they are kept as they are. Otherwise what all photos say
    together counts. Where that is not known, a place that is not sure is taken from the surest way
    through one photo, if both its steps are sure; where the direct place speaks against it, neither
    is.

    Attributes:
        direct: Without any other photo.
        legs: Ways through others; asked only where a place is not sure.
        joint: What all photos say together, if that can be told; asked only then as well.
    """

    direct: Placing
    legs: Callable[[], Sequence[Leg]]
    joint: Callable[[], Placing | None] = _nothing

    @property
    def state(self) -> AlignmentState:
        """As the direct one has it; through others, single places may still be told."""
        return self.direct.state

    @property
    def is_told_by_all(self) -> bool:
        """Whether all photos together tell where places lie; they are asked for that."""
        return self.joint() is not None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the new photo."""
        return self.direct.size

    def places(self, points: Points) -> Points:
        """Return where (N, 2) points lie, sure or not: directly."""
        return self.direct.places(points)

    def carry(self, points: Points) -> Carried:
        """Return where (N, 2) points of the reference photo lie in the new one."""
        direct = self.direct.carry(points)
        is_open = np.array(
            [state in (PlaceState.UNCERTAIN, PlaceState.HIDDEN) for state in direct.states], bool
        )
        if not is_open.any():
            return direct
        joint = self.joint()
        if joint is not None:
            return joint.carry(points)
        xy, sigma = _surest_way(self.legs(), points[is_open], max(self.size))
        own_xy, own_sigma = direct.xy[is_open], direct.sigma_px[is_open]
        is_told = np.isfinite(xy[:, 0]) & (sigma <= _MOST_SIGMA * max(self.size))
        has_own = np.isfinite(own_xy[:, 0])
        both = is_told & has_own
        apart = np.linalg.norm(own_xy[both] - xy[both], axis=1)
        doubt, own_doubt = sigma[both], own_sigma[both]
        is_told[both] = apart <= _DISAGREE * np.hypot(own_doubt, doubt)
        trust = doubt**2 / (doubt**2 + own_doubt**2)
        xy[both] += trust[:, None] * (own_xy[both] - xy[both])
        return _replaced(direct, is_open, is_told, xy, sigma)


def _surest_way(legs: Sequence[Leg], points: Points, longest: int) -> tuple[Points, Points]:
    """Return (N, 2) places through the surest leg, and their (N,) standard deviations."""
    best = np.full((len(points), 2), np.nan)
    best_sigma = np.full(len(points), np.inf)
    for leg in legs:
        first, is_first = _sure(leg.to_between, points)
        if not is_first.any():
            continue
        second, is_second = _sure(leg.to_new, first.xy[is_first])
        # The doubt of the first step, as large as it is in the new photo.
        growth = longest / max(leg.to_between.size)
        sigma = np.hypot(first.sigma_px[is_first] * growth, second.sigma_px)
        places = np.flatnonzero(is_first)[is_second]
        is_better = sigma[is_second] < best_sigma[places]
        best[places[is_better]] = second.xy[is_second][is_better]
        best_sigma[places[is_better]] = sigma[is_second][is_better]
    return best, best_sigma


def _sure(placing: Placing, points: Points) -> tuple[Carried, Bools]:
    if placing.state is AlignmentState.FAILED:
        return Carried(points, np.full(len(points), np.inf), ()), np.zeros(len(points), bool)
    carried = placing.carry(points)
    return carried, np.array([state is PlaceState.CARRIED for state in carried.states], bool)


def _replaced(direct: Carried, is_open: Bools, takes: Bools, xy: Points, sigma: Points) -> Carried:
    new_xy, new_sigma, states = direct.xy.copy(), direct.sigma_px.copy(), list(direct.states)
    for place, taken, at, doubt in zip(np.flatnonzero(is_open), takes, xy, sigma, strict=True):
        if taken:
            new_xy[place], new_sigma[place], states[place] = at, doubt, PlaceState.CARRIED
    return Carried(new_xy, new_sigma, tuple(states))
