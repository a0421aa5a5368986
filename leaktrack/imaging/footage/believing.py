"""How likely is it that a picture shows what was asked for? A score learnt from known truth."""

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.footage_weights import BIAS, WEIGHTS
from leaktrack.imaging.footage.verifying import Evidence

# How many fit each other, and over how much of both, is none of them: where things lie at several
# depths, it is chance which surface most of them are told to lie on.
CLUES = (
    "matches that move like their neighbours, times their spread",
    "agreeing matches on the part that matters",
    "likeness of fine detail",
    "likeness of coarse detail",
    "likeness of fine detail that follows",
    "share of the matches that agree",
    "share of the part that is in sight",
    "seen when matched again, not at a glance only",
)


def chance(found: Evidence) -> float:
    """Return the calibrated chance that what was asked for is in sight; 0 without agreement."""
    if not found.inside:
        return 0.0
    return float(1 / (1 + np.exp(-(clues(found) @ np.array(WEIGHTS) + BIAS))))


def clues(found: Evidence) -> NDArray[np.float64]:
    """Return the clues of ``CLUES``."""
    return np.array(
        [
            np.log(found.along + 0.1),
            np.log1p(found.inside),
            found.alike.fine,
            found.alike.coarse,
            found.alike.followed,
            np.log((found.agreeing + 1) / (found.matched + 10)),
            np.sqrt(max(0.0, found.in_sight)),
            float(found.is_again),
        ]
    )
