"""Follow a bead between a few clicks on it: the cheapest way over what looks like the clicks."""

from itertools import pairwise
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from leaktrack.imaging.measuring.projecting import Floats

_LONGEST_PX = 500  # of the photo that is walked over; a bead is a few px wide in it
_LEAST_COST = 0.03  # of a step along the bead; 1 is a step over what looks otherwise
_CLICK_PX = 1.5  # around a click: sealant
_TOLERANCE = 9.0  # in Lab: so far from the clicks still looks alike; own judgement
_SMOOTHING_PX = 3.0
_EVERY_PX = 4.0  # points of the path, in the smaller photo


def followed(rgb: NDArray[np.uint8], clicks_px: Floats) -> Floats:
    """Return (N, 2) px along the bead, from the first click over the others to the last.

    Light changes along a bead, so between two clicks what looks like either of them is cheap. A
    gap is crossed on the shortest way.

    Args:
        rgb: (rows, cols, 3), the upright photo.
        clicks_px: (K, 2), at least two places on the bead, inside the photo, in order.

    Raises:
        ValueError: Fewer than two clicks.
    """
    if len(clicks_px) < 2:
        raise ValueError("a bead is followed from one click to another")
    shrink = max(1.0, max(rgb.shape[:2]) / _LONGEST_PX)
    size = (round(rgb.shape[1] / shrink), round(rgb.shape[0] / shrink))
    small = cv2.resize(rgb, size, interpolation=cv2.INTER_AREA)
    lab = cv2.cvtColor(np.asarray(small / 255.0, np.float32), cv2.COLOR_RGB2LAB)
    lab = cv2.GaussianBlur(lab, (0, 0), 0.7)
    clicks = (clicks_px + 0.5) / shrink - 0.5
    pieces = [_between(np.asarray(lab), start, end) for start, end in pairwise(clicks)]
    path = np.concatenate([pieces[0], *(piece[1:] for piece in pieces[1:])])
    even = gaussian_filter1d(path, _SMOOTHING_PX, axis=0, mode="nearest")
    even[0], even[-1] = clicks[0], clicks[-1]
    walk = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(even, axis=0), axis=1)))
    marks = np.linspace(0, walk[-1], max(2, round(walk[-1] / _EVERY_PX) + 1))
    places = np.stack([np.interp(marks, walk, even[:, axis]) for axis in (0, 1)], axis=1)
    return np.asarray((places + 0.5) * shrink - 0.5, np.float64)


def _between(lab: NDArray[np.float32], start: Floats, end: Floats) -> Floats:
    """Return (N, 2) places of the cheapest way between two clicks, in px of the small photo."""
    rows, columns = lab.shape[:2]
    nearest = np.minimum(*(_unlikeness(lab, click) for click in (start, end)))
    cost = _LEAST_COST + 1 - np.exp(-0.5 * (nearest / _TOLERANCE) ** 2)
    index = np.arange(rows * columns).reshape(rows, columns)
    froms, tos, costs = [], [], []
    for down, right in ((0, 1), (1, 0), (1, 1), (1, -1)):
        here = (slice(0, rows - down), slice(max(0, -right), columns - max(0, right)))
        there = (slice(down, rows), slice(max(0, right), columns - max(0, -right)))
        froms.append(index[here].ravel())
        tos.append(index[there].ravel())
        costs.append(((cost[here] + cost[there]) / 2 * np.hypot(down, right)).ravel())
    grid: Any = coo_array(
        (np.concatenate(costs), (np.concatenate(froms), np.concatenate(tos))),
        shape=(rows * columns, rows * columns),
    ).tocsr()
    first, last = (
        int(index[min(max(round(y), 0), rows - 1), min(max(round(x), 0), columns - 1)])
        for x, y in (start, end)
    )
    _, before = dijkstra(grid, directed=False, indices=np.array([first]), return_predecessors=True)
    way = [last]
    while way[-1] != first:
        way.append(int(before[0, way[-1]]))
    places = np.array(way[::-1])
    return np.stack([places % columns, places // columns], axis=1).astype(np.float64)


def _unlikeness(lab: NDArray[np.float32], click: Floats) -> Floats:
    """Return (rows, cols): how far each place's colour is from that around a click."""
    rows, columns = np.ogrid[: lab.shape[0], : lab.shape[1]]
    near = (columns - click[0]) ** 2 + (rows - click[1]) ** 2 <= _CLICK_PX**2
    if not near.any():
        return np.full(lab.shape[:2], np.inf)
    colour = np.median(lab[near], axis=0)
    return np.asarray(np.linalg.norm(lab - colour, axis=2), np.float64)
