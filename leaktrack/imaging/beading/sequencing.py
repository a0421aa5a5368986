"""Find the likeliest course of a bead through columns, and where it is broken (Viterbi).

In each column the bead lies at one of some places, in one of some sizes, or is not there at all.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.projecting import Floats

# Natural logarithms of odds; own judgement, tried on drawn beads.
_MOVE_COST = 0.25  # one place to the side, from one column to the next
_SIZE_COST = 0.5  # to the next size
_END_COST = 5.0  # of each end of a gap


@dataclass(frozen=True)
class Sequence:
    """The course of a bead.

    Attributes:
        place: (N,), where it lies; in a gap, where it lies next to it.
        size: (N,), which size it has.
        is_there: (N,), whether there is a bead.
    """

    place: NDArray[np.intp]
    size: NDArray[np.intp]
    is_there: NDArray[np.bool_]


def sequence_of(odds: Floats, *, may_break: bool = True) -> Sequence:
    """Return the likeliest course.

    Args:
        odds: (Z, S, N), log odds of a bead of each size at each place of each column.
        may_break: Whether there may be gaps.
    """
    sizes, places, columns = odds.shape
    value, none = odds[:, :, 0].copy(), -_END_COST if may_break else -np.inf
    came = np.zeros((columns, sizes, places), np.int32)
    began, ended = np.zeros(columns, np.intp), np.zeros(columns, np.bool_)
    index = np.arange(sizes * places, dtype=np.int32).reshape(sizes, places)
    for column in range(1, columns):
        best, before = value.copy(), index.copy()
        for axis, cost in ((1, _MOVE_COST), (0, _SIZE_COST)):
            for by in (1, -1):
                _offer(value, index, best, before, axis, by, cost)
        fresh = none - _END_COST
        before[best < fresh] = -1
        top = int(value.argmax())
        ends = float(value.flat[top]) - _END_COST
        began[column], ended[column] = top, ends > none
        none = max(none, ends) if may_break else none
        came[column] = before
        value = np.maximum(best, fresh) + odds[:, :, column]
    return _walked_back(value, none, came, began, ended)


def _offer(
    value: Floats,
    index: NDArray[np.int32],
    best: Floats,
    before: NDArray[np.int32],
    axis: int,
    by: int,
    cost: float,
) -> None:
    """Let each state be reached from its neighbour where that is better."""
    size = value.shape[axis]
    there, here = slice(max(by, 0), size + min(by, 0)), slice(max(-by, 0), size + min(-by, 0))
    at = (there, slice(None)) if axis == 0 else (slice(None), there)
    of = (here, slice(None)) if axis == 0 else (slice(None), here)
    offer = value[of] - cost
    is_better = offer > best[at]
    best[at][is_better] = offer[is_better]
    before[at][is_better] = index[of][is_better]


def _walked_back(
    value: Floats,
    none: float,
    came: NDArray[np.int32],
    began: NDArray[np.intp],
    ended: NDArray[np.bool_],
) -> Sequence:
    columns, places = len(came), value.shape[1]
    place, size = np.zeros(columns, np.intp), np.zeros(columns, np.intp)
    is_there = np.zeros(columns, np.bool_)
    here = int(value.argmax())
    bead = bool(value.flat[here] >= none)
    for column in range(columns - 1, -1, -1):
        is_there[column] = bead
        if bead:
            size[column], place[column] = divmod(here, places)
            before = int(came[column].flat[here])
            bead, here = before >= 0, max(before, 0)
        elif ended[column]:
            here, bead = int(began[column]), True
    known = np.flatnonzero(is_there)
    if len(known):
        after = known[np.minimum(np.searchsorted(known, np.arange(columns)), len(known) - 1)]
        place, size = place[after], size[after]
    return Sequence(place, size, is_there)
