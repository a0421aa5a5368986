"""Weights learnt from photos with known truth: how likely what several photos say is right.

Learnt by ``python -m tests.accuracy learn-sets``.
"""

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats
from leaktrack.imaging.surveying.vouching import Candidates

# Of each clue of ``vouching.CLUES`` and of its square. Learnt on 84 pairs of rendered photos of
# seven zones, each with two more photos.
_WEIGHTS = np.array(
    [
        (0.154, -0.424),  # fine likeness
        (-0.436, -0.172),  # middling likeness
        (0.105, -1.103),  # coarse likeness
        (-0.297, 0.080),  # disagreement
        (-0.366, -0.148),  # off what the two photos say
        (0.298, -0.001),  # off what the two photos say, times their doubt
        (-0.683, 3.662),  # likeness close by
        (0.070, -0.044),  # off what ties say
        (0.214, -0.122),  # off what all photos say
        (0.139, -0.024),  # off what all photos say, times the lead
        (0.178, -0.026),  # moved by the picture
        (-1.667, -0.035),  # comes back off
        (-0.562, 0.247),  # something nearer around
        (-0.011, -0.006),  # cost of the depth in the new photo
        (0.378, -4.696),  # brighter or darker
        (2.916, -11.631),  # of another colour
        (-0.112, 0.167),  # votes
        (-0.313, 0.061),  # ties against
        (-0.235, 0.124),  # off the ties
        (0.567, -0.268),  # known around
        (-0.859, 0.181),  # lead of the depth
        (0.039, 0.016),  # cost of the depth
        (0.051, -0.103),  # contrast
        (-1.355, 0.082),  # doubt of the two photos
    ],
    np.float32,
)
# Of what the two photos alone say, what ties say, and what all photos say.
_BIASES = np.array([5.927, 5.558, 5.613], np.float32)


def chance_of(candidates: Candidates) -> Floats:
    """Return (candidates, rows, cols) how likely each place is right, 0 where there is none."""
    clues = candidates.clues
    score = clues @ _WEIGHTS[:, 0] + (clues * clues) @ _WEIGHTS[:, 1] + _BIASES[:, None, None]
    chance = 1 / (1 + np.exp(-score))
    likely: Floats = np.where(candidates.is_told, chance, 0).astype(np.float32)
    return likely


def with_squares(clues: NDArray[np.float64], candidate: int) -> NDArray[np.float64]:
    """Return (N, terms) of (N, clues): clues, their squares, and which candidate they are of."""
    which = np.zeros((len(clues), len(_BIASES)))
    which[:, candidate] = 1
    return np.concatenate([clues, clues**2, which], axis=1)
