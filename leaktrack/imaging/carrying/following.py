"""Follow the picture from where places were expected to where they are, by optical flow.

Source:
    T. Kroeger et al., "Fast optical flow using dense inverse search", ECCV 2016.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.correlating import Correlated
from leaktrack.imaging.carrying.flattening import Floats, Picture, bent
from leaktrack.imaging.matching.moving import Points, lengths

_WINDOW_PX = 15
_GREY = 40  # optical flow takes 8 bits: three spreads to either side
_STEPS = (
    12  # own measurement: 25 steps and a stride of 3 px, as usual, did as well in twice the time
)
_STRIDE_PX = 4
_BLOCK_PX = 16
_MOST_DISAGREEMENT_PX = 1.0
_LEAST_LIKENESS = 0.35  # own measurement: from 0.3 to 0.5 did as well
_RIM_PX = 3


@dataclass(frozen=True, slots=True, eq=False)
class Flown:
    """What a picture of the reference photo shows, found in the same picture of the new photo.

    Attributes:
        where: (rows, cols, 2) the places, in px of the new photo's picture.
        moved: (rows, cols) px from where they were expected.
        disagreement: (rows, cols) how far from itself a place comes back, there and back again.
    """

    where: Floats
    moved: Floats
    disagreement: Floats


def flown(here: Picture, there: Picture, expected: Floats) -> Flown:
    """Return where places are, given (rows, cols, 2) where they are expected in ``there``."""
    seen = bent(there.flat, expected)
    one, other = _eight_bit(here.flat), _eight_bit(seen)
    # Whether a place comes back shows as well in half of the detail.
    forth, back = _flow(one, other, 0), _flow(other, one, 1)
    rows, cols = here.flat.shape
    down, across = np.mgrid[0:rows, 0:cols].astype(np.float32)
    target = np.dstack([across + forth[..., 0], down + forth[..., 1]])
    disagreement = lengths(forth + bent(back, target)).astype(np.float32)
    moved = lengths(forth).astype(np.float32)
    return Flown(bent(expected, target), moved, disagreement)


def sure_matches(
    found: Flown, here: Picture, there: Picture, most_px: float
) -> tuple[Points, Points]:
    """Return matches in px of the full photos: of each block the likeliest, where it is likely.

    Args:
        found: Where the picture was followed to.
        here: The reference photo's picture.
        there: The new photo's picture.
        most_px: Places that moved further from where they were expected are not believed.
    """
    rows, cols = found.moved.shape
    last = np.array(there.flat.shape[::-1]) - 1 - _RIM_PX
    likeness = Correlated(here.flat, _WINDOW_PX).to(bent(there.flat, found.where))
    is_good = (
        (found.disagreement < _MOST_DISAGREEMENT_PX)
        & (likeness > _LEAST_LIKENESS)
        & (found.moved < most_px)
        & np.all((found.where > _RIM_PX) & (found.where < last), axis=2)
    )
    score = np.where(is_good, likeness, -1)
    high, wide = rows // _BLOCK_PX, cols // _BLOCK_PX
    blocks = score[: high * _BLOCK_PX, : wide * _BLOCK_PX].reshape(high, _BLOCK_PX, wide, _BLOCK_PX)
    flat = blocks.transpose(0, 2, 1, 3).reshape(high, wide, -1)
    best = flat.argmax(axis=2)
    down = np.arange(high)[:, None] * _BLOCK_PX + best // _BLOCK_PX
    across = np.arange(wide)[None] * _BLOCK_PX + best % _BLOCK_PX
    is_found = flat.max(axis=2) > 0
    down, across = down[is_found], across[is_found]
    one = np.stack([across, down], axis=1).astype(float)
    other = found.where[down, across].astype(float)
    return here.to_full(one), there.to_full(other)


def _flow(one: NDArray[np.uint8], other: NDArray[np.uint8], finest_scale: int) -> Floats:
    # Any: OpenCV's own types forbid None, which is how its manual calls it.
    flow: Any = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
    flow.setFinestScale(finest_scale)
    flow.setGradientDescentIterations(_STEPS)
    flow.setPatchStride(_STRIDE_PX)
    return np.asarray(flow.calc(one, other, None), np.float32)


def _eight_bit(flat: Floats) -> NDArray[np.uint8]:
    return np.clip(flat * _GREY + 128, 0, 255).astype(np.uint8)
