"""Tie points: where places of one photo lie in others, told directly or through a photo between.

Only places that are sure are taken; a place may be tied to one photo in several ways.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import AlignmentState
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.overlaying import Placing
from leaktrack.model.place import PlaceState

REFERENCE, NEW = 0, 1
"""Numbers of the photo whose places are tied, and of the one that they are wanted in."""

Ways = Mapping[tuple[int, int], Placing]
"""How photos lie over each other: by the numbers of the one and of the other."""

_LEAST_TIES = 10


@dataclass(frozen=True, slots=True, eq=False)
class Ties:
    """Where some places of the reference photo lie in one other photo.

    Attributes:
        photo: Number of that photo.
        place: (N,) which places, as indices.
        xy: (N, 2) where they lie in it, in px of the full photo.
        is_direct: Whether no other photo lies between.
    """

    photo: int
    place: NDArray[np.int64]
    xy: Points
    is_direct: bool


def tied(places: Points, ways: Ways) -> list[Ties]:
    """Return all ties of (N, 2) places of the reference photo, photo by photo.

    Args:
        places: In px of the full reference photo.
        ways: How photos lie over each other; those from the reference photo, and any others.
    """
    everything = np.arange(len(places))
    direct = {
        there: _carried(Ties(REFERENCE, everything, places, True), there, way)
        for (here, there), way in ways.items()
        if here == REFERENCE
    }
    found = list(direct.values())
    for (between, there), way in ways.items():
        if between in direct and there != REFERENCE:
            found.append(_carried(direct[between], there, way, is_direct=False))
    return [ties for ties in found if len(ties.place) >= _LEAST_TIES]


def _carried(ties: Ties, there: int, way: Placing, is_direct: bool = True) -> Ties:
    if way.state is AlignmentState.FAILED or not len(ties.place):
        return Ties(there, np.empty(0, np.int64), np.empty((0, 2)), is_direct)
    carried = way.carry(ties.xy)
    is_sure = np.array([state is PlaceState.CARRIED for state in carried.states], bool)
    return Ties(there, ties.place[is_sure], carried.xy[is_sure], is_direct)
