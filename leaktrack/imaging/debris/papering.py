"""Where is the paper in a photo of debris, and what does it look like without the debris?"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.model.shapes import PointPx

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

_SHRUNK = 8
# Wider than any particle of note and narrower than a fold of the paper. Own measurement.
_MEDIAN_SHARE = 0.035  # of the paper's shorter side
_LEAST_SHARE = 0.05  # of the photo: less paper is none
_RIM_SHARE = 0.02  # of the paper's shorter side: its edge throws shadows and frays
_TARGET_SHARE = 1.55  # of the black square: its white margin and the card's shadow
# Paper in even light is nowhere darker than this share of its lightest parts; own judgement.
_LIGHT, _LIGHTEST = 0.55, 90
# Structure of a few px that paper does not have, in percent of its lightness, once noise is
# smoothed away. Own measurement: paper, crumpled or oily, to 1.4; cast and machined metal from 2.6.
_COARSE_PX, UNEVEN = 4.0, 2.0
_LIGHTNESS_STEPS = 2.55  # of 8 bits for one of lightness


@dataclass(frozen=True, slots=True, eq=False)
class Paper:
    """The paper in a photo.

    Attributes:
        lab: (rows, cols, 3) CIE L*a*b* of the photo.
        plain: (rows, cols, 3) the same of the paper without debris.
        inside: (rows, cols) where paper can be searched.
    """

    lab: Floats
    plain: Floats
    inside: Mask


def paper_in(rgb: NDArray[np.uint8], target_px: Sequence[PointPx] = ()) -> Paper | None:
    """Return the paper in a photo: the largest light surface; None where there is none.

    Args:
        rgb: The upright photo.
        target_px: Corners of the printed target's black square, which is no debris.
    """
    lab = np.asarray(cv2.cvtColor(rgb.astype(np.float32) / 255, cv2.COLOR_RGB2Lab), np.float32)
    rows, cols = lab.shape[:2]
    size = (max(1, cols // _SHRUNK), max(1, rows // _SHRUNK))
    small = np.asarray(cv2.resize(lab, size, interpolation=cv2.INTER_AREA), np.float32)
    found = _surface(small)
    if found is None:
        return None
    side = min(np.ptp(axis) + 1 for axis in np.nonzero(found))
    rim = max(3, round(side * _RIM_SHARE) * 2 + 1)
    wide, narrow = np.ones((2 * rim, 2 * rim), np.uint8), np.ones((rim, rim), np.uint8)
    inner = cv2.erode(cv2.morphologyEx(found, cv2.MORPH_OPEN, wide), narrow)
    inside = cv2.resize(inner, (cols, rows), interpolation=cv2.INTER_NEAREST)
    if target_px:
        corners = np.array([[point.x, point.y] for point in target_px])
        around = corners.mean(axis=0) + (corners - corners.mean(axis=0)) * _TARGET_SHARE
        cv2.fillPoly(inside, [np.rint(around).astype(np.int32)], 0)
    window = max(5, round(side * _MEDIAN_SHARE)) | 1
    plain = cv2.resize(_median(small, window), (cols, rows), interpolation=cv2.INTER_CUBIC)
    return Paper(lab, np.asarray(plain, np.float32), inside.astype(bool))


def unevenness(paper: Paper) -> float:
    """Return how uneven a surface is between its particles, in percent of its lightness.

    More than ``UNEVEN`` is rather bare metal than paper.
    """
    difference = cv2.GaussianBlur(paper.lab[..., 0] - paper.plain[..., 0], (0, 0), _COARSE_PX)
    inside = difference[paper.inside]
    spread = 1.4826 * float(np.median(np.abs(inside - np.median(inside))))
    return 100 * spread / max(1.0, float(np.median(paper.plain[..., 0][paper.inside])))


def _surface(small: Floats) -> NDArray[np.uint8] | None:
    """Return the largest light area, its holes filled."""
    lightness = np.clip(small[..., 0] * _LIGHTNESS_STEPS, 0, 255).astype(np.uint8)
    calm = cv2.medianBlur(lightness, 5)
    light = (calm > _LIGHT * np.percentile(calm, _LIGHTEST)).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(light)
    if len(stats) < 2:
        return None
    largest = 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())
    if stats[largest, cv2.CC_STAT_AREA] < _LEAST_SHARE * calm.size:
        return None
    mask = (labels == largest).astype(np.uint8)
    edges, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(mask, edges, -1, 1, cv2.FILLED), np.uint8)


def _median(small: Floats, window: int) -> Floats:
    """Return each channel's running median; OpenCV takes 8 bits for large windows."""
    channels = []
    for channel, (factor, zero) in enumerate([(_LIGHTNESS_STEPS, 0), (1, 128), (1, 128)]):
        eight = np.clip(np.rint(small[..., channel] * factor + zero), 0, 255).astype(np.uint8)
        calm = cv2.medianBlur(eight, window).astype(np.float32)
        channels.append(cv2.GaussianBlur((calm - zero) / factor, (0, 0), window / 6))
    return np.stack(channels, axis=2).astype(np.float32)
