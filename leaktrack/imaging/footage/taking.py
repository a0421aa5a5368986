"""Takes of an index: what was filmed in one go, and how a place moves through it."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.linking import LEAST_LINKED, Plane, to_px, to_shares
from leaktrack.imaging.footage.packing import Footprint

_LEAST_PLACES, _PLACE_MS = 2, 4_000  # own judgement
_FLAT = 1e-3  # of the area; a motion that leaves so little is none


def takes(footprint: Footprint) -> NDArray[np.int64]:
    """Return (F,) the number of the take that each picture is in: a new one after each cut."""
    return np.cumsum(footprint.linked < LEAST_LINKED)


def places_for(footprint: Footprint) -> NDArray[np.int64]:
    """Return (F,) how many places a shortlist has for the take that each picture is in.

    The longer a take, the more it shows; but one must not fill the list with what looks alike.
    """
    take_of = takes(footprint)
    _, first, count = np.unique(take_of, return_index=True, return_counts=True)
    lasts_ms = footprint.until_ms[first + count - 1] - footprint.from_ms[first]
    return np.repeat(np.maximum(_LEAST_PLACES, lasts_ms // _PLACE_MS), count).astype(np.int64)


def carried(
    footprint: Footprint, number: int, step: int, plane: Plane, size: tuple[int, int]
) -> Iterator[tuple[int, Plane]]:
    """Give out the pictures that follow one up to the next cut, and where a photo lies in them.

    Args:
        footprint: The index of the video.
        number: Of the picture in which it is known where the photo lies.
        step: 1 for the pictures after it, -1 for those before.
        plane: (3, 3) from px of the photo to px of the picture.
        size: Width and height of the video's pictures.
    """
    at, there = number, to_shares(size) @ plane
    while 0 <= at + step < len(footprint.at_ms):
        later = max(at, at + step)
        if footprint.linked[later] < LEAST_LINKED:
            return
        move = np.vstack([footprint.moves[later].astype(float), [0, 0, 1]])
        if abs(np.linalg.det(move)) < _FLAT:
            return
        there = (move if step > 0 else np.linalg.inv(move)) @ there
        at += step
        yield at, to_px(size) @ there
