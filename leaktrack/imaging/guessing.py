"""Guess, in several ways, where every place of one photo lies in another photo.

Each guess begins with matches or with one flat surface, and then follows the picture: the new photo
is bent that way, light is taken out of both, and optical flow moves what is still off. No guess is
right everywhere; ``weighing`` tells which one to believe where.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.moving import Points, moved, surface, through

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]

LONGEST_PX = 720
"""Of the pictures compared. Own measurement: flow at 1000 px was right less often (63 against 66 %)
and took twice the time; at 500 px it was as often right but less exact."""

STEP_PX = 4
"""Distance of the nodes at which guesses are weighed."""

_LIGHT_PX = 4.0  # own measurement: 2.8, 6, 8, 16 and 30 px did worse
_LEAST_CONTRAST = 9.0  # grey levels squared; less is noise
_COARSE_STEP_PX = 16
_SURFACE_PX = 2.2
_LEAST_ON_SURFACE = 15


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A photo made ready for comparing.

    Attributes:
        flat: (rows, cols) grey without light: local mean 0, local spread 1.
        px: How many px of the full photo are one px here.
    """

    flat: Floats
    px: NDArray[np.float64]

    def to_full(self, points: Points) -> Points:
        """Return (N, 2) points of this picture in px of the full photo."""
        full: Points = (points + 0.5) * self.px - 0.5
        return full

    def to_picture(self, points: Points) -> Points:
        """Return (N, 2) points of the full photo in px of this picture."""
        small: Points = (points + 0.5) / self.px - 0.5
        return small

    def nodes(self) -> Floats:
        """Return (rows, cols, 2): where the nodes lie at which guesses are weighed."""
        rows, cols = self.flat.shape
        across, down = np.meshgrid(np.arange(0, cols, STEP_PX), np.arange(0, rows, STEP_PX))
        return np.stack([across, down], axis=2).astype(np.float32)


@dataclass(frozen=True, slots=True, eq=False)
class Guess:
    """Where every place of the reference lies in the new photo, in px of the two pictures.

    Attributes:
        where: (rows, cols, 2).
        disagreement: (rows, cols) how far from itself a place comes back, there and back again.
    """

    where: Floats
    disagreement: Floats


def picture(rgb: Rgb, size: tuple[int, int]) -> Picture:
    """Return a photo made ready for comparing.

    Args:
        rgb: The upright photo or a smaller decode of it.
        size: Width and height of the full photo.
    """
    rows, cols = rgb.shape[:2]
    scale = min(1.0, LONGEST_PX / max(rows, cols))
    small = (max(16, round(cols * scale)), max(16, round(rows * scale)))
    shrunk = cv2.resize(rgb, small, interpolation=cv2.INTER_AREA).astype(np.float32)
    grey = shrunk.mean(axis=2)
    mean = cv2.GaussianBlur(grey, (0, 0), _LIGHT_PX)
    spread2 = cv2.GaussianBlur(grey * grey, (0, 0), _LIGHT_PX) - mean * mean
    flat = (grey - mean) / np.sqrt(np.maximum(spread2, 0) + _LEAST_CONTRAST)
    return Picture(flat.astype(np.float32), np.array(size, float) / small)


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
    one, other = _eight_bit(reference.flat), _eight_bit(bent(new.flat, start))
    # Any: OpenCV's own types forbid None, which is how its manual calls it.
    flow: Any = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
    forth = np.asarray(flow.calc(one, other, None), np.float32)
    back = np.asarray(flow.calc(other, one, None), np.float32)
    rows, cols = reference.flat.shape
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    target = np.dstack([x + forth[..., 0], y + forth[..., 1]])
    disagreement = np.linalg.norm(forth + bent(back, target), axis=2).astype(np.float32)
    return Guess(bent(start, target), disagreement)


def bent(picture: Floats, where: Floats) -> Floats:
    """Return what a picture shows at the places ``where``; beyond its edges it goes on alike."""
    return np.asarray(
        cv2.remap(
            picture,
            where[..., 0],
            where[..., 1],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        ),
        np.float32,
    )


def _eight_bit(flat: Floats) -> Rgb:
    """Optical flow takes 8 bits: three spreads to either side."""
    return np.clip(flat * 40 + 128, 0, 255).astype(np.uint8)
