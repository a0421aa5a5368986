"""Follow the picture from where places were expected to where they are, by optical flow.

Source:
    T. Kroeger et al., "Fast optical flow using dense inverse search", ECCV 2016.
"""

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.flattening import Floats, Picture, bent
from leaktrack.imaging.carrying.sharing import at_once
from leaktrack.imaging.matching.moving import lengths

_GREY = 40  # optical flow takes 8 bits: three spreads to either side
# Own measurement: 25 steps and a stride of 3 px, as usual, did as well in twice the time; 8 steps,
# or less smoothing afterwards, did worse.
_STEPS = 12
_STRIDE_PX = 4


def flown(here: Picture, there: Picture, expected: Floats) -> tuple[Floats, Floats]:
    """Return where places of a picture are in the same picture of another photo.

    Also how far from itself each place comes back, there and back again: (rows, cols).

    Args:
        here: A picture of the reference photo.
        there: The same of the new photo.
        expected: (rows, cols, 2) where places are expected, in px of ``there``.
    """
    seen = bent(there.flat, expected)
    one, other = _eight_bit(here.flat), _eight_bit(seen)
    # Whether a place comes back shows as well in half of the detail.
    forth, back = at_once(lambda: _flow(one, other, 0), lambda: _flow(other, one, 1))
    rows, cols = here.flat.shape
    down, across = np.mgrid[0:rows, 0:cols].astype(np.float32)
    target = np.dstack([across + forth[..., 0], down + forth[..., 1]])
    disagreement = lengths(forth + bent(back, target)).astype(np.float32)
    return bent(expected, target), disagreement


def _flow(one: NDArray[np.uint8], other: NDArray[np.uint8], finest_scale: int) -> Floats:
    # Any: OpenCV's own types forbid None, which is how its manual calls it.
    flow: Any = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
    flow.setFinestScale(finest_scale)
    flow.setGradientDescentIterations(_STEPS)
    flow.setPatchStride(_STRIDE_PX)
    return np.asarray(flow.calc(one, other, None), np.float32)


def _eight_bit(flat: Floats) -> NDArray[np.uint8]:
    return np.clip(flat * _GREY + 128, 0, 255).astype(np.uint8)
