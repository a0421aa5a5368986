"""Which depths may the places of a photo have? Matches tell; some of them are wrong, or missing."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats
from leaktrack.imaging.carrying.triangulating import Pose, px_per_nearness

_MOST_DEPTHS = 120
_LEAST_DEPTHS = 6
_COVERED = (2, 98)  # of what matches say, in hundredths; some of them are wrong
_MOST_DEPTH_PX = 130.0
_MORE_DEPTH = 0.15  # of the range that matches cover, beyond it to either side
_MORE_DEPTH_PX = 8.0
# Matches miss thin things in front, so nearer depths are tried too, as less likely ones. Own
# measurement: of leaves before a cloth one place more in 100 is found so. Tried at no cost, or on
# both sides, they made up to one place more in 100 of 84 pairs of engines wrong.
_NEARER_DEPTH = 0.5
_NEARER_DEPTH_PX = 12.0
_NEARER_COST = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Tries:
    """Depths to try at every node.

    Attributes:
        depths: (D,) offsets of nearness from that of the plane, in even steps.
        cost: (D,) how unlikely each is before anybody looks.
    """

    depths: NDArray[np.float64]
    cost: Floats


def depths_to_try(
    pose: Pose,
    plane: NDArray[np.float64],
    here: NDArray[np.float64],
    there: NDArray[np.float64],
    step_px: float,
) -> Tries:
    """Return depths that cover what matches say, and less likely ones nearer than that.

    Args:
        pose: The two cameras.
        plane: What depths are counted from.
        here: (N, 2) matched places of the reference photo, in px of the full photo.
        there: (N, 2) the same in the new photo.
        step_px: How far places may move between two steps, told at 1000 px.
    """
    rays, near = pose.rays(here), pose.nearness(here, there)
    unit = px_per_nearness(pose, rays, near)
    offsets = near - rays @ plane
    low, high = _range(offsets, unit, _MORE_DEPTH, _MORE_DEPTH_PX)
    _, nearest = _range(offsets, unit, _NEARER_DEPTH, _NEARER_DEPTH_PX)
    depths = _steps(low, nearest, unit, step_px)
    return Tries(depths, np.where(depths > high, _NEARER_COST, 0).astype(np.float32))


def depths_around(
    pose: Pose,
    plane: NDArray[np.float64],
    rays: NDArray[np.float64],
    near: NDArray[np.float64],
    step_px: float,
) -> NDArray[np.float64]:
    """Return offsets of nearness that cover known ones, in even steps.

    Args:
        pose: The two cameras.
        plane: What depths are counted from.
        rays: (N, 3) directions of places.
        near: (N,) their nearness.
        step_px: How far places may move between two steps, told at 1000 px.
    """
    unit = px_per_nearness(pose, rays, near)
    low, high = _range(near - rays @ plane, unit, _MORE_DEPTH, _MORE_DEPTH_PX)
    return _steps(low, high, unit, step_px)


def _range(
    offsets: NDArray[np.float64], unit: float, share: float, px: float
) -> tuple[float, float]:
    """Return the least and the largest offset to try.

    Args:
        offsets: (N,) what is known.
        unit: How many px, told at 1000, one is.
        share: How much beyond the range of these, as a share of it.
        px: And so much more, told at 1000 px.
    """
    low, high = np.percentile(offsets, _COVERED)
    more, most = share * (high - low) + px / unit, _MOST_DEPTH_PX / unit
    return float(max(low - more, -most)), float(min(high + more, most))


def _steps(low: float, high: float, unit: float, step_px: float) -> NDArray[np.float64]:
    count = int(np.clip(np.ceil((high - low) * unit / step_px) + 1, _LEAST_DEPTHS, _MOST_DEPTHS))
    return np.linspace(low, high, count)
