"""Two cameras that look at one zone: on which line of the other photo a place lies, how deep.

Where the cameras stood and looked, ``posing`` finds. From then on a place of the one photo can lie
only on one line of the other, and where on it says how deep it is. Lenses are taken as a pinhole
with one term of radial distortion, centred in the photo.

Source:
    R. Hartley, A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition, chapters 9
    and 11 (epipolar lines, first-order distance to them).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points

Floats = NDArray[np.float64]
SomeFloats = NDArray[np.floating]

USUAL_FOCAL = 1.12
"""Of the longest side: a phone's main camera, usually called 26 to 28 mm and cropped to 4:3."""

TOLD_AT_PX = 1000
"""Longest side of a photo in whose px distances are told."""

_PLANE_PX = 1.5
_TRIES = 300
_BEND_ROUNDS = 3
_FAR2 = 2.0  # squared, from the middle, in focal lengths: lenses bend no more beyond


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """Two cameras, seen from the first: where the second stands, where it looks, both lenses.

    Attributes:
        values: (10,) log of both focal lengths over the usual one, both radial distortions, the
            turn as a rotation vector, the shift (of unit length).
        here_size: Width and height of the first photo, in px.
        there_size: Width and height of the second photo, in px.
    """

    values: Floats
    here_size: tuple[int, int]
    there_size: tuple[int, int]

    @property
    def turn(self) -> Floats:
        """Return the (3, 3) rotation from the first camera to the second."""
        return np.asarray(cv2.Rodrigues(self.values[4:7])[0], np.float64)

    @property
    def told_px(self) -> float:
        """Return how many px of the second photo are one px of a photo 1000 px long."""
        return max(self.there_size) / TOLD_AT_PX

    def rays(self, here: Points) -> Floats:
        """Return (N, 3) directions in which (N, 2) places of the first photo lie."""
        return rays(here, self.here_size, self.values[0], self.values[2])

    def rays_there(self, there: Points) -> Floats:
        """Return (N, 3) directions in which (N, 2) places of the second photo lie."""
        return rays(there, self.there_size, self.values[1], self.values[3])

    def seen_there(self, rays: Floats, nearness: Floats) -> Points:
        """Return (N, 2) where places lie in the second photo.

        Args:
            rays: (N, 3) their directions from the first camera.
            nearness: (N,) inverse of their depth, in shifts between the cameras.
        """
        seen: Points = _seen(self.values[None], rays.T[None], nearness, self.there_size)[0].T
        return seen

    def ahead_there(self, rays: Floats) -> Floats:
        """Return (3, N): (N, 3) directions from the first camera as the second one has them."""
        ahead: Floats = self.turn @ rays.T
        return ahead

    def seen_ahead(self, ahead: SomeFloats, nearness: SomeFloats) -> tuple[SomeFloats, SomeFloats]:
        """Return (N,) across and (N,) down what ``seen_there`` does, as precise as what is given.

        Args:
            ahead: (3, N) directions of places as the second camera has them.
            nearness: (N,) inverse of their depth, in shifts between the cameras.
        """
        log_focal, bend = self.values[1], float(self.values[3])
        along_x, along_y, along_z = self.values[7:10].tolist()
        depth = np.maximum(ahead[2] + along_z * nearness, 1e-3)
        across, down = (
            (ahead[0] + along_x * nearness) / depth,
            (ahead[1] + along_y * nearness) / depth,
        )
        focal = float(USUAL_FOCAL * max(self.there_size) * np.exp(log_focal))
        scale = focal * (1 + bend * np.minimum(across * across + down * down, _FAR2))
        width, height = self.there_size
        return across * scale + (width - 1) / 2, down * scale + (height - 1) / 2

    def nearness_there(self, rays: Floats, nearness: Floats) -> Floats:
        """Return (N,) inverse depths as the second camera has them; see ``seen_there``."""
        ahead = rays @ self.turn[2] + nearness * self.values[9]
        there: Floats = nearness / np.maximum(ahead, 1e-3)
        return there

    def nearness(self, here: Points, there: Points) -> Floats:
        """Return (N,) inverse depths, in shifts, at which matched places fit best."""
        ahead, ray = self.rays(here) @ self.turn.T, self.rays_there(there)
        shift = self.values[7:10]
        still = ahead[:, :2] - ray[:, :2] * ahead[:, 2:]
        moving = shift[:2] - ray[:, :2] * shift[2]
        near: Floats = -(still * moving).sum(axis=1) / ((moving**2).sum(axis=1) + 1e-12)
        return near

    def off_line(self, here: Points, there: Points) -> Floats:
        """Return (N,) how far matched places are from fitting, with a sign, at 1000 px.

        The first-order (Sampson) distance from both epipolar lines.
        """
        sizes = (self.here_size, self.there_size)
        off: Floats = off_lines(self.values[None], here, there, *sizes)[0]
        return off


def main_plane(pose: Pose, here: Points, there: Points) -> Floats:
    """Return (3,) the plane that most matches lie on: its product with a ray is the nearness."""
    rays, near = pose.rays(here), pose.nearness(here, there)
    return plane_through(rays, near, px_per_nearness(pose, rays, near))


def plane_through(rays: Floats, near: Floats, px_per_near: float) -> Floats:
    """Return (3,) the plane that most places lie on.

    Args:
        rays: (N, 3) their directions.
        near: (N,) their nearness.
        px_per_near: How many px, told at 1000, places move for each unit of it.
    """
    random = np.random.default_rng(0)
    picks = random.integers(0, len(rays), (_TRIES, 3))
    corners = rays[picks]
    is_sound = np.abs(np.linalg.det(corners)) > 1e-6
    planes = np.linalg.solve(corners[is_sound], near[picks[is_sound]][..., None])[..., 0]
    if not len(planes):
        return np.array([0, 0, float(np.median(near))])
    is_on = np.abs(rays @ planes.T - near[:, None]) * px_per_near < _PLANE_PX
    on = is_on[:, is_on.sum(axis=0).argmax()]
    best, *_ = np.linalg.lstsq(rays[on], near[on], rcond=None)
    return np.asarray(best, np.float64)


def px_per_nearness(pose: Pose, rays: Floats, nearness: Floats) -> float:
    """Return how many px, told at 1000, places move in the second photo for each unit."""
    step = 1e-3
    moved = pose.seen_there(rays, nearness + step) - pose.seen_there(rays, nearness)
    return float(np.median(np.linalg.norm(moved, axis=1))) / step / pose.told_px


def rays(points: Points, size: tuple[int, int], log_focal: float, bend: float) -> Floats:
    """Return (N, 3) directions of (N, 2) places through a lens; see ``Pose.values``."""
    found = _many_rays(points, size, np.array([log_focal]), np.array([bend]))
    return np.ascontiguousarray(found[0].T)


def _many_rays(points: Points, size: tuple[int, int], log_focal: Floats, bend: Floats) -> Floats:
    """Return (V, 3, N) directions of (N, 2) places through each of V lenses."""
    # Of many poses tried, most have the same lens.
    wanted = list(zip(log_focal.tolist(), bend.tolist(), strict=True))
    lenses = list(dict.fromkeys(wanted))
    log_focals, bends = np.array(lenses).T
    focal = USUAL_FOCAL * max(size) * np.exp(log_focals)
    found = np.ones((len(lenses), 3, len(points)))
    flat = np.divide((points - (np.array(size) - 1) / 2).T, focal[:, None, None], out=found[:, :2])
    far2 = flat[:, 0] ** 2 + flat[:, 1] ** 2
    bend_far2 = bends[:, None] * far2
    less = np.ones_like(far2)
    for _ in range(_BEND_ROUNDS):
        less = 1 / (1 + bend_far2 * less * less)
    flat *= less[:, None]
    return found[[lenses.index(lens) for lens in wanted]]


def seen_by(
    values: Floats,
    here: Points,
    nearness: Floats,
    here_size: tuple[int, int],
    there_size: tuple[int, int],
) -> Floats:
    """Return (V, 2, N): where (N, 2) places of known depth lie by each of (V, 10) values of a pose.

    See ``Pose.seen_there``.
    """
    ahead = _many_rays(here, here_size, values[:, 0], values[:, 2])
    return _seen(values, ahead, nearness, there_size)


def _seen(values: Floats, ahead: Floats, nearness: Floats, there_size: tuple[int, int]) -> Floats:
    """Return (V, 2, N): where places in the directions (V, 3, N) lie in the second photo."""
    turns = np.stack([cv2.Rodrigues(turn)[0] for turn in values[:, 4:7]])
    space = turns @ ahead + values[:, 7:10, None] * nearness
    flat = space[:, :2] / np.maximum(space[:, 2:], 1e-3)
    flat *= 1 + values[:, 3, None, None] * np.minimum((flat**2).sum(axis=1, keepdims=True), _FAR2)
    focal = USUAL_FOCAL * max(there_size) * np.exp(values[:, 1, None, None])
    seen: Floats = flat * focal + (np.array(there_size)[:, None] - 1) / 2
    return seen


def off_lines(
    values: Floats,
    here: Points,
    there: Points,
    here_size: tuple[int, int],
    there_size: tuple[int, int],
) -> Floats:
    """Return (V, N) how far matched places are from fitting each of (V, 10) values of a pose."""
    turns = np.stack([cv2.Rodrigues(turn)[0] for turn in values[:, 4:7]])
    # The columns of a turn, each crossed with the shift.
    essential = np.cross(values[:, 7:10, None], turns, axis=1)
    one = _many_rays(here, here_size, values[:, 0], values[:, 2])
    other = _many_rays(there, there_size, values[:, 1], values[:, 3])
    line, back = essential @ one, essential[:, :, :2].transpose(0, 2, 1) @ other
    off: Floats = line[:, 0] * other[:, 0]
    off += line[:, 1] * other[:, 1]
    off += line[:, 2]
    # In place: on arrays as large as these, getting new memory takes as long as the sums.
    np.square(line, out=line)
    np.square(back, out=back)
    steep = line[:, 0]
    for each in (line[:, 1], back[:, 0], back[:, 1], 1e-12):
        steep += each
    off /= np.sqrt(steep, out=steep)
    off *= np.sqrt(2) * USUAL_FOCAL * TOLD_AT_PX * np.exp(values[:, 1:2])
    return off
