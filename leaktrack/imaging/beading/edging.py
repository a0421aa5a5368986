"""Find both edges of a bead along a strip at once, and where there is no bead between them.

The likeliest pair of edges is sought over the whole strip (Viterbi): each place between the edges
speaks for or against them, edges that jump cost something, and so does each end of a gap. A gap is
a state of its own: without it, the cost of pulling both edges together would close short ones.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.projecting import Floats

# Areas in squares of the bead's width, lengths in widths; own judgement, tried on drawn beads.
_MOVE_COST = 0.25  # of moving an edge by one width
_END_COST = 0.16  # of each end of a gap
_NARROWEST = 0.09  # a bead thinner than this is none
_WIDEST = 2.4
_FREE_OFFSET = 0.6  # of the bead's middle from the track, at no cost
_OFFSET_COST = 0.5  # of each width more, for each width along
_STEEPEST = 2  # rows that an edge may move from one column to the next


@dataclass(frozen=True)
class Edges:
    """Where the edges of a bead run.

    Attributes:
        right: (N,), rows, counted from the strip's right; the first row inside.
        left: (N,), rows; the first row outside again.
        is_bead: (N,), whether there is a bead between them.
    """

    right: NDArray[np.intp]
    left: NDArray[np.intp]
    is_bead: NDArray[np.bool_]


def edges_in(weight: Floats, step: float, width: float) -> Edges:
    """Return the likeliest edges.

    Args:
        weight: (M, N), log odds of sealant; rows across, columns along.
        step: Between rows, and between columns.
        width: Of the bead, about, in the unit of ``step``.
    """
    rows, columns = weight.shape
    cell = (step / width) ** 2
    inside = np.zeros((columns, rows + 1), np.float32)
    inside[:, 1:] = np.cumsum(weight, axis=0).T * cell
    first, last = np.arange(rows + 1)[:, None], np.arange(rows + 1)[None, :]
    size = (last - first) * step / width
    is_possible = (size >= _NARROWEST) & (size <= _WIDEST)
    middle = np.abs((first + last) / 2 - rows / 2) * step / width
    penalty = np.maximum(0.0, middle - _FREE_OFFSET) * _OFFSET_COST * step / width
    penalty = np.where(is_possible, penalty, np.inf).astype(np.float32)
    move = _MOVE_COST * step / width
    value = inside[0][None, :] - inside[0][:, None] - penalty
    no_bead = -_END_COST
    came = np.zeros((columns, rows + 1, rows + 1), np.int8)
    began_at = np.zeros(columns, np.intp)
    ended = np.zeros(columns, np.bool_)
    for column in range(1, columns):
        kept, shift = _moved(value, move)
        best = int(value.argmax())
        fresh = no_bead - _END_COST
        starts = kept < fresh
        np.copyto(shift, -1, where=starts, casting="unsafe")
        kept = np.maximum(kept, np.float32(fresh))
        ends = float(value.flat[best]) - _END_COST
        ended[column] = ends > no_bead
        began_at[column] = best
        no_bead = max(no_bead, ends)
        came[column] = shift
        value = kept + inside[column][None, :] - inside[column][:, None] - penalty
    return _walked_back(value, no_bead, came, began_at, ended)


def _moved(value: NDArray[np.float32], move: float) -> tuple[NDArray[np.float32], NDArray[np.int8]]:
    """Return the best value that leads to each pair of edges, and by which moves."""
    best, shift = _moved_along(value, move, 0)
    best, other = _moved_along(best, move, 1)
    span = 2 * _STEEPEST + 1
    # The second move was made last: the first one is that of where it came from.
    columns = np.arange(value.shape[1])[None, :] + _STEEPEST - other
    rows = np.arange(value.shape[0])[:, None]
    return best, shift[rows, columns] * np.int8(span) + other


def _moved_along(
    value: NDArray[np.float32], move: float, axis: int
) -> tuple[NDArray[np.float32], NDArray[np.int8]]:
    best = value.copy()
    shift = np.full(value.shape, _STEEPEST, np.int8)
    size = value.shape[axis]
    for by in range(-_STEEPEST, _STEEPEST + 1):
        if by == 0:
            continue
        there = slice(max(by, 0), size + min(by, 0))
        here = slice(max(-by, 0), size + min(-by, 0))
        if axis == 0:
            offer, target, marks = value[here], best[there], shift[there]
        else:
            offer, target, marks = value[:, here], best[:, there], shift[:, there]
        offer = offer - np.float32(abs(by) * move)
        is_better = offer > target
        np.copyto(target, offer, where=is_better)
        np.copyto(marks, by + _STEEPEST, where=is_better, casting="unsafe")
    return best, shift


def _walked_back(
    value: NDArray[np.float32],
    no_bead: float,
    came: NDArray[np.int8],
    began_at: NDArray[np.intp],
    ended: NDArray[np.bool_],
) -> Edges:
    columns = len(came)
    span, size = 2 * _STEEPEST + 1, value.shape[0]
    right, left = np.zeros(columns, np.intp), np.zeros(columns, np.intp)
    is_bead = np.zeros(columns, np.bool_)
    here = int(value.argmax())
    bead = bool(value.flat[here] >= no_bead)
    for column in range(columns - 1, -1, -1):
        is_bead[column] = bead
        if bead:
            right[column], left[column] = divmod(here, size)
            code = int(came[column, right[column], left[column]])
            if code < 0:
                bead = False
            else:
                first, second = divmod(code, span)
                here = (int(right[column]) - (first - _STEEPEST)) * size + (
                    int(left[column]) - (second - _STEEPEST)
                )
        elif ended[column]:
            here, bead = int(began_at[column]), True
    return Edges(right, left, is_bead)
