"""What do the places around, and the other guesses, say about a guess that is likely by itself?

A right guess is seldom alone: it is likely at the neighbours too, it moves as they do, and guesses
that began elsewhere end at the same place. A wrong one may look right, but mostly on a small patch.
"""

import cv2
import numpy as np

from leaktrack.imaging.carrying.flattening import Floats
from leaktrack.imaging.carrying.sharing import each_in_turn, go_on
from leaktrack.imaging.carrying.weighing import DEPTH_CLUES, far
from leaktrack.imaging.matching.moving import lengths

SURROUNDINGS = (
    "chance by itself",
    "chance close by",
    "chance around",
    "share of all chance within 1.5 px",
    "share of all chance within 5 px",
    "off what is likeliest around",
    "unevenness",
    "best chance around",
    "least chance close by",
)
"""What is known once each guess has a chance by itself."""

SURROUNDED_CLUES = (*DEPTH_CLUES, *SURROUNDINGS)

_CLOSE, _AROUND, _BEST = 2.0, 6.0, 4.0  # nodes, one standard deviation
_SAME_PX, _LIKE_PX = 0.75, 2.5
_MOST_LOGIT = 8.0
_LEAST_SUM = 1e-3


def surrounded(clues: Floats, chance: Floats, wheres: Floats) -> Floats:
    """Return (guesses, rows, cols, clues): those given, and those of the surroundings.

    Args:
        clues: (guesses, rows, cols, clues) of guesses by themselves.
        chance: (guesses, rows, cols) how likely they are by these.
        wheres: (guesses, rows, cols, 2) where they take the nodes.
    """
    summed = chance.sum(axis=0) + np.float32(_LEAST_SUM)
    likeliest = np.take_along_axis(wheres, chance.argmax(axis=0)[None, ..., None], axis=0)[0]
    usual = np.dstack([cv2.medianBlur(each, 5) for each in cv2.split(likeliest)])
    best = _blurred(chance.max(axis=0), _BEST)
    certain = np.clip(chance, 1e-6, 1 - 1e-6)
    logit = np.clip(np.log(certain / (1 - certain)), -_MOST_LOGIT, _MOST_LOGIT)
    square = np.ones((5, 5), np.uint8)
    given = clues.shape[3]
    found = np.empty((*chance.shape, given + len(SURROUNDINGS)), np.float32)
    found[..., :given] = clues
    across, down = np.ascontiguousarray(wheres.transpose(3, 0, 1, 2))

    def look_around(one: int) -> None:
        own, where = chance[one], wheres[one]
        apart2 = (across - across[one]) ** 2 + (down - down[one]) ** 2
        told = (
            logit[one],
            _blurred(own, _CLOSE),
            _blurred(own, _AROUND),
            (chance * (apart2 < _SAME_PX**2)).sum(axis=0) / summed,
            (chance * (apart2 < _LIKE_PX**2)).sum(axis=0) / summed,
            far(lengths(where - usual)),
            far(lengths(where - _blurred(where, _CLOSE))),
            best,
            np.asarray(cv2.erode(own, square), np.float32),
        )
        found[one, ..., given:] = np.stack(told, axis=2)

    each_in_turn(look_around, range(len(chance)), go_on)
    return found


def _blurred(values: Floats, nodes: float) -> Floats:
    return np.asarray(cv2.GaussianBlur(np.ascontiguousarray(values), (0, 0), nodes), np.float32)
