"""Weights learnt from photos with known truth: how likely what several photos say is right.

First each place by its own clues, then with what is likely around it and elsewhere.

Learnt by ``python -m tests.accuracy learn-sets``.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats
from leaktrack.imaging.carrying.surrounding import surrounded
from leaktrack.imaging.surveying.vouching import CANDIDATES, Candidates


@dataclass(frozen=True, slots=True, eq=False)
class Weights:
    """A weighted sum of clues, learnt.

    Attributes:
        of_clues: (clues, 2) of each clue and of its square.
        biases: Of what the two photos alone say, what ties say, and what all photos say.
    """

    of_clues: Floats
    biases: Floats

    def chance(self, clues: Floats) -> Floats:
        """Return (candidates, rows, cols) chances from (candidates, rows, cols, clues)."""
        score = clues @ self.of_clues[:, 0] + (clues * clues) @ self.of_clues[:, 1]
        chance = 1 / (1 + np.exp(-(score + self.biases[:, None, None])))
        likely: Floats = chance.astype(np.float32)
        return likely


# Learnt on 84 pairs of rendered photos of seven zones, each with two more photos.
_BY_THEMSELVES = Weights(
    np.array(
        [
            (0.138, -0.382),  # fine likeness
            (-0.438, -0.091),  # middling likeness
            (-0.015, -1.293),  # coarse likeness
            (-0.302, 0.084),  # disagreement
            (-0.294, -0.176),  # off what the two photos say
            (0.286, 0.001),  # off what the two photos say, times their doubt
            (-0.394, 3.361),  # likeness close by
            (0.033, -0.032),  # off what ties say
            (0.172, -0.102),  # off what all photos say
            (0.122, -0.024),  # off what all photos say, times the lead
            (0.108, -0.011),  # moved by the picture
            (-1.640, -0.033),  # comes back off
            (-0.622, 0.270),  # something nearer around
            (-0.017, -0.006),  # cost of the depth in the new photo
            (0.405, -4.430),  # brighter or darker
            (2.797, -10.835),  # of another colour
            (-0.143, 0.168),  # votes
            (-0.332, 0.059),  # ties against
            (-0.152, 0.084),  # off the ties
            (0.623, -0.259),  # known around
            (-0.918, 0.198),  # lead of the depth
            (0.036, 0.015),  # cost of the depth
            (0.344, -0.376),  # contrast
            (-1.358, 0.084),  # doubt of the two photos
        ],
        np.float32,
    ),
    np.array([6.061, 5.657, 5.701], np.float32),
)

# The same of the clues and of ``surrounding.SURROUNDINGS``.
_SURROUNDED = Weights(
    np.array(
        [
            (0.409, -1.075),  # fine likeness
            (-1.105, -0.313),  # middling likeness
            (-1.357, -2.968),  # coarse likeness
            (-0.975, 0.270),  # disagreement
            (-0.941, -0.553),  # off what the two photos say
            (0.962, 0.000),  # off what the two photos say, times their doubt
            (0.388, 7.824),  # likeness close by
            (-0.066, -0.020),  # off what ties say
            (0.340, -0.019),  # off what all photos say
            (0.305, -0.086),  # off what all photos say, times the lead
            (0.238, 0.029),  # moved by the picture
            (-5.254, 0.032),  # comes back off
            (-1.981, 0.908),  # something nearer around
            (-0.062, -0.021),  # cost of the depth in the new photo
            (0.835, -12.388),  # brighter or darker
            (6.247, -29.109),  # of another colour
            (-0.334, 0.465),  # votes
            (-0.971, 0.098),  # ties against
            (0.059, 0.156),  # off the ties
            (1.175, -0.889),  # known around
            (-2.360, 0.590),  # lead of the depth
            (0.136, 0.053),  # cost of the depth
            (0.645, -0.765),  # contrast
            (-3.052, 0.062),  # doubt of the two photos
            (-2.338, 0.037),  # chance by itself
            (3.398, -3.172),  # chance close by
            (0.689, -1.144),  # chance around
            (-1.013, 0.567),  # share of all chance within 1.5 px
            (1.908, -1.026),  # share of all chance within 5 px
            (0.603, -0.384),  # off what is likeliest around
            (0.070, -0.070),  # unevenness
            (6.525, -2.113),  # best chance around
            (-1.076, 3.667),  # least chance close by
        ],
        np.float32,
    ),
    np.array([11.580, 10.308, 10.277], np.float32),
)


def chance_of(candidates: Candidates) -> Floats:
    """Return (candidates, rows, cols) how likely each place is right, 0 where there is none."""
    clues = surrounded_clues(candidates, _BY_THEMSELVES)
    return _of_told(candidates, _SURROUNDED.chance(clues))


def surrounded_clues(candidates: Candidates, weights: Weights) -> Floats:
    """Return (candidates, rows, cols, clues), those of the surroundings among them."""
    chance = _of_told(candidates, weights.chance(candidates.clues))
    return surrounded(candidates.clues, chance, candidates.wheres)


def _of_told(candidates: Candidates, chance: Floats) -> Floats:
    return np.where(candidates.is_told, chance, np.float32(0))


def with_squares(clues: NDArray[np.float64], candidate: int) -> NDArray[np.float64]:
    """Return (N, terms) of (N, clues): clues, their squares, and which candidate they are of."""
    which = np.zeros((len(clues), CANDIDATES))
    which[:, candidate] = 1
    return np.concatenate([clues, clues**2, which], axis=1)
