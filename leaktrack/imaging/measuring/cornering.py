"""Find a printed target's corners to a fraction of a pixel, from all edges of its printed grid.

Blur, and a tone curve that lifts the bright side, make white look larger than it was printed: by
half a pixel to one pixel at each edge. The black square's own corners then lie too far inside, and
an area measured by them comes out 1 to 3 % too large. Edges inside the square suffer the same, but
in both directions, since white lies now on the one and now on the other side. So a projective
map of the printed grid and the width of the white rim are fitted together, and the rim drops out.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.projecting import through

Floats = NDArray[np.float64]

CELLS = 6
"""Cells along a side of a DICT_4X4_50 target: four of its pattern and the black rim."""

_LEAST_CELL_PX = 5.0  # below, the two edges of a cell are one blur; own judgement
_PLACES_ALONG = np.array([0.2, 0.35, 0.5, 0.65, 0.8])  # of a cell: away from its blurred corners
_REACH = 0.45  # of a cell, to either side of an edge
_SAMPLES = 41
_LEAST_CONTRAST = 40.0  # of 255, between the two sides of an edge
_ROUNDS = 6
_LEAST_EDGES = 40  # of the 200 and more of a whole target
_MOST_DRIFT = 0.3  # of a cell, or 2.5 px: a fit that leads farther has run away; own judgement
_LEAST_DRIFT_PX = 2.5

# How far corners lie off that could not be fitted; from photos whose true corners are known.
_UNFITTED_SIGMA_PX = 1.0

# The paper's own waves and the print's, which a plane grid cannot follow; from the same photos.
_LEAST_SIGMA_PX = 0.12


@dataclass(frozen=True, slots=True)
class FittedCorners:
    """A target's true corners.

    Attributes:
        corners_px: (4, 2), from the printed top left, clockwise.
        sigma_px: One standard deviation of a corner's place in x and in y.
        white_rim_px: By how much white looks wider than printed, at each edge.
    """

    corners_px: Floats
    sigma_px: float
    white_rim_px: float


def white_cells(marker: int) -> NDArray[np.bool_]:
    """Return (6, 6): which cells of a printed target are white, by rows; its rim is black."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    return np.asarray(cv2.aruco.generateImageMarker(dictionary, marker, CELLS) > 0)


def fitted_corners(grey: NDArray[np.uint8], corners_px: Floats, marker: int) -> FittedCorners:
    """Return the true corners of a target whose corners are known to a few pixels.

    Where the target is too small or too little of its grid can be seen, the corners come back as
    they were, with a wide sigma.

    Args:
        grey: (rows, cols), the photo.
        corners_px: (4, 2), from the printed top left, clockwise.
        marker: The target's number in its dictionary.
    """
    sides = np.linalg.norm(corners_px - np.roll(corners_px, -1, axis=0), axis=1)
    asis = FittedCorners(corners_px, _UNFITTED_SIGMA_PX, 0.0)
    if sides.min() < CELLS * _LEAST_CELL_PX:
        return asis
    places, across = _printed_edges(marker)
    square = np.array([[0, 0], [CELLS, 0], [CELLS, CELLS], [0, CELLS]], np.float64)
    grid = cv2.getPerspectiveTransform(
        square.astype(np.float32), corners_px.astype(np.float32)
    ).astype(np.float64)
    rim, residual, normal = 0.0, np.empty(0), np.eye(9)
    for _ in range(_ROUNDS):
        offset, gradient, is_seen = _edges_seen(grey, grid, places, across)
        if is_seen.sum() < _LEAST_EDGES:
            return asis
        step, residual, normal = _step(grid, places[is_seen], gradient[is_seen], offset[is_seen])
        grid = grid + np.append(step[:8], 0.0).reshape(3, 3)
        rim = float(step[8])
    fitted = through(grid, square)
    most = max(_LEAST_DRIFT_PX, _MOST_DRIFT * float(sides.min()) / CELLS)
    if np.linalg.norm(fitted - corners_px, axis=1).max() > most:
        return asis
    return FittedCorners(fitted, _corner_sigma(grid, square, residual, normal), rim)


def _printed_edges(marker: int) -> tuple[Floats, Floats]:
    """Return (N, 2) places on the target's edges, in cells, and unit steps from white to black."""
    is_white = np.pad(white_cells(marker), 1, constant_values=True)
    places, across = [], []
    for row in range(1, CELLS + 1):
        for col in range(CELLS + 1):
            for turned in (False, True):
                seen = is_white.T if turned else is_white
                if seen[row, col] == seen[row, col + 1]:
                    continue
                step = 1.0 if seen[row, col] else -1.0
                for along in _PLACES_ALONG:
                    place, way = (float(col), row - 1 + along), (step, 0.0)
                    places.append(place[::-1] if turned else place)
                    across.append(way[::-1] if turned else way)
    return np.array(places), np.array(across)


def _edges_seen(
    grey: NDArray[np.uint8], grid: Floats, places: Floats, across: Floats
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Return how many px towards black each edge is seen off its place, the way there, and where.

    The edge is where the profile crosses the middle between its two sides.
    """
    here = through(grid, places)
    ahead = through(grid, places + _REACH * across) - here
    reach_px = np.linalg.norm(ahead, axis=1)
    way = ahead / reach_px[:, None]
    steps = np.linspace(-1.0, 1.0, _SAMPLES)
    at = here[:, None] + steps[None, :, None] * ahead[:, None]
    where = at.astype(np.float32)
    profile = cv2.remap(grey, where[..., 0], where[..., 1], cv2.INTER_LINEAR).astype(np.float64)
    bright = np.median(profile[:, : _SAMPLES // 5], axis=1)
    dark = np.median(profile[:, -(_SAMPLES // 5) :], axis=1)
    middle = ((bright + dark) / 2)[:, None]
    falls = (profile[:, :-1] >= middle) & (profile[:, 1:] < middle)
    first = falls.argmax(axis=1)
    rows = np.arange(len(first))
    above, below = profile[rows, first], profile[rows, first + 1]
    share = (above - middle[:, 0]) / np.maximum(above - below, 1e-6)
    offset = (steps[first] + share * (steps[1] - steps[0])) * reach_px
    last = np.array([grey.shape[1] - 1, grey.shape[0] - 1])
    is_inside = ((at >= 0) & (at <= last)).all(axis=(1, 2))
    is_seen = (falls.sum(axis=1) == 1) & (bright - dark > _LEAST_CONTRAST) & is_inside
    return offset, way, is_seen


def _step(
    grid: Floats, places: Floats, way: Floats, offset: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return the change of the grid's map and the white rim, the residuals and normal matrix."""
    x, y = places[:, 0], places[:, 1]
    at = through(grid, places)
    scale = grid[2, 0] * x + grid[2, 1] * y + grid[2, 2]
    zero, one = np.zeros_like(x), np.ones_like(x)
    by_x = np.stack([x, y, one, zero, zero, zero, -at[:, 0] * x, -at[:, 0] * y], axis=1)
    by_y = np.stack([zero, zero, zero, x, y, one, -at[:, 1] * x, -at[:, 1] * y], axis=1)
    moves = (way[:, :1] * by_x + way[:, 1:] * by_y) / scale[:, None]
    terms = np.concatenate([moves, one[:, None]], axis=1)
    size = np.linalg.norm(terms, axis=0)
    weight = np.ones_like(offset)
    step, normal = np.zeros(9), np.eye(9)
    for _ in range(5):
        scaled = terms / size
        normal = scaled.T @ (weight[:, None] * scaled)
        step = np.linalg.solve(normal, scaled.T @ (weight * offset)) / size
        stray = np.abs(offset - terms @ step)
        usual = max(2.0 * float(np.median(stray)), 0.05)
        weight = 1 / (1 + (stray / usual) ** 2)
    return step, offset - terms @ step, normal * np.outer(size, size)


def _corner_sigma(grid: Floats, square: Floats, residual: Floats, normal: Floats) -> float:
    """Return the sigma of one coordinate of a corner, averaged over the four."""
    spread = 1.48 * float(np.median(np.abs(residual)))
    # The places along one edge see the same paper and blur: they count as one.
    of_map = np.linalg.inv(normal)[:8, :8] * spread**2 * len(_PLACES_ALONG)
    found = []
    for x, y in square:
        u, v = through(grid, np.array([[x, y]]))[0]
        scale = grid[2, 0] * x + grid[2, 1] * y + grid[2, 2]
        by = np.array([[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]])
        found.append(np.trace(by @ of_map @ by.T) / scale**2 / 2)
    return max(_LEAST_SIGMA_PX, float(np.sqrt(np.mean(found))))
