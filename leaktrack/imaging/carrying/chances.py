"""Weights learnt from photos with known truth: from clues to a chance, from a chance to a sigma.

Learnt by ``python -m tests.accuracy learn``.
"""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats

CARRIED = 0.7
"""Own measurement: 61 % of the visible points reach it, and 95 % of these are within 5 px."""

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
        (0.169, -0.009),  # fine likeness
        (-1.161, 0.403),  # middling likeness
        (3.476, -2.326),  # coarse likeness
        (2.025, -1.385),  # contrast
        (-0.666, 0.159),  # disagreement
        (0.046, -0.226),  # off the epipolar line
        (-1.402, 0.214),  # against the nearest matches
        (-0.089, 0.012),  # against the best near match
        (-0.760, 0.182),  # distance to a match
        (-2.505, 0.510),  # distance to five matches
        (-0.704, 2.949),  # share of guesses within 1.5 px
        (3.010, -1.883),  # share of guesses within 4 px
        (-0.410, 0.192),  # off the place by depth
        (-0.854, 0.407),  # lead of the depth
        (-0.452, -0.133),  # cost of the depth
        (0.037, -0.061),  # off the place by depth, times its lead
    ],
    np.float32,
)
_DEEP_BIAS = np.float32(3.028)

# The same of ``surrounding.SURROUNDED_CLUES``.
_SURROUNDED = np.array(
    [
        (0.199, 0.200),  # fine likeness
        (-0.919, 0.579),  # middling likeness
        (0.703, -0.717),  # coarse likeness
        (1.307, -0.943),  # contrast
        (-0.241, 0.070),  # disagreement
        (0.210, -0.260),  # off the epipolar line
        (-0.742, 0.117),  # against the nearest matches
        (-0.046, 0.007),  # against the best near match
        (-0.610, 0.128),  # distance to a match
        (-2.796, 0.539),  # distance to five matches
        (-1.094, 1.159),  # share of guesses within 1.5 px
        (2.914, -1.906),  # share of guesses within 4 px
        (-0.513, 0.173),  # off the place by depth
        (-0.704, 0.274),  # lead of the depth
        (-0.496, -0.156),  # cost of the depth
        (0.251, -0.062),  # off the place by depth, times its lead
        (-0.251, 0.026),  # chance by itself
        (4.337, -1.891),  # chance close by
        (0.527, 0.663),  # chance around
        (0.048, 1.049),  # share of all chance within 1.5 px
        (0.787, -0.337),  # share of all chance within 5 px
        (0.015, -0.070),  # off what is likeliest around
        (-0.820, 0.175),  # unevenness
        (0.134, 0.330),  # best chance around
        (-4.006, 5.154),  # least chance close by
    ],
    np.float32,
)
_SURROUNDED_BIAS = np.float32(1.840)

_LEARNT = {
    len(weights): (weights, bias)
    for weights, bias in ((_WEIGHTS, _BIAS), (_DEEP, _DEEP_BIAS), (_SURROUNDED, _SURROUNDED_BIAS))
}

# Two sigma hold 95 of 100 visible points with that chance (``python -m tests.accuracy doubt``);
# told at 1000 px width. Measured on the pairs that the weights were learnt on.
_CHANCES = np.array([0.05, 0.2, 0.4, 0.55, 0.65, 0.75, 0.825, 0.875, 0.925, 0.965, 0.99])
_SIGMA_SHARES = np.array([35.5, 24.3, 13.5, 8.67, 7.32, 5.11, 4.21, 3.72, 2.84, 2.12, 1.07]) / 1000


def with_squares(clues: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return clues and their squares on the last axis: some clues tell most in the middle."""
    return np.concatenate([clues, clues**2], axis=-1)


def chance(clues: Floats) -> Floats:
    """Return how likely guesses are right, 0 to 1, from their clues on the last axis."""
    weights, bias = _LEARNT[clues.shape[-1]]
    flat = clues.reshape(-1, clues.shape[-1])
    squared, plain = np.ascontiguousarray(weights[:, 1]), np.ascontiguousarray(weights[:, 0])
    score = flat @ plain + (flat * flat) @ squared + bias
    likely: Floats = (1 / (1 + np.exp(-score))).astype(np.float32)
    return likely.reshape(clues.shape[:-1])


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
