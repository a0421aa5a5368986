"""Lay a photo over a picture of a video and compare them pixel by pixel, in small cells.

A plane through matched points is never quite where things are: depth moves them by many pixels
where another surface begins. So the photo is bent to where the matches around each place put it.
What they leave is a few pixels, and the fine detail by which two places of one kind differ is no
wider than that. So it is also drawn after the picture by optical flow, as far as smooth flow can do
that: what is the same then agrees to the finest detail, what is only of one kind does not.

Source:
    T. Kroeger et al., "Fast Optical Flow using Dense Inverse Search", ECCV 2016.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.bending import bent
from leaktrack.imaging.matching.learned_matching import Rgb
from leaktrack.imaging.matching.moving import Points, through
from leaktrack.imaging.measuring.targeting import Square
from leaktrack.model.shapes import BoxPx

Floats = NDArray[np.float32]
Plane = NDArray[np.float64]

LAID_OVER_PX = 480
"""Longer side at which pixels are compared."""

SHEET = 1.7
"""A target's sheet with its margin against its black square, as where points are left out."""

_FINE, _COARSE = (1.5, 5.0, 24), (3.0, 12.0, 48)  # px: two blurs, and the side of a cell
_FLOWING = 1.2, 12.0  # px: what flow is told from
_SMOOTH_PX = 12.0  # flow of single things is no flow of a surface
_LEAST_CELLS = 3
_LEAST_DETAIL = 2.0  # grey levels; a cell with less shows nothing to compare
_NONE: Points = np.empty((0, 2))
_LEAST_FOLLOWED = 1.0  # edges of one kind of part agree anywhere; faint marks only where they are


@dataclass(frozen=True, slots=True)
class Likeness:
    """How well a photo agrees with a picture that it is laid over; each -1 to 1.

    Attributes:
        fine: Correlation of fine detail, the median of small cells. It does not depend on how
            bright it is.
        coarse: The same of coarser detail in larger cells.
        followed: As ``fine``, after the photo was drawn after the picture by smooth flow.
    """

    fine: float = 0.0
    coarse: float = 0.0
    followed: float = 0.0


def likeness(
    photo: Rgb,
    size: tuple[int, int],
    matters: BoxPx,
    left_out: Sequence[Square],
    frame: Rgb,
    plane: Plane,
    matches: tuple[Points, Points] = (_NONE, _NONE),
) -> Likeness:
    """Return how well they agree wherever the picture shows the part of the photo that matters.

    A wrong plane may put a row of bolts on another row of bolts, but then all else does not agree.

    Args:
        photo: The upright photo, or a smaller decode of it.
        size: Width and height of the upright photo; places are in px of that.
        matters: The part that matters.
        left_out: Printed targets, which lie elsewhere each time.
        frame: The upright picture of the video.
        plane: (3, 3) from px of the photo to px of the picture.
        matches: (K, 2) places in px of the photo, and of the picture, that tell what depth moves.
    """
    rows, cols = frame.shape[:2]
    scale = LAID_OVER_PX / max(rows, cols)
    small = round(cols * scale), round(rows * scale)
    # Where pixels' middles lie: half a pixel of the small picture is more in the large one.
    half = (1 / scale - 1) / 2
    to_frame = np.array([[1 / scale, 0, half], [0, 1 / scale, half], [0, 0, 1]])
    per_px = photo.shape[1] / size[0]
    offset = (per_px - 1) / 2
    to_decode = np.array([[per_px, 0, offset], [0, per_px, offset], [0, 0, 1]])
    filmed = _grey(cv2.resize(frame, small, interpolation=cv2.INTER_AREA).astype(np.uint8))
    to_small = np.asarray(np.linalg.inv(to_frame), np.float64)
    here, there = matches
    if len(here):
        here, there = through(to_decode, here), through(to_small, there)
    x, y = bent(filmed.shape, to_small @ plane @ np.linalg.inv(to_decode), here, there)
    asked = cv2.remap(_grey(photo), x, y, cv2.INTER_LINEAR).astype(np.float32)
    mask = _mask(photo.shape[:2], matters, left_out, per_px)
    shown = cv2.remap(mask, x, y, cv2.INTER_NEAREST).astype(np.uint8)
    fine, coarse = (
        _agreement(filmed, asked, shown, *bands, _LEAST_DETAIL) for bands in (_FINE, _COARSE)
    )
    flowed, shown = _drawn_after(filmed, asked, shown)
    return Likeness(fine, coarse, _agreement(filmed, flowed, shown, *_FINE, _LEAST_FOLLOWED))


def _drawn_after(
    filmed: Floats, asked: Floats, shown: NDArray[np.uint8]
) -> tuple[Floats, NDArray[np.uint8]]:
    """Return the photo, and what of it is shown, moved by smooth flow onto the picture."""
    one, other = (_as_bytes(_between(each, *_FLOWING)) for each in (filmed, asked))
    flow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_FAST).calc(
        one, other, np.zeros((*one.shape, 2), np.float32)
    )
    flow = cv2.GaussianBlur(flow, (0, 0), _SMOOTH_PX)
    y, x = np.mgrid[: filmed.shape[0], : filmed.shape[1]].astype(np.float32)
    x, y = x + flow[..., 0], y + flow[..., 1]
    moved = cv2.remap(asked, x, y, cv2.INTER_LINEAR)
    return moved.astype(np.float32), cv2.remap(shown, x, y, cv2.INTER_NEAREST).astype(np.uint8)


def _mask(
    shape: tuple[int, ...], matters: BoxPx, left_out: Sequence[Square], per_px: float
) -> NDArray[np.uint8]:
    """Return 1 where a pixel of the decode counts."""
    mask = np.zeros(shape, np.uint8)
    left, top = max(0, round(matters.left * per_px)), max(0, round(matters.top * per_px))
    right = round((matters.left + matters.width) * per_px)
    bottom = round((matters.top + matters.height) * per_px)
    mask[top : max(top + 1, bottom), left : max(left + 1, right)] = 1
    for square in left_out:
        corners = np.array([[corner.x, corner.y] for corner in square]) * per_px
        middle = corners.mean(axis=0)
        sheet = np.rint(middle + SHEET * (corners - middle)).astype(np.int32)
        cv2.fillConvexPoly(mask, sheet, 0)
    return mask


def _grey(rgb: Rgb) -> Floats:
    return cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY).astype(np.float32)


def _between(grey: Floats, small: float, large: float) -> Floats:
    """Return detail that is wider than one blur and not as wide as the other."""
    fine, wide = (cv2.GaussianBlur(grey, (0, 0), blur) for blur in (small, large))
    return (fine - wide).astype(np.float32)


def _as_bytes(detail: Floats) -> NDArray[np.uint8]:
    reach = 3.0 * float(detail.std()) + 1e-3
    spread = np.clip(127.5 + detail * (127.5 / reach), 0, 255)
    return np.asarray(spread, np.uint8)


def _agreement(
    one: Floats,
    other: Floats,
    shown: NDArray[np.uint8],
    small: float,
    large: float,
    side: int,
    least: float,
) -> float:
    """Return the median correlation of cells that are shown; 0 where hardly any is."""
    one, other = (_between(each, small, large) for each in (one, other))
    rows, cols = one.shape[0] // side, one.shape[1] // side

    def cells(picture: NDArray[Any]) -> NDArray[np.float64]:
        cut = picture[: rows * side, : cols * side].astype(float)
        return cut.reshape(rows, side, cols, side).swapaxes(1, 2).reshape(rows * cols, side**2)

    here, there = cells(one), cells(other)
    here, there = here - here.mean(1, keepdims=True), there - there.mean(1, keepdims=True)
    strength = here.std(1), there.std(1)
    is_telling = (strength[0] > least) & (strength[1] > least)
    is_telling &= cells(shown).min(1) > 0
    if is_telling.sum() < _LEAST_CELLS:
        return 0.0
    found = (here * there).mean(1)[is_telling] / (strength[0] * strength[1])[is_telling]
    return float(np.median(found))
