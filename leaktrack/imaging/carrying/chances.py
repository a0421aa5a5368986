"""Weights learnt from photos with known truth: from clues to a chance, from a chance to a sigma.

Learnt by ``python -m tests.accuracy learn``.
"""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats

CARRIED = 0.7
"""Own measurement: 63 % of the visible points reach it, and 95 % of these are within 5 px."""

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
        (0.260, -0.157),  # fine likeness
        (-1.325, 0.594),  # middling likeness
        (4.144, -2.707),  # coarse likeness
        (2.245, -1.528),  # contrast
        (-0.759, 0.182),  # disagreement
        (-0.152, -0.115),  # off the epipolar line
        (-1.466, 0.229),  # against the nearest matches
        (0.002, 0.005),  # against the best near match
        (-0.705, 0.160),  # distance to a match
        (-3.255, 0.639),  # distance to five matches
        (-0.536, 2.670),  # share of guesses within 1.5 px
        (3.108, -2.113),  # share of guesses within 4 px
        (-0.402, 0.195),  # off the place by depth
        (-0.828, 0.430),  # lead of the depth
        (-0.391, -0.123),  # cost of the depth
        (0.004, -0.061),  # off the place by depth, times its lead
    ],
    np.float32,
)
_DEEP_BIAS = np.float32(3.768)

# The same of ``surrounding.SURROUNDED_CLUES``.
_SURROUNDED = np.array(
    [
        (0.472, -0.067),  # fine likeness
        (-2.438, 1.473),  # middling likeness
        (6.574, -4.640),  # coarse likeness
        (3.178, -2.097),  # contrast
        (-1.013, 0.260),  # disagreement
        (-0.076, -0.275),  # off the epipolar line
        (-2.057, 0.322),  # against the nearest matches
        (0.044, 0.002),  # against the best near match
        (-1.130, 0.236),  # distance to a match
        (-5.865, 1.142),  # distance to five matches
        (-1.535, 3.157),  # share of guesses within 1.5 px
        (5.667, -3.800),  # share of guesses within 4 px
        (-0.930, 0.342),  # off the place by depth
        (-1.543, 0.691),  # lead of the depth
        (-0.788, -0.262),  # cost of the depth
        (0.285, -0.117),  # off the place by depth, times its lead
        (-1.166, 0.028),  # chance by itself
        (4.159, -1.553),  # chance close by
        (0.979, 0.299),  # chance around
        (0.275, 1.136),  # share of all chance within 1.5 px
        (1.288, -0.602),  # share of all chance within 5 px
        (-0.070, -0.032),  # off what is likeliest around
        (-0.744, 0.131),  # unevenness
        (0.102, 0.246),  # best chance around
        (-4.467, 5.570),  # least chance close by
    ],
    np.float32,
)
_SURROUNDED_BIAS = np.float32(4.474)

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
