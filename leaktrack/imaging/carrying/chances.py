"""Weights learnt from photos with known truth: from clues to a chance, from a chance to a sigma.

Learnt by ``python -m tests.accuracy learn``.
"""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats

CARRIED = 0.7
"""Own measurement: 58 % of the visible points reach it, and 95 % of these are within 5 px."""

UNCERTAIN = 0.1
"""Own judgement: below, four of five visible places would be wrong, so none is given."""

# Of each clue of ``weighing.CLUES`` and of its square. Learnt on 83 pairs of rendered photos.
_WEIGHTS = np.array(
    [
        (0.462, -0.708),  # fine likeness
        (0.056, 0.120),  # middling likeness
        (8.951, -7.577),  # coarse likeness
        (3.596, -2.239),  # contrast
        (-1.551, 0.319),  # disagreement
        (-0.251, -0.369),  # off the epipolar line
        (-2.053, 0.372),  # against the nearest matches
        (-0.177, -0.014),  # against the best near match
        (-1.074, 0.277),  # distance to a match
        (-2.848, 0.576),  # distance to five matches
        (-0.844, 3.336),  # share of guesses within 1.5 px
        (4.384, -2.881),  # share of guesses within 4 px
    ],
    np.float32,
)
_BIAS = np.float32(2.794)

# The same of ``weighing.DEPTH_CLUES``.
_DEEP = np.array(
    [
        (0.263, -0.175),  # fine likeness
        (-1.360, 0.628),  # middling likeness
        (4.151, -2.701),  # coarse likeness
        (2.309, -1.585),  # contrast
        (-0.762, 0.187),  # disagreement
        (-0.149, -0.114),  # off the epipolar line
        (-1.458, 0.227),  # against the nearest matches
        (-0.002, 0.004),  # against the best near match
        (-0.720, 0.163),  # distance to a match
        (-3.204, 0.633),  # distance to five matches
        (-0.576, 2.701),  # share of guesses within 1.5 px
        (3.032, -2.026),  # share of guesses within 4 px
        (-0.324, 0.176),  # off the place by depth
        (-0.809, 0.426),  # lead of the depth
        (-0.396, -0.124),  # cost of the depth
        (-0.019, -0.060),  # off the place by depth, times its lead
    ],
    np.float32,
)
_DEEP_BIAS = np.float32(3.652)

# The same of ``surrounding.SURROUNDED_CLUES``.
_SURROUNDED = np.array(
    [
        (0.321, 0.056),  # fine likeness
        (-1.605, 0.904),  # middling likeness
        (5.057, -4.578),  # coarse likeness
        (2.813, -1.970),  # contrast
        (-0.786, 0.197),  # disagreement
        (0.272, -0.386),  # off the epipolar line
        (-1.470, 0.233),  # against the nearest matches
        (-0.050, -0.008),  # against the best near match
        (-1.065, 0.215),  # distance to a match
        (-5.114, 1.013),  # distance to five matches
        (-2.253, 3.446),  # share of guesses within 1.5 px
        (4.633, -3.058),  # share of guesses within 4 px
        (-1.115, 0.459),  # off the place by depth
        (-0.796, 0.436),  # lead of the depth
        (-0.626, -0.186),  # cost of the depth
        (0.352, -0.106),  # off the place by depth, times its lead
        (-0.811, 0.024),  # chance by itself
        (3.618, -1.226),  # chance close by
        (-0.019, 1.085),  # chance around
        (0.545, 0.671),  # share of all chance within 1.5 px
        (0.462, -0.115),  # share of all chance within 5 px
        (0.246, -0.141),  # off what is likeliest around
        (-0.706, 0.161),  # unevenness
        (0.673, 0.428),  # best chance around
        (-4.616, 5.694),  # least chance close by
    ],
    np.float32,
)
_SURROUNDED_BIAS = np.float32(3.311)

_LEARNT = {
    len(weights): (weights, bias)
    for weights, bias in ((_WEIGHTS, _BIAS), (_DEEP, _DEEP_BIAS), (_SURROUNDED, _SURROUNDED_BIAS))
}

# Two sigma hold 95 of 100 visible points with that chance (``python -m tests.accuracy doubt``);
# told at 1000 px width. Measured on a third of the pairs that the weights were learnt on.
_CHANCES = np.array([0.05, 0.2, 0.4, 0.55, 0.65, 0.75, 0.825, 0.875, 0.925, 0.965, 0.99])
_SIGMA_SHARES = np.array([53.6, 30.2, 13.5, 10.5, 6.05, 4.77, 4.05, 3.26, 2.82, 1.98, 1.02]) / 1000


def with_squares(clues: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return clues and their squares on the last axis: some clues tell most in the middle."""
    return np.concatenate([clues, clues**2], axis=-1)


def chance(clues: Floats) -> Floats:
    """Return how likely guesses are right, 0 to 1, from their clues on the last axis."""
    weights, bias = _LEARNT[clues.shape[-1]]
    score = clues @ weights[:, 0] + (clues * clues) @ weights[:, 1] + bias
    likely: Floats = (1 / (1 + np.exp(-score))).astype(np.float32)
    return likely


def sigma_share(chance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return one standard deviation of a place with that chance, as a share of the longest side."""
    return np.asarray(np.interp(chance, _CHANCES, _SIGMA_SHARES), np.float64)


# For two and for three pictures compared: of each picture's likeness, of its square, and of the
# products of two, the finest first; then the bias.
_LIKENESS_WEIGHTS = {
    2: np.array([1.781, 0.631, 0.535, 0.846, 1.448, -0.917], np.float32),
    3: np.array(
        [0.872, 1.391, 0.653, -0.898, -0.132, 0.971, 1.711, 0.587, 1.191, -0.883], np.float32
    ),
}


def likeness_cost(likeness: Floats) -> Floats:
    """Return how unlikely depths are by themselves, from (pictures, ...) likenesses."""
    terms = likeness_terms(likeness)
    weights = _LIKENESS_WEIGHTS[len(likeness)]
    cost: Floats = -(np.tensordot(weights[:-1], terms, axes=1) + weights[-1])
    return cost


def likeness_terms(likeness: Floats) -> Floats:
    """Return likenesses, their squares and the products of two, along the first axis."""
    crossed = [one * other for one, other in combinations(likeness, 2)]
    return np.concatenate([likeness, likeness**2, np.stack(crossed)])
