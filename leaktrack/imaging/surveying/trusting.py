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


# Learnt on 84 pairs of rendered photos of seven zones, each with up to three more photos.
_BY_THEMSELVES = Weights(
    np.array(
        [
            (0.064, -0.318),  # fine likeness
            (-0.180, -0.607),  # middling likeness
            (-0.188, -1.539),  # coarse likeness
            (-0.241, 0.095),  # disagreement
            (-0.722, -0.108),  # off what the two photos say
            (0.273, 0.003),  # off what the two photos say, times their doubt
            (-0.100, 4.143),  # likeness close by
            (-0.309, 0.070),  # off what ties say
            (1.428, -0.384),  # off what the new photo says
            (-0.849, 0.170),  # off what all photos say
            (0.141, -0.029),  # off what all photos say, times the lead
            (0.189, -0.041),  # moved by the picture
            (-2.585, 0.195),  # comes back off
            (-0.559, 0.192),  # something nearer around
            (-0.054, 0.001),  # cost of the depth in the new photo
            (-0.470, -3.641),  # brighter or darker
            (2.697, -8.985),  # of another colour
            (0.048, 0.009),  # votes
            (-0.107, -0.003),  # ties against
            (-0.055, 0.168),  # off the ties
            (0.638, -0.233),  # known around
            (-0.140, 0.065),  # lead of the depth
            (0.077, 0.008),  # cost of the depth
            (-0.461, 0.558),  # contrast
            (-1.445, 0.096),  # doubt of the two photos
        ],
        np.float32,
    ),
    np.array([5.912, 5.277, 5.050, 5.201], np.float32),
)

# The same of the clues and of ``surrounding.SURROUNDINGS``.
_SURROUNDED = Weights(
    np.array(
        [
            (0.091, 0.109),  # fine likeness
            (0.192, -0.109),  # middling likeness
            (-0.542, -0.260),  # coarse likeness
            (-0.137, 0.062),  # disagreement
            (-0.372, 0.027),  # off what the two photos say
            (0.144, -0.004),  # off what the two photos say, times their doubt
            (0.223, -0.282),  # likeness close by
            (-0.171, 0.057),  # off what ties say
            (0.600, -0.176),  # off what the new photo says
            (-0.974, 0.302),  # off what all photos say
            (0.181, -0.029),  # off what all photos say, times the lead
            (-0.221, 0.055),  # moved by the picture
            (-1.315, 0.209),  # comes back off
            (-0.207, 0.097),  # something nearer around
            (-0.021, 0.002),  # cost of the depth in the new photo
            (0.626, -1.561),  # brighter or darker
            (1.689, -4.745),  # of another colour
            (0.019, -0.013),  # votes
            (-0.003, -0.001),  # ties against
            (0.152, -0.002),  # off the ties
            (0.384, -0.713),  # known around
            (0.100, -0.024),  # lead of the depth
            (0.007, -0.002),  # cost of the depth
            (-0.737, 0.624),  # contrast
            (0.627, -0.106),  # doubt of the two photos
            (0.336, 0.048),  # chance by itself
            (1.999, -0.732),  # chance close by
            (0.902, -2.179),  # chance around
            (-1.218, 0.443),  # share of all chance within 1.5 px
            (2.997, -1.996),  # share of all chance within 5 px
            (0.745, -0.262),  # off what is likeliest around
            (-0.078, -0.071),  # unevenness
            (6.792, -2.250),  # best chance around
            (-2.264, 5.006),  # least chance close by
        ],
        np.float32,
    ),
    np.array([-4.158, -4.228, -4.424, -4.428], np.float32),
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
