"""Weights learnt from photos with known truth: from clues to a chance, from a chance to a sigma.

Made by ``python -m tests.accuracy learn``.
"""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats

CARRIED = 0.65
"""Own measurement: 60 % of the visible points reach it, and 95 % of these are within 5 px."""

UNCERTAIN = 0.1
"""Own judgement: below, four of five visible places would be wrong, so none is given."""

# Of each clue of ``weighing.CLUES`` and of its square. Learnt on 42 pairs of rendered photos.
_WEIGHTS = np.array(
    [
        (0.474, -0.828),  # fine likeness
        (-0.489, 0.484),  # middling likeness
        (8.659, -6.711),  # coarse likeness
        (1.404, 0.258),  # contrast
        (-1.911, 0.412),  # disagreement
        (-0.474, -0.311),  # off the epipolar line
        (-1.382, 0.211),  # against the nearest matches
        (-0.033, -0.006),  # against the best near match
        (-1.278, 0.299),  # distance to a match
        (-1.414, 0.366),  # distance to five matches
        (-0.310, 2.433),  # share of guesses within 1.5 px
        (3.788, -2.128),  # share of guesses within 4 px
    ],
    np.float32,
)
_BIAS = np.float32(0.689)

# The same of ``weighing.DEPTH_CLUES``.
_DEEP = np.array(
    [
        (0.265, -0.073),  # fine likeness
        (-1.377, 0.434),  # middling likeness
        (4.276, -2.832),  # coarse likeness
        (0.443, 0.312),  # contrast
        (-0.750, 0.154),  # disagreement
        (-0.410, -0.060),  # off the epipolar line
        (-0.999, 0.134),  # against the nearest matches
        (0.035, 0.019),  # against the best near match
        (-0.631, 0.128),  # distance to a match
        (-2.373, 0.524),  # distance to five matches
        (-0.745, 2.385),  # share of guesses within 1.5 px
        (2.257, -1.178),  # share of guesses within 4 px
        (-0.214, 0.065),  # off the place by depth
        (-0.496, 0.388),  # lead of the depth
        (-0.294, -0.075),  # cost of the depth
        (0.111, -0.092),  # off the place by depth, times its lead
    ],
    np.float32,
)
_DEEP_BIAS = np.float32(2.286)

# Two sigma hold 95 of 100 visible points with that chance (``python -m tests.accuracy doubt``);
# told at 1000 px width. In zones left out when measuring they held 93 to 98; at the sources of
# leaks, where oil and edges change the picture, 92.
_CHANCES = np.array([0.05, 0.2, 0.4, 0.55, 0.65, 0.75, 0.825, 0.875, 0.925, 0.965, 0.99])
_SIGMA_SHARES = np.array([29.6, 22.4, 12.9, 9.09, 7.56, 5.06, 4.15, 2.62, 2.05, 1.41, 0.83]) / 1000


def with_squares(clues: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return clues and their squares on the last axis: some clues tell most in the middle."""
    return np.concatenate([clues, clues**2], axis=-1)


def chance(clues: Floats) -> Floats:
    """Return how likely guesses are right, 0 to 1, from their clues on the last axis."""
    weights, bias = (_WEIGHTS, _BIAS) if clues.shape[-1] == len(_WEIGHTS) else (_DEEP, _DEEP_BIAS)
    score = with_squares(clues) @ weights.T.ravel() + bias
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
