"""How deep does every place of a photo lie, judged by a second photo of it?

For each place, all depths that come into question are tried: the second photo is bent as if all
places had that depth, and compared. Neighbours mostly lie at like depths, so what one place cannot
tell, those around it do.

Source:
    R. T. Collins, "A space-sweep approach to true multi-image matching", CVPR 1996 (the sweep).
    H. Hirschmueller, "Stereo processing by semiglobal matching and mutual information", IEEE TPAMI
    30(2), 2008 (agreement with neighbours along lines).
"""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.chances import likeness_cost
from leaktrack.imaging.carrying.correlating import Correlated
from leaktrack.imaging.carrying.flattening import Floats, Picture, bent
from leaktrack.imaging.carrying.ranging import Tries
from leaktrack.imaging.carrying.sharing import each_in_turn
from leaktrack.imaging.carrying.triangulating import Pose

STEP_PX = 3
"""Distance of the nodes at which depths are decided, in the largest picture given."""

_WINDOW_PX = 7  # side of the square compared, in each picture

# Own measurement on 20 pairs: from 2 and 10 to 5 and 20 all did within one per cent.
_ONE_STEP = 3.0
_LEAP = 15.0
_UNSEEN = 1.5  # cost where the new photo does not show the place
_OTHER_DEPTH = 3  # steps from the best to the next best that counts as another depth


@dataclass(frozen=True, slots=True, eq=False)
class Depths:
    """Depths at the nodes of the reference photo's largest picture.

    Attributes:
        offset: (rows, cols) nearness less that of the plane.
        cost: (rows, cols) how unlikely this depth is by itself.
        lead: (rows, cols) how much worse the next best other depth fits.
        step: One step of the depths tried.
    """

    offset: Floats
    cost: Floats
    lead: Floats
    step: float


def swept(
    pose: Pose,
    plane: NDArray[np.float64],
    here: tuple[Picture, ...],
    there: tuple[Picture, ...],
    tries: Tries,
    pause: Callable[[], None],
) -> Depths:
    """Return the depth that fits best at every node.

    Args:
        pose: The two cameras.
        plane: (3,) what depths are counted from: its product with a ray is a nearness.
        here: The reference photo, largest picture first.
        there: The new photo.
        tries: Which depths to try.
        pause: Called before each depth; may raise to stop.
    """
    cost = unlikeliness(likenesses(pose, plane, here, there, tries.depths, pause))
    return decided(cost + tries.cost[:, None, None], tries.depths)


def unlikeliness(likeness: Floats) -> Floats:
    """Return (depths, rows, cols) costs of depths from (levels, depths, rows, cols) likenesses."""
    cost = likeness_cost(np.nan_to_num(likeness))
    cost[np.isnan(likeness).any(axis=0)] = _UNSEEN
    return cost


def decided(cost: Floats, depths: NDArray[np.float64]) -> Depths:
    """Return the depth of each node on which it and those around it agree.

    Args:
        cost: (depths, rows, cols) how unlikely each depth is at each node by itself.
        depths: Offsets of nearness, in even steps.
    """
    total = _agreed(cost)
    best = total.argmin(axis=0)
    offset = depths[0] + (best + _between(total, best)) * (depths[1] - depths[0])
    down, across = np.indices(best.shape)
    return Depths(
        offset.astype(np.float32),
        cost[best, down, across],
        _lead(total, best),
        float(depths[1] - depths[0]),
    )


def likenesses(
    pose: Pose,
    plane: NDArray[np.float64],
    here: tuple[Picture, ...],
    there: tuple[Picture, ...],
    depths: NDArray[np.float64],
    pause: Callable[[], None],
) -> Floats:
    """Return (levels, depths, rows, cols): how alike both photos are at the nodes, -1 to 1.

    Not a number where the new photo does not show the place.
    """
    nodes = here[0].nodes(STEP_PX)
    rows, cols = nodes.shape[:2]
    full = here[0].to_full(nodes.reshape(-1, 2).astype(float))
    rays = pose.rays(full)
    # Single precision is exact to a thousandth of a pixel, and twice as fast.
    ahead, base = pose.ahead_there(rays).astype(np.float32), (rays @ plane).astype(np.float32)
    sides = [_Side(one, here[0], full) for one in here]
    width, height = pose.there_size
    found = np.empty((len(here), len(depths), rows, cols), np.float32)

    def try_depth(index: int) -> None:
        across, down = pose.seen_ahead(ahead, base + np.float32(depths[index]))
        across, down = across.reshape(rows, cols), down.reshape(rows, cols)
        is_seen = (across > 0) & (across < width - 1) & (down > 0) & (down < height - 1)
        for level, (side, other) in enumerate(zip(sides, there, strict=True)):
            px_x, px_y = other.px.tolist()
            where = (across + 0.5) / px_x - 0.5, (down + 0.5) / px_y - 0.5
            found[level, index] = side.likeness(other.flat, where)
        found[:, index, ~is_seen] = np.nan

    each_in_turn(try_depth, range(len(depths)), pause)
    return found


def at_pixels(nodes: Floats, picture: Picture, swept_in: Picture) -> Floats:
    """Return the values at nodes for every pixel of another picture of the same photo.

    Args:
        nodes: (rows, cols) of the nodes of ``swept_in``.
        picture: Whose pixels are asked for.
        swept_in: The picture that has the nodes.
    """
    shrunk = picture.px / swept_in.px
    lie = np.c_[np.diag(shrunk), (shrunk - 1) / 2] / STEP_PX
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    size = picture.flat.shape[::-1]
    spread = cv2.warpAffine(nodes, lie, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(spread, np.float32)


class _Side:
    """One picture of the reference photo, ready to be compared with many bent ones."""

    def __init__(self, picture: Picture, largest: Picture, full: NDArray[np.float64]) -> None:
        rows, cols = largest.nodes(STEP_PX).shape[:2]
        self._picture, self._largest = picture, largest
        self._nodes = picture.to_picture(full).reshape(rows, cols, 2).astype(np.float32)
        # Every node of the largest picture is one of its pixels.
        self._flat = Correlated(picture.flat, _WINDOW_PX, STEP_PX if picture is largest else 1)

    def likeness(self, other: Floats, where: tuple[Floats, Floats]) -> Floats:
        """Return how alike the surroundings of the nodes are when nodes lie across and down so."""
        # One after the other: OpenCV is several times slower with both at once.
        across, down = (at_pixels(each, self._picture, self._largest) for each in where)
        shown = cv2.remap(other, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        alike = self._flat.to(np.asarray(shown, np.float32))
        return alike if self._picture is self._largest else bent(alike, self._nodes)


def _agreed(cost: Floats) -> Floats:
    """Return (depths, rows, cols) costs with those of all nodes on four lines through each."""
    down = np.ascontiguousarray(cost.transpose(1, 0, 2))
    across = np.ascontiguousarray(cost.transpose(2, 0, 1))
    total = _along(down) + _along(down[::-1])[::-1]
    turned = _along(across) + _along(across[::-1])[::-1]
    agreed: Floats = total.transpose(1, 0, 2) + turned.transpose(1, 2, 0)
    return agreed


def _along(cost: Floats) -> Floats:
    """Return costs with the cheapest path to each node along the first axis; depths on the next."""
    paid = np.empty(cost.shape, np.float32)
    paid[0] = before = cost[0]
    for index in range(1, len(cost)):
        least = before.min(axis=0)
        cheapest = np.minimum(before, least + np.float32(_LEAP))
        np.minimum(cheapest[1:], before[:-1] + np.float32(_ONE_STEP), out=cheapest[1:])
        np.minimum(cheapest[:-1], before[1:] + np.float32(_ONE_STEP), out=cheapest[:-1])
        before = cost[index] + cheapest - least
        paid[index] = before
    return paid


def _lead(total: Floats, best: NDArray[np.int64]) -> Floats:
    """Return how much more the cheapest clearly other depth costs."""
    is_other = np.abs(np.arange(len(total))[:, None, None] - best) > _OTHER_DEPTH
    others = np.where(is_other, total, np.inf).min(axis=0)
    lead: Floats = np.minimum(others - total.min(axis=0), np.float32(1e3)).astype(np.float32)
    return lead


def _between(total: Floats, best: NDArray[np.int64]) -> Floats:
    """Return how far beyond the best step the true least lies, by a parabola, -0.5 to 0.5."""
    inner = np.clip(best, 1, len(total) - 2)
    before, at, after = (np.take_along_axis(total, (inner + by)[None], 0)[0] for by in (-1, 0, 1))
    bend = before - 2 * at + after
    beyond = np.where(bend > 1e-6, (before - after) / 2 / np.maximum(bend, 1e-6), 0)
    between: Floats = np.where(inner == best, np.clip(beyond, -0.5, 0.5), 0).astype(np.float32)
    return between
