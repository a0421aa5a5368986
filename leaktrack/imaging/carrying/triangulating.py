"""How did the camera move between two photos of one zone, and how deep does each place lie?

Matched places of two photos fix where the cameras stood and looked. From then on a place of the
one photo can lie only on one line of the other, and where on it says how deep it is. Lenses are
taken as a pinhole with one term of radial distortion, centred in the photo.

Source:
    R. Hartley, A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition, chapters 9
    to 11 (epipolar lines, first-order distance to them, pose from a homography).
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.moving import Points, surface

Floats = NDArray[np.float64]

USUAL_FOCAL = 1.12
"""Of the longest side: a phone's main camera, usually called 26 to 28 mm and cropped to 4:3."""

# Far less than phones' main cameras differ: matches say little about it, and it must not run away
# to please wrong ones. Own measurement: 0.01 and less did well.
_FOCAL_DOUBT = 0.01
_BEND_DOUBT = 0.04  # own judgement: one to two per cent in a phone's corners
_LEAST_MATCHES = 20
_MOST_MATCHES = 700
_TRIED = 4
_SURFACES = 2
_MOST_ROLL = 1.4  # trace of a turn by up to about 75 degrees
_TOLD_AT_PX = 1000  # doubts are px of a photo with that longest side
_STRAY = 4.0  # doubts: a match that far off counts as wrong
_TRY_PX = 2.0
_PLANE_PX = 1.5
_TRIES = 300
_BEND_ROUNDS = 3
_NUDGE = 1e-6  # of a value, to see what a change of it does
_DAMPINGS = np.array([1e-4, 1e-2, 1.0, 100.0])
_SETTLED = 0.9995  # a round that leaves more of the misfit is the last


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
        return max(self.there_size) / _TOLD_AT_PX

    def rays(self, here: Points) -> Floats:
        """Return (N, 3) directions in which (N, 2) places of the first photo lie."""
        return _rays(here, self.here_size, self.values[0], self.values[2])

    def rays_there(self, there: Points) -> Floats:
        """Return (N, 3) directions in which (N, 2) places of the second photo lie."""
        return _rays(there, self.there_size, self.values[1], self.values[3])

    def seen_there(self, rays: Floats, nearness: Floats) -> Points:
        """Return (N, 2) where places lie in the second photo.

        Args:
            rays: (N, 3) their directions from the first camera.
            nearness: (N,) inverse of their depth, in shifts between the cameras.
        """
        space = rays @ self.turn.T + nearness[:, None] * self.values[7:10]
        flat = space[:, :2] / np.maximum(space[:, 2:], 1e-3)
        flat *= 1 + self.values[3] * np.minimum((flat**2).sum(axis=1, keepdims=True), 2.0)
        focal = USUAL_FOCAL * max(self.there_size) * np.exp(self.values[1])
        seen: Points = flat * focal + (np.array(self.there_size) - 1) / 2
        return seen

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
        off: Floats = _off_lines(self.values[None], here, there, *sizes)[0]
        return off


def posed(
    here: Points, there: Points, here_size: tuple[int, int], there_size: tuple[int, int]
) -> Pose | None:
    """Return how the camera moved, from matches of which many may be wrong; None if unknown.

    Args:
        here: (N, 2) matched places of the first photo, in px.
        there: (N, 2) the same places in the second photo.
        here_size: Width and height of the first photo.
        there_size: Width and height of the second photo.
    """
    if len(here) < _LEAST_MATCHES:
        return None
    here, there = _thinned(here, there, _MOST_MATCHES // 2)
    starts = _starts(here, there, here_size, there_size)
    starts.sort(key=lambda start: float(np.median(np.abs(start.off_line(here, there)))))
    tried = [_settled(start, here, there, _TRY_PX, 5) for start in starts[:_TRIED]]
    if not tried:
        return None
    return _settled(min(tried, key=lambda one: one[1])[0], here, there, 1.0, 12)[0]


def reposed(pose: Pose, here: Points, there: Points) -> Pose:
    """Return the pose made exact by more and better matches."""
    return _settled(pose, *_thinned(here, there, _MOST_MATCHES), 0.8, 12)[0]


def main_plane(pose: Pose, here: Points, there: Points) -> Floats:
    """Return (3,) the plane that most matches lie on: its product with a ray is the nearness."""
    rays, near = pose.rays(here), pose.nearness(here, there)
    unit = px_per_nearness(pose, rays, near)
    random = np.random.default_rng(0)
    picks = random.integers(0, len(rays), (_TRIES, 3))
    corners = rays[picks]
    is_sound = np.abs(np.linalg.det(corners)) > 1e-6
    planes = np.linalg.solve(corners[is_sound], near[picks[is_sound]][..., None])[..., 0]
    if not len(planes):
        return np.array([0, 0, float(np.median(near))])
    is_on = np.abs(rays @ planes.T - near[:, None]) * unit < _PLANE_PX
    on = is_on[:, is_on.sum(axis=0).argmax()]
    best, *_ = np.linalg.lstsq(rays[on], near[on], rcond=None)
    return np.asarray(best, np.float64)


def px_per_nearness(pose: Pose, rays: Floats, nearness: Floats) -> float:
    """Return how many px, told at 1000, places move in the second photo for each unit."""
    step = 1e-3
    moved = pose.seen_there(rays, nearness + step) - pose.seen_there(rays, nearness)
    return float(np.median(np.linalg.norm(moved, axis=1))) / step / pose.told_px


def _thinned(here: Points, there: Points, most: int) -> tuple[Points, Points]:
    """Return matches, evenly thinned where more would only take time."""
    step = -(-len(here) // most)
    return here[::step], there[::step]


def _rays(points: Points, size: tuple[int, int], log_focal: float, bend: float) -> Floats:
    rays = _many_rays(points, size, np.array([log_focal]), np.array([bend]))
    return np.ascontiguousarray(rays[0].T)


def _many_rays(points: Points, size: tuple[int, int], log_focal: Floats, bend: Floats) -> Floats:
    """Return (V, 3, N) directions of (N, 2) places through each of V lenses."""
    focal = USUAL_FOCAL * max(size) * np.exp(log_focal)
    bent = (points - (np.array(size) - 1) / 2).T / focal[:, None, None]
    far2 = (bent**2).sum(axis=1)
    less = np.ones_like(far2)
    for _ in range(_BEND_ROUNDS):
        less = 1 / (1 + bend[:, None] * far2 * less**2)
    return np.concatenate([bent * less[:, None], np.ones((len(bent), 1, len(points)))], axis=1)


def _off_lines(
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
    steep = (line[:, :2] ** 2).sum(axis=1) + (back**2).sum(axis=1)
    focal = USUAL_FOCAL * _TOLD_AT_PX * np.exp(values[:, 1:2])
    off: Floats = (line * other).sum(axis=1) / np.sqrt(steep + 1e-12) * np.sqrt(2) * focal
    return off


def _starts(
    here: Points, there: Points, here_size: tuple[int, int], there_size: tuple[int, int]
) -> list[Pose]:
    """Return poses to begin with: those that the largest surfaces and the matches allow."""
    one = _rays(here, here_size, 0.0, 0.0)[:, :2]
    other = _rays(there, there_size, 0.0, 0.0)[:, :2]
    px = 1 / (USUAL_FOCAL * _TOLD_AT_PX)
    moves: list[tuple[Floats, Floats]] = []
    essential, _ = cv2.findEssentialMat(
        one, other, np.eye(3), method=cv2.USAC_MAGSAC, prob=0.999, threshold=_TRY_PX * px
    )
    if essential is not None and essential.shape == (3, 3):
        first, second, shift = cv2.decomposeEssentialMat(essential)
        moves += [(np.asarray(turn), np.asarray(shift)) for turn in (first, second)]
    left = np.ones(len(one), bool)
    for _ in range(_SURFACES):
        found = surface(one[left], other[left], 3.0 * px)
        if found is None:
            break
        _, turns, shifts, _ = cv2.decomposeHomographyMat(found[0], np.eye(3))
        moves += [
            (np.asarray(turn), np.asarray(shift)) for turn, shift in zip(turns, shifts, strict=True)
        ]
        left[np.nonzero(left)[0][found[1]]] = False
        if left.sum() < _LEAST_MATCHES:
            break
    starts = []
    for turn, shift in moves:
        length = float(np.linalg.norm(shift))
        if np.trace(turn) < _MOST_ROLL:
            continue
        along = shift.ravel() / length if length > 1e-9 else np.array([1.0, 0, 0])
        values = np.concatenate([np.zeros(4), cv2.Rodrigues(turn)[0].ravel(), along])
        starts.append(Pose(values, here_size, there_size))
    return starts


def _settled(
    pose: Pose, here: Points, there: Points, doubt_px: float, rounds: int
) -> tuple[Pose, float]:
    """Return the pose after fitting, and how badly it fits.

    Levenberg and Marquardt's method, with several dampings tried at once.
    """
    allowed = np.array([_FOCAL_DOUBT, _FOCAL_DOUBT, _BEND_DOUBT, _BEND_DOUBT, _FOCAL_DOUBT])

    def misfit(values: Floats) -> Floats:
        off = _off_lines(values, here, there, pose.here_size, pose.there_size) / doubt_px
        # A wrong match counts the same however wrong it is (Geman and McClure's estimator).
        calmed = off / np.sqrt(1 + (off / _STRAY) ** 2)
        expected = np.c_[values[:, :4], values[:, 0] - values[:, 1]] / allowed
        unit = 100 * (np.linalg.norm(values[:, 7:10], axis=1, keepdims=True) - 1)
        return np.concatenate([calmed, expected, unit], axis=1)

    values, cost = pose.values, np.inf
    for _ in range(rounds):
        moved = misfit(np.concatenate([values[None], values + _NUDGE * np.eye(len(values))]))
        slopes = (moved[1:] - moved[0]) / _NUDGE
        normal, downhill = slopes @ slopes.T, slopes @ moved[0]
        damped = normal + _DAMPINGS[:, None, None] * np.diag(np.diag(normal) + 1e-9)
        tried = (
            values
            - np.linalg.solve(damped, np.broadcast_to(downhill[:, None], (*damped.shape[:2], 1)))[
                ..., 0
            ]
        )
        costs = (misfit(tried) ** 2).sum(axis=1) / 2
        before, best = float((moved[0] ** 2).sum() / 2), int(costs.argmin())
        cost = min(before, float(costs[best]))
        if cost < before:
            values = tried[best]
        if cost > _SETTLED * before:
            break
    return Pose(values, pose.here_size, pose.there_size), cost
