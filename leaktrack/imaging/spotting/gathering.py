"""Gather what speaks for oil, pixel by pixel, from a later photo and earlier ones laid over it.

What several earlier photos tell is averaged: a shadow or a glint of one has no say alone.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.measuring.targeting import Square, squares_seen
from leaktrack.imaging.spotting.contrasting import Look, clues, look
from leaktrack.imaging.spotting.laying import Earlier
from leaktrack.imaging.spotting.ranking import Evidence
from leaktrack.model.shapes import PointPx
from leaktrack.model.wet_search import WetKind

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

_ROWS_AT_ONCE = 128
_SHEET = 1.7  # a target's sheet against its black square
_NEVER = np.float32(-6.0)


def _nothing() -> None:
    """Do nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class Photos:
    """A later photo and earlier ones laid over it, ready for comparing; all at working size.

    Attributes:
        own: The later photo.
        looks: The earlier ones.
        sheets: (rows, cols) where printed targets lie in the later photo.
        px: How many px of the full later photo are one px here.
    """

    own: Look
    earlier: tuple[Earlier, ...]
    looks: tuple[Look, ...]
    sheets: Bools
    joint_distance_px: Floats | None
    px: float

    @property
    def is_placed(self) -> Bools:
        """Where at least one earlier photo shows the place."""
        return np.asarray(np.any([one.is_placed for one in self.earlier], axis=0))


def prepared(
    after: Rgb,
    after_width: int,
    earlier: Sequence[Earlier],
    joints: Sequence[Sequence[PointPx]] = (),
    tick: Callable[[], None] = _nothing,
) -> Photos:
    """Return photos ready for comparing; arguments as of ``changed_regions``."""
    px = after_width / after.shape[1]
    own = look(after, tick)
    looks = []
    for one in earlier:
        tick()
        # Where it shows nothing, it is as the later one: no change there.
        looks.append(look(np.where(one.is_placed[..., None], one.rgb, after), tick))
    distance = _joint_distance(joints, own, px)
    return Photos(own, tuple(earlier), tuple(looks), _sheets(after), distance, px)


def evidence_of(
    photos: Photos,
    kind: WetKind,
    logit_of: Callable[[Floats], Floats],
    tick: Callable[[], None] = _nothing,
) -> Evidence:
    """Return what speaks for oil, pixel by pixel.

    Args:
        photos: Ready for comparing.
        kind: Whether to look for what became wet, or the other way round for what dried up.
        logit_of: From (clues, N) to (N,) log odds of oil.
        tick: Called several times a second; may raise to stop.
    """
    pairs = [
        (photos.own, before) if kind is WetKind.WET else (before, photos.own)
        for before in photos.looks
    ]
    logits = []
    for one, pair in zip(photos.earlier, pairs, strict=True):
        logit = _pixel_logit(*pair, one.doubt_px, logit_of, tick)
        logit[~one.is_placed] = np.nan
        logits.append(logit)
    mean = _mean_logit(logits)
    if kind is WetKind.WET:
        mean[photos.sheets] = _NEVER
    best = int(np.argmax([one.is_placed.sum() for one in photos.earlier]))
    return Evidence(
        mean,
        logits,
        *pairs[best],
        photos.earlier[best].doubt_px,
        photos.is_placed,
        photos.joint_distance_px,
    )


def _mean_logit(logits: Sequence[Floats]) -> Floats:
    """Return the mean of what each earlier photo tells; never, where none shows the place."""
    stack = np.stack(list(logits))
    known = np.isfinite(stack)
    total = np.where(known, stack, 0).sum(axis=0)
    mean = np.where(known.any(axis=0), total / np.maximum(known.sum(axis=0), 1), _NEVER)
    return np.asarray(cv2.GaussianBlur(mean.astype(np.float32), (0, 0), 0.8), np.float32)


def _pixel_logit(
    after: Look,
    before: Look,
    doubt_px: Floats,
    logit_of: Callable[[Floats], Floats],
    tick: Callable[[], None],
) -> Floats:
    planes = []
    for plane in clues(after, before, doubt_px):
        planes.append(plane)
        tick()
    rows, cols = doubt_px.shape
    logit = np.empty((rows, cols), np.float32)
    for top in range(0, rows, _ROWS_AT_ONCE):
        part = np.stack([plane[top : top + _ROWS_AT_ONCE].ravel() for plane in planes])
        logit[top : top + _ROWS_AT_ONCE] = logit_of(part).reshape(-1, cols)
        tick()
    logit[after.is_burnt | before.is_burnt] -= 1
    return logit


def _sheets(rgb: Rgb) -> Bools:
    """Return where printed targets lie, with their paper."""
    where = np.zeros(rgb.shape[:2], np.uint8)
    for square in squares_seen(rgb):
        cv2.fillConvexPoly(where, _sheet(square), 1)
    return where > 0


def _sheet(square: Square) -> NDArray[np.int32]:
    corners = np.array([[corner.x, corner.y] for corner in square])
    middle = corners.mean(axis=0)
    return np.asarray(np.rint(middle + _SHEET * (corners - middle)), np.int32)


def _joint_distance(joints: Sequence[Sequence[PointPx]], own: Look, px: float) -> Floats | None:
    """Return how far each pixel is from the nearest joint line; None where no line is known."""
    if not joints:
        return None
    free = np.ones(own.tone.shape, np.uint8)
    for line in joints:
        full = np.array([[point.x, point.y] for point in line])
        points = np.rint((full + 0.5) / px - 0.5).astype(np.int32)
        cv2.polylines(free, [points.reshape(-1, 1, 2)], isClosed=False, color=0)
    return np.asarray(cv2.distanceTransform(free, cv2.DIST_L2, 3), np.float32)
