"""Weights learnt from photos with known truth: from clues to a chance, from a chance to a sigma.

Made by ``python -m tests.accuracy learn``.
"""

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.guessing import Floats

CARRIED = 0.75
"""Own measurement: half of the visible points reach it, and 94 % of these are within 5 px."""

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

# Two sigma hold 95 of 100 visible points with that chance (``python -m tests.accuracy doubt``);
# told at 1000 px width. In zones left out when measuring they held 93 to 98; at the sources of
# leaks, where oil and edges change the picture, 92.
_CHANCES = np.array([0.05, 0.2, 0.4, 0.55, 0.65, 0.75, 0.825, 0.875, 0.925, 0.965, 0.99])
_SIGMA_SHARES = np.array([42, 24.8, 14.2, 11.3, 8.68, 6.4, 4.85, 4.13, 2.81, 1.57, 0.9]) / 1000


def with_squares(clues: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return clues and their squares on the last axis: some clues tell most in the middle."""
    return np.concatenate([clues, clues**2], axis=-1)


def chance(clues: Floats) -> Floats:
    """Return how likely guesses are right, 0 to 1, from their clues on the last axis."""
    score = with_squares(clues) @ _WEIGHTS.T.ravel() + _BIAS
    likely: Floats = (1 / (1 + np.exp(-score))).astype(np.float32)
    return likely


def sigma_share(chance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return one standard deviation of a place with that chance, as a share of the longest side."""
    return np.asarray(np.interp(chance, _CHANCES, _SIGMA_SHARES), np.float64)
