"""Turn a map of how likely there is oil into regions, and regions into outlines."""

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.model.shapes import Outline, PointPx

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]
Mask = NDArray[np.uint8]

_LIMITS = (-1.5, 0.0, 1.5, 3.0)
"""Regions are cut at these, in logits: the fainter a film, the lower its whole shape begins."""
_PEAK_ABOVE = 1.0
_MOST_AT_ONCE = 40
_HELD_SHARE = 0.8
_THIN_PX, _THICK_SHARE = 7, 0.6
_SIMPLER_BY_PX = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A region that may be oil.

    Attributes:
        mask: (rows, cols) of its box, 1 inside.
        left: Where the box lies.
        top: Where the box lies.
    """

    mask: Mask
    left: int
    top: int

    @property
    def area_px(self) -> int:
        """How many pixels it has."""
        return int(self.mask.sum())

    def overlaps(self, other: "Candidate") -> bool:
        """Return whether the two share pixels."""
        return self._common_px(other) > 0

    def holds(self, other: "Candidate") -> bool:
        """Return whether nearly all of the other one lies within this one."""
        return self._common_px(other) > _HELD_SHARE * other.area_px

    def trimmed(self) -> "Candidate":
        """Return it without the thin lines that stick out: edges it ran into, such as a joint."""
        padded = cv2.copyMakeBorder(self.mask, *(_THIN_PX,) * 4, cv2.BORDER_CONSTANT, value=0)
        brush = _round(_THIN_PX)
        thick = cv2.morphologyEx(padded, cv2.MORPH_OPEN, brush)
        if thick.sum() < _THICK_SHARE * self.area_px:
            return self
        kept = np.asarray(cv2.bitwise_and(cv2.dilate(thick, brush), padded), np.uint8)
        _, labels, boxes, _ = cv2.connectedComponentsWithStats(kept)
        largest = 1 + int(boxes[1:, cv2.CC_STAT_AREA].argmax())
        mask = (labels == largest)[_THIN_PX:-_THIN_PX, _THIN_PX:-_THIN_PX]
        return Candidate(mask.astype(np.uint8), self.left, self.top)

    def _common_px(self, other: "Candidate") -> int:
        top, left = max(self.top, other.top), max(self.left, other.left)
        bottom = min(self.top + self.mask.shape[0], other.top + other.mask.shape[0])
        right = min(self.left + self.mask.shape[1], other.left + other.mask.shape[1])
        if bottom <= top or right <= left:
            return 0
        mine, theirs = (
            each.mask[top - each.top : bottom - each.top, left - each.left : right - each.left]
            for each in (self, other)
        )
        return int((mine & theirs).sum())


def candidates(logit: Floats, least_px: float) -> Iterator[Candidate]:
    """Yield regions that may be oil, cut at several limits, so one may lie within another.

    Args:
        logit: (rows, cols) log odds of oil.
        least_px: Smaller ones are left out.
    """
    for limit in _LIMITS:
        above = (logit > limit).astype(np.uint8)
        closed = np.asarray(cv2.morphologyEx(above, cv2.MORPH_CLOSE, _round(5)), np.uint8)
        opened = np.asarray(cv2.morphologyEx(closed, cv2.MORPH_OPEN, _round(3)), np.uint8)
        count, labels, boxes, _ = cv2.connectedComponentsWithStats(opened)
        areas = boxes[1:count, cv2.CC_STAT_AREA]
        for label in 1 + np.argsort(-areas)[:_MOST_AT_ONCE]:
            left, top, width, height, area = (int(value) for value in boxes[label])
            if area < least_px:
                break
            box = (slice(top, top + height), slice(left, left + width))
            mask = _filled((labels[box] == label).astype(np.uint8))
            if float(logit[box][mask > 0].max()) > limit + _PEAK_ABOVE:
                yield Candidate(mask, left, top)


def outline_of(region: Candidate, px: float) -> Outline:
    """Return the outline of a region in px of the full photo.

    Args:
        region: At working size.
        px: How many px of the full photo are one px there.
    """
    padded = cv2.copyMakeBorder(region.mask, 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=0)
    return _outline(np.asarray(padded, np.uint8), region.left - 1, region.top - 1, px)


def outlines_of(where: Bools, px: float, least_px: float) -> tuple[Outline, ...]:
    """Return the outlines of all parts of a map that are large enough.

    A part with holes, such as a frame, is slit open to each of them: one outline holds no hole.
    """
    slit = where.astype(np.uint8)
    shapes, tree = cv2.findContours(slit, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    for shape, links in zip(shapes, tree[0] if tree is not None else (), strict=True):
        if links[3] >= 0 and cv2.contourArea(shape) >= least_px:
            x, y = (int(value) for value in shape[shape[:, 0, 1].argmin(), 0])
            slit[_last_gap(where[:, x], y) : y + 1, x : x + 2] = 0
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(slit)
    found = []
    for label in range(1, count):
        left, top, width, height, area = (int(value) for value in boxes[label])
        if area >= least_px:
            part = labels[top : top + height, left : left + width] == label
            found.append(outline_of(Candidate(part.astype(np.uint8), left, top), px))
    return tuple(found)


def _last_gap(column: Bools, row: int) -> int:
    """Return where the run of True that holds or ends at a row begins."""
    gaps = np.flatnonzero(~column[:row])
    return int(gaps[-1]) + 1 if len(gaps) else 0


def _outline(mask: Mask, left: int, top: int, px: float) -> Outline:
    """Return the outline through the outer rims of the pixels, not through their centres."""
    fourfold = cv2.resize(mask, None, fx=4, fy=4, interpolation=cv2.INTER_NEAREST)
    smooth = (cv2.GaussianBlur(fourfold.astype(np.float32), (0, 0), 2.0) > 0.5).astype(np.uint8)
    if not smooth.any():  # so thin that smoothing took it away
        smooth = np.asarray(fourfold, np.uint8)
    # Contours run through the centres of the outermost pixels. One row and column more, and half
    # a pixel back, and they run along their outer rims.
    wide = cv2.dilate(smooth, np.ones((2, 2), np.uint8), anchor=(1, 1))
    shapes, _ = cv2.findContours(wide, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    longest = max(shapes, key=cv2.contourArea)
    corners = cv2.approxPolyDP(longest, 4 * _SIMPLER_BY_PX, closed=True).reshape(-1, 2)
    if len(corners) < 3:
        corners = longest.reshape(-1, 2)
    small = corners / 4 - 0.5 + (left, top)
    return tuple(PointPx(float(x), float(y)) for x, y in (small + 0.5) * px - 0.5)


def _filled(mask: Mask) -> Mask:
    shapes, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = np.zeros_like(mask)
    cv2.drawContours(whole, shapes, -1, 1, -1)
    return whole


def _round(size: int) -> Mask:
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size)), np.uint8)
