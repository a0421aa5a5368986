"""Carry lines and outlines as shapes: a corner that goes elsewhere than its neighbours is not kept.

A shape is carried at many places along it. How far these moved changes calmly along it; a place
that moved otherwise than those around it is outvoted, and one that is hidden goes with them.
"""

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import Carried
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.model.place import PlaceState

_STEP = 1 / 150  # of the shape's extent
_MOST_PLACES = 400
# Shares of the longest side of the new photo.
_AROUND = 0.02
_SURE = 0.0015
_LOST = 0.04
_SLOPE_PULL = 0.05
_ROUNDS = 6
_LEAST_SUPPORT = 1.5  # places around, each counted by how far it agrees


def carried_shape(placing: Placing, corners: Points, *, is_closed: bool = False) -> Carried:
    """Return where the corners of a shape lie in the new photo.

    Args:
        placing: Where places of the reference photo lie in the new one.
        corners: (N, 2) along the shape, in px of the full reference photo.
        is_closed: The last corner joins the first.

    Returns:
        As ``placing.carry`` does; a corner that is hidden lies where its neighbours say, uncertain.
    """
    if len(corners) < 2:
        return placing.carry(corners)
    longest = max(placing.size)
    ring = np.concatenate([corners, corners[:1]]) if is_closed else corners
    arcs = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(ring, axis=0), axis=1))])
    length = float(arcs[-1])
    if length <= 0:
        return placing.carry(corners)
    extent = float(np.linalg.norm(np.ptp(corners, axis=0)))
    count = int(np.clip(length / max(extent * _STEP, 1.0), 8, _MOST_PLACES))
    at = np.linspace(0, length, count + 1)
    here = np.stack([np.interp(at, arcs, ring[:, axis]) for axis in (0, 1)], axis=1)
    dense = placing.carry(here)
    is_told = np.isfinite(dense.xy[:, 0])
    sigma = np.where(is_told, np.minimum(dense.sigma_px, _LOST * longest), _LOST * longest)
    moved = np.where(is_told[:, None], dense.xy, placing.places(here)) - here
    weight = 1 / (sigma**2 + (_SURE * longest) ** 2)
    weight[~is_told] *= 0.01
    away = at[None] - arcs[: len(corners), None]
    if is_closed:
        away = (away + length / 2) % length - length / 2
    around = max(_AROUND * longest / max(1e-6, _growth(here, here + moved, weight)), length / 60)
    shift, doubt, support = _voted(away / around, moved, sigma, weight, _SURE * longest)
    own = placing.carry(corners)
    return _told(corners + shift, doubt, support, own, placing.size)


def _growth(here: Points, there: Points, weight: NDArray[np.float64]) -> float:
    """Return by how much the shape is larger in the new photo."""
    before, after = (
        np.sqrt(np.average(((one - np.average(one, axis=0, weights=weight)) ** 2).sum(axis=1),
                           weights=weight))
        for one in (here, there)
    )  # fmt: skip
    return float(after / max(before, 1e-9))


def _voted(
    away: NDArray[np.float64],
    moved: Points,
    sigma: NDArray[np.float64],
    weight: NDArray[np.float64],
    usual_px: float,
) -> tuple[Points, NDArray[np.float64], NDArray[np.float64]]:
    """Return for each corner how far it moves with the places around it, with doubt and support.

    Args:
        away: (N, M) how far along the shape each place is from each corner; 1 is near.
        moved: (M, 2) how far each place moved.
        sigma: (M,) one standard deviation of that.
        weight: (M,) how far each is trusted.
        usual_px: How far off a sure place usually is.
    """
    near = np.exp(-0.5 * away**2) * weight
    design = np.stack([np.ones_like(away), away], axis=2)
    trust = np.ones_like(away)
    fitted = np.zeros((len(away), 2, 2))
    for _ in range(_ROUNDS):
        each = near * trust
        normal = np.einsum("nmi,nm,nmj->nij", design, each, design)
        total = each.sum(axis=1)
        normal[:, 0, 0] += 1e-9 * total + 1e-12
        normal[:, 1, 1] += _SLOPE_PULL * total + 1e-12
        fitted = np.linalg.solve(normal, np.einsum("nmi,nm,md->nid", design, each, moved))
        off = np.linalg.norm(moved[None] - design @ fitted, axis=2)
        spread = np.sqrt((each * off**2).sum(axis=1) / np.maximum(total, 1e-12) / 2)
        trust = 1 / (1 + (off / np.maximum(1.5 * spread, usual_px)[:, None]) ** 2) ** 2
    each = near * trust
    total = np.maximum(each.sum(axis=1), 1e-12)
    spread = np.sqrt((each * off**2).sum(axis=1) / total / 2)
    own = (each * sigma[None]).sum(axis=1) / total
    support = (np.exp(-0.5 * away**2) * trust).sum(axis=1)
    return fitted[:, 0], np.hypot(spread, own), support


def _told(
    xy: Points,
    sigma: NDArray[np.float64],
    support: NDArray[np.float64],
    own: Carried,
    size: tuple[int, int],
) -> Carried:
    states = []
    for place, doubt, votes, state in zip(xy, sigma, support, own.states, strict=True):
        if not (-0.5 <= place[0] < size[0] - 0.5 and -0.5 <= place[1] < size[1] - 0.5):
            states.append(PlaceState.OUTSIDE)
        elif votes < _LEAST_SUPPORT or doubt >= 0.99 * _LOST * max(size):
            states.append(PlaceState.HIDDEN)
        else:
            states.append(state if state is PlaceState.CARRIED else PlaceState.UNCERTAIN)
    has_place = np.array([state in (PlaceState.CARRIED, PlaceState.UNCERTAIN) for state in states])
    xy = np.where(has_place[:, None], xy, np.nan)
    return Carried(xy, np.where(has_place, sigma, np.inf), tuple(states))
