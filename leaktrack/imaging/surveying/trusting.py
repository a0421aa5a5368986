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
        biases: Of ``vouching.CANDIDATES``, one each.
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
            (0.088, -0.596),  # fine likeness
            (-0.268, -0.244),  # middling likeness
            (-0.215, -1.520),  # coarse likeness
            (-0.196, 0.050),  # disagreement
            (-0.701, -0.107),  # off what the two photos say
            (0.324, 0.001),  # off what the two photos say, times their doubt
            (-0.024, 3.369),  # likeness close by
            (-0.261, 0.023),  # off what ties say
            (1.415, -0.398),  # off what the new photo says
            (-0.842, 0.134),  # off what all photos say
            (0.159, -0.024),  # off what all photos say, times the lead
            (0.268, -0.052),  # moved by the picture
            (-2.519, 0.190),  # comes back off
            (-0.399, 0.114),  # something nearer around
            (-0.029, -0.002),  # cost of the depth in the new photo
            (0.187, -4.216),  # brighter or darker
            (2.245, -9.075),  # of another colour
            (0.114, 0.031),  # votes
            (-0.242, 0.046),  # ties against
            (-0.707, 0.469),  # off the ties
            (0.158, 0.174),  # known around
            (-0.476, 0.107),  # lead of the depth
            (0.025, 0.008),  # cost of the depth
            (0.285, -0.295),  # contrast
            (-1.473, 0.102),  # doubt of the two photos
        ],
        np.float32,
    ),
    np.array([6.314, 5.704, 5.434, 5.608], np.float32),
)

# The same of the clues and of ``surrounding.SURROUNDINGS``.
_SURROUNDED = Weights(
    np.array(
        [
            (0.136, -0.058),  # fine likeness
            (0.162, 0.033),  # middling likeness
            (-0.697, -0.348),  # coarse likeness
            (-0.142, 0.056),  # disagreement
            (-0.409, 0.006),  # off what the two photos say
            (0.186, -0.004),  # off what the two photos say, times their doubt
            (0.344, -0.305),  # likeness close by
            (-0.202, 0.052),  # off what ties say
            (0.664, -0.185),  # off what the new photo says
            (-0.952, 0.265),  # off what all photos say
            (0.177, -0.024),  # off what all photos say, times the lead
            (-0.120, 0.038),  # moved by the picture
            (-1.411, 0.199),  # comes back off
            (-0.238, 0.108),  # something nearer around
            (-0.025, 0.002),  # cost of the depth in the new photo
            (0.627, -2.011),  # brighter or darker
            (1.882, -5.249),  # of another colour
            (0.060, -0.011),  # votes
            (-0.066, 0.020),  # ties against
            (-0.088, 0.099),  # off the ties
            (0.251, -0.678),  # known around
            (-0.132, 0.008),  # lead of the depth
            (-0.019, -0.005),  # cost of the depth
            (-0.438, 0.246),  # contrast
            (0.425, -0.086),  # doubt of the two photos
            (0.224, 0.050),  # chance by itself
            (2.634, -1.000),  # chance close by
            (1.116, -2.246),  # chance around
            (-1.621, 0.803),  # share of all chance within 1.5 px
            (2.547, -1.854),  # share of all chance within 5 px
            (0.716, -0.335),  # off what is likeliest around
            (-0.037, -0.084),  # unevenness
            (6.732, -2.101),  # best chance around
            (-2.042, 4.651),  # least chance close by
        ],
        np.float32,
    ),
    np.array([-3.161, -3.276, -3.541, -3.509], np.float32),
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
    which = np.zeros((len(clues), len(CANDIDATES)))
    which[:, candidate] = 1
    return np.concatenate([clues, clues**2, which], axis=1)
