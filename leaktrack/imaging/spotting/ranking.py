"""Tell of a region, as a whole, what speaks for oil and what against it."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.spotting.bounding import Candidate
from leaktrack.imaging.spotting.contrasting import Look

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]
Mask = NDArray[np.uint8]

REGION_CLUES = (
    "size",
    "chance inside",
    "highest chance inside",
    "least chance by any photo",
    "chance around",
    "darker than around it",
    "was darker than around it",
    "redder than around it",
    "was redder than around it",
    "yellower than around it",
    "was yellower than around it",
    "sharpness of its rim",
    "sharpness that was there",
    "tall rather than wide",
    "fills its box",
    "fills its hull",
    "rough",
    "was rough",
    "gloss",
    "doubt",
    "cut off",
    "wide at its top",
    "light around it",
    "unevenness of tone",
    "begins at a joint",
)
"""What is told of each region, in the order of ``region_clues``."""

_MARGIN_PX = 12
_GAP_PX, _RING_PX = 2, 8
_TYPICAL_PX = 1000
_AT_JOINT_PX = 12.0
UNKNOWN_JOINT = 0.5
"""What the last clue says where no joint line is known."""


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What regions are judged by; all at working size.

    Attributes:
        logit: (rows, cols) log odds of oil.
        logits: The same by each earlier photo alone; not a number where it does not show the place.
        after: The later photo.
        before: The earlier photo that shows most.
        doubt_px: (rows, cols) of that earlier photo.
        is_seen: (rows, cols) whether anything can be said.
        joint_distance_px: (rows, cols) how far the nearest joint line is; None: no line is known.
    """

    logit: Floats
    logits: Sequence[Floats]
    after: Look
    before: Look
    doubt_px: Floats
    is_seen: Bools
    joint_distance_px: Floats | None = None


def region_clues(region: Candidate, evidence: Evidence) -> Floats:
    """Return (len(REGION_CLUES),): what a region looks like as a whole."""
    inside, ring, rim, box = _parts(region, evidence.logit.shape)
    after, before = evidence.after, evidence.before

    def contrast(picture: Floats) -> float:
        part = picture[box]
        return float(np.median(part[ring]) - np.median(part[inside])) if ring.any() else 0.0

    logit = evidence.logit[box]
    by_each = [_mean(one[box][inside]) for one in evidence.logits]
    height, width = region.mask.shape
    area = region.area_px
    tones = after.tone[box][inside]
    return np.array(
        (
            np.log(area / _TYPICAL_PX),
            logit[inside].mean(),
            np.percentile(logit[inside], 90),
            min(by_each, default=0.0),
            _mean(logit[ring]),
            contrast(after.tone),
            contrast(before.tone),
            -contrast(after.red),
            -contrast(before.red),
            contrast(after.blue),
            contrast(before.blue),
            _mean(after.edge[box][rim]),
            _mean(before.edge[box][rim]),
            np.log(height / width),
            area / (height * width),
            area / max(1.0, _hull_px(region.mask)),
            after.rough[box][inside].mean(),
            before.rough[box][inside].mean(),
            np.percentile(after.gloss[box][inside], 95),
            evidence.doubt_px[box][inside].mean(),
            1 - evidence.is_seen[box][ring].mean() if ring.any() else 1.0,
            _top_share(region.mask),
            _mean(after.tone[box][ring]) - float(np.median(after.tone[::8, ::8])),
            tones.std(),
            _at_joint(region, evidence.joint_distance_px),
        ),
        np.float32,
    )


def _parts(
    region: Candidate, shape: tuple[int, ...]
) -> tuple[Bools, Bools, Bools, tuple[slice, slice]]:
    """Return what is inside, around and on the rim of a region, and the box they are told in."""
    rows, cols = shape
    top, left = max(0, region.top - _MARGIN_PX), max(0, region.left - _MARGIN_PX)
    bottom = min(rows, region.top + region.mask.shape[0] + _MARGIN_PX)
    right = min(cols, region.left + region.mask.shape[1] + _MARGIN_PX)
    mask = np.zeros((bottom - top, right - left), np.uint8)
    down, across = region.top - top, region.left - left
    mask[down : down + region.mask.shape[0], across : across + region.mask.shape[1]] = region.mask
    near = cv2.dilate(mask, np.ones((2 * _GAP_PX + 1,) * 2, np.uint8))
    wide = cv2.dilate(mask, np.ones((2 * _RING_PX + 1,) * 2, np.uint8))
    inner = cv2.erode(mask, np.ones((3, 3), np.uint8))
    outer = cv2.dilate(mask, np.ones((3, 3), np.uint8))
    box = (slice(top, bottom), slice(left, right))
    return mask > 0, (wide > 0) & (near == 0), (outer > 0) & (inner == 0), box


def _mean(values: Floats) -> float:
    """Return the mean of what is known; 0 where nothing is."""
    known = values[np.isfinite(values)]
    return float(known.mean()) if len(known) else 0.0


def _hull_px(mask: Mask) -> float:
    points = np.argwhere(mask)[:, ::-1].astype(np.int32)
    hull = cv2.convexHull(points.reshape(-1, 1, 2))
    return float(cv2.contourArea(hull)) + cv2.arcLength(hull, closed=True) / 2 + 1


def _top_share(mask: Mask) -> float:
    """Return how wide a region is near its top against its usual width, as a logarithm."""
    widths = mask.sum(axis=1).astype(float)
    highest = widths[: max(1, len(widths) // 5)].max()
    return float(np.log((highest + 1) / (np.median(widths) + 1)))


def _at_joint(region: Candidate, distance_px: Floats | None) -> float:
    """Return 1 where a region begins at a joint, towards 0 the farther from one it begins."""
    if distance_px is None:
        return UNKNOWN_JOINT
    height, width = region.mask.shape
    rows = max(1, min(height // 4, 30))
    top = distance_px[region.top : region.top + rows, region.left : region.left + width]
    nearest = float(top[region.mask[:rows] > 0].min())
    return float(np.exp(-nearest / _AT_JOINT_PX))
