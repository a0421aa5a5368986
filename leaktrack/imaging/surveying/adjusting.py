"""Find cameras and depths at once that explain best where the same places lie in several photos.

A bundle adjustment. Each place has one unknown only, its depth in the reference photo, so that the
many depths can be taken out of each step and solved for afterwards.

Source:
    R. Hartley, A. Zisserman, "Multiple View Geometry in Computer Vision", 2nd edition, appendix 6
    (Levenberg and Marquardt's method with a sparse structure); B. Triggs et al., "Bundle
    adjustment: a modern synthesis", 1999 (robust costs, the freedom of scale).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.posing import BEND_DOUBT, FOCAL_DOUBT
from leaktrack.imaging.carrying.triangulating import Pose, seen_by
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.surveying.tying import Ties

Floats = NDArray[np.float64]

_ROUNDS = 6  # with each doubt
_NUDGE = 1e-6  # of a value, to see what a change of it does
_DAMPING, _MORE, _LESS = 1e-3, (1.0, 30.0, 1000.0), 0.1
_SETTLED = 0.9995  # a round that leaves more of the misfit is the last
_NEAREST_SHARE = 1e-4  # of the usual nearness: nothing lies behind the camera

_LENS_DOUBTS = np.array([FOCAL_DOUBT, FOCAL_DOUBT, BEND_DOUBT, BEND_DOUBT])

# The reference photo's lens is one for all poses; the rest each has of its own.
_SHARED, _OWN = (0, 2), (1, 3, 4, 5, 6, 7, 8, 9)


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Cameras and depths found at once.

    Attributes:
        poses: Of each other photo, by its number. The shifts are told in the first one's length.
        nearness: (N,) inverse depths of the places in the same unit.
    """

    poses: dict[int, Pose]
    nearness: Floats


def adjusted(
    block: Block,
    here: Points,
    ties: Sequence[Ties],
    doubts_px: Sequence[float],
    pause: Callable[[], None],
) -> Block:
    """Return the block that explains the ties best, near the one given.

    Args:
        block: To begin with.
        here: (N, 2) the places in the reference photo.
        ties: Of photos that have a pose; their places are indices into ``here``.
        doubts_px: Told at 1000 px: how far places may be off, one after the other. What is off by
            much more counts little (Cauchy's cost).
        pause: Called before each round; may raise to stop.
    """
    for doubt_px in doubts_px:
        problem = _Problem(here, ties, doubt_px, sorted(block.poses))
        cost, damping = problem.cost(block), _DAMPING
        for _ in range(_ROUNDS):
            pause()
            better = problem.better(block, cost, damping)
            if better is None:
                break
            before, (block, cost, damping) = cost, better
            if cost > _SETTLED * before:
                break
    return _of_unit_length(block)


def _of_unit_length(block: Block) -> Block:
    """Return the block in the length of the first shift: from photos no length can be told."""
    length = float(np.linalg.norm(next(iter(block.poses.values())).values[7:10]))
    poses = {}
    for number, pose in block.poses.items():
        values = pose.values.copy()
        values[7:10] /= length
        poses[number] = replace(pose, values=values)
    return Block(poses, block.nearness * length)


@dataclass(frozen=True, slots=True, eq=False)
class _Problem:
    here: Points
    ties: Sequence[Ties]
    doubt_px: float
    photos: list[int]

    def cost(self, block: Block) -> float:
        values = next(iter(block.poses.values())).values
        cost = float(((values[[0, 2]] / _LENS_DOUBTS[[0, 2]]) ** 2).sum())
        for pose in block.poses.values():
            cost += float(((pose.values[[1, 3]] / _LENS_DOUBTS[[1, 3]]) ** 2).sum())
        for ties in self.ties:
            pose, near = block.poses[ties.photo], block.nearness[ties.place]
            seen = seen_by(pose.values[None], self.here[ties.place], near, *_sizes(pose))[0]
            off2 = ((seen - ties.xy.T) ** 2).sum(axis=0) / (self.doubt_px * pose.told_px) ** 2
            cost += self.doubt_px**2 * float(np.log1p(off2).sum())
        return cost

    def better(
        self, block: Block, cost: float, damping: float
    ) -> tuple[Block, float, float] | None:
        """Return a block that costs less, its cost, and the damping for the next step."""
        equations = self._equations(block)
        for more in _MORE:
            tried = damping * more
            moved = self._moved(block, *equations.solved(tried))
            new_cost = self.cost(moved)
            if new_cost < cost:
                return moved, new_cost, max(tried * _LESS, 1e-6)
        return None

    def _moved(self, block: Block, step: Floats, deeper: Floats) -> Block:
        poses = {}
        for number, pose in block.poses.items():
            values = pose.values.copy()
            values -= step[self._columns(number)]
            poses[number] = replace(pose, values=values)
        least = _NEAREST_SHARE * float(np.median(block.nearness))
        return Block(poses, np.maximum(block.nearness - deeper, least))

    def _columns(self, photo: int) -> NDArray[np.int64]:
        """Return where the ten values of a photo's pose stand among all unknowns but depths."""
        columns = np.empty(10, np.int64)
        columns[list(_SHARED)] = (0, 1)
        columns[list(_OWN)] = 2 + 8 * self.photos.index(photo) + np.arange(8)
        return columns

    def _equations(self, block: Block) -> "_Equations":
        sums = _Equations.of_nothing(2 + 8 * len(self.photos), len(self.here))
        for number, pose in block.poses.items():
            lens = self._columns(number)[: len(_LENS_DOUBTS)]
            sums.cameras[lens, lens] = 1 / _LENS_DOUBTS**2
            sums.camera_slopes[lens] = pose.values[: len(lens)] / _LENS_DOUBTS**2
        for ties in self.ties:
            sums.add(
                ties.place, self._columns(ties.photo), *self._slopes(block, ties), self.doubt_px
            )
        return sums

    def _slopes(self, block: Block, ties: Ties) -> tuple[Floats, Floats, Floats]:
        """Return how far ties are off, (2, n), and how (10, 2, n) values and depth move that."""
        pose, here = block.poses[ties.photo], self.here[ties.place]
        near = block.nearness[ties.place]
        values = np.concatenate([pose.values[None], pose.values + _NUDGE * np.eye(10)])
        seen = seen_by(values, here, near, *_sizes(pose)) / pose.told_px
        nudge = _NUDGE * max(float(np.median(block.nearness)), 1e-3)
        deeper = seen_by(pose.values[None], here, near + nudge, *_sizes(pose))[0] / pose.told_px
        off = seen[0] - ties.xy.T / pose.told_px
        return off, (seen[1:] - seen[0]) / _NUDGE, (deeper - seen[0]) / nudge


@dataclass(frozen=True, slots=True, eq=False)
class _Equations:
    """The normal equations of a step, summed up tie by tie.

    Attributes:
        cameras: (U, U) of all unknowns but depths.
        mixed: (U, N) of these with depths.
        depths: (N,) of depths, each of which has to do with itself only.
        camera_slopes: (U,) the right-hand side.
        depth_slopes: (N,) the same.
    """

    cameras: Floats
    mixed: Floats
    depths: Floats
    camera_slopes: Floats
    depth_slopes: Floats

    @classmethod
    def of_nothing(cls, unknowns: int, places: int) -> "_Equations":
        square, wide = np.zeros((unknowns, unknowns)), np.zeros((unknowns, places))
        return cls(square, wide, np.zeros(places), np.zeros(unknowns), np.zeros(places))

    def add(
        self,
        place: NDArray[np.int64],
        columns: NDArray[np.int64],
        off: Floats,
        slopes: Floats,
        by_depth: Floats,
        doubt_px: float,
    ) -> None:
        """Add ties of one photo; see ``_Problem._slopes``."""
        weight = 1 / (1 + (off**2).sum(axis=0) / doubt_px**2)
        heavy = slopes * weight
        self.cameras[np.ix_(columns, columns)] += np.einsum("akn,bkn->ab", heavy, slopes)
        self.mixed[np.ix_(columns, place)] += (heavy * by_depth).sum(axis=1)
        self.depths[place] += (by_depth**2).sum(axis=0) * weight
        self.camera_slopes[columns] += (heavy * off).sum(axis=(1, 2))
        self.depth_slopes[place] += (by_depth * off).sum(axis=0) * weight

    def solved(self, damping: float) -> tuple[Floats, Floats]:
        """Return how much to take off all unknowns but depths, and off depths."""
        cameras = self.cameras + damping * np.diag(np.diag(self.cameras) + 1e-9)
        depths = self.depths * (1 + damping) + 1e-12 * max(self.depths.max(), 1.0)
        without = self.mixed / depths
        right = self.camera_slopes - without @ self.depth_slopes
        step = np.linalg.solve(cameras - without @ self.mixed.T, right)
        return step, (self.depth_slopes - self.mixed.T @ step) / depths


def _sizes(pose: Pose) -> tuple[tuple[int, int], tuple[int, int]]:
    return pose.here_size, pose.there_size
