"""Guess, in several ways, where every place of one photo lies in another photo.

Each guess begins with matches or with one flat surface, and then follows the picture: the new photo
is bent that way, light is taken out of both, and optical flow moves what is still off. No guess is
right everywhere; ``weighing`` tells which one to believe where.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats, Picture
from leaktrack.imaging.carrying.following import flown
from leaktrack.imaging.matching.moving import Points, moved, surface, through

_COARSE_STEP_PX = 12
_SURFACE_PX = 1.1
_LEAST_ON_SURFACE = 15


@dataclass(frozen=True, slots=True, eq=False)
class Guess:
    """Where every place of the reference lies in the new photo, in px of the two pictures.

    Attributes:
        where: (rows, cols, 2).
        disagreement: (rows, cols) how far from itself a place comes back, there and back again.
    """

    where: Floats
    disagreement: Floats


def by_neighbours(
    reference: Picture, here: Points, there: Points, plane: NDArray[np.float64], neighbours: int
) -> Floats:
    """Return (rows, cols, 2): every place moves with the matches around it."""
    rows, cols = reference.flat.shape
    across = np.arange(0, cols + _COARSE_STEP_PX, _COARSE_STEP_PX)
    down = np.arange(0, rows + _COARSE_STEP_PX, _COARSE_STEP_PX)
    grid = np.stack(np.meshgrid(across, down), axis=2)
    points = grid.reshape(-1, 2).astype(float)
    xy, _, _ = moved(points, here, there, plane, neighbours=neighbours)
    coarse = xy.reshape(grid.shape).astype(np.float32)
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32) / _COARSE_STEP_PX
    return np.asarray(cv2.remap(coarse, x, y, cv2.INTER_LINEAR), np.float32)


def by_surfaces(reference: Picture, here: Points, there: Points, most: int) -> list[Floats]:
    """Return (rows, cols, 2) for each flat surface that enough matches lie on, largest first."""
    rows, cols = reference.flat.shape
    y, x = np.mgrid[0:rows, 0:cols].astype(float)
    everywhere = np.stack([x.ravel(), y.ravel()], axis=1)
    found: list[Floats] = []
    while len(here) >= _LEAST_ON_SURFACE and len(found) < most:
        plane = surface(here, there, _SURFACE_PX)
        if plane is None or plane[1].sum() < _LEAST_ON_SURFACE:
            break
        xy = through(plane[0], everywhere)
        found.append(np.clip(xy, -1e4, 1e4).reshape(rows, cols, 2).astype(np.float32))
        is_left = np.linalg.norm(through(plane[0], here) - there, axis=1) > _SURFACE_PX
        here, there = here[is_left], there[is_left]
    return found


def followed(reference: Picture, new: Picture, start: Floats) -> Guess:
    """Return a guess that begins with ``start``, (rows, cols, 2), and follows the picture."""
    return Guess(*flown(reference, new, start))
