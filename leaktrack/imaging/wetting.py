"""Find what became wet, and what dried up, between earlier photos of a zone and a later one.

Each earlier photo is bent over the later one and tells, pixel by pixel, how likely there is oil
that was not there. What several earlier photos tell is averaged: a shadow or a glint of one of them
has no say alone. Regions are then weighed as a whole. All of it is a proposal for a person.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.bounding import Candidate, candidates, outline_of, outlines_of
from leaktrack.imaging.contrasting import Look, clues, look
from leaktrack.imaging.moving import Points
from leaktrack.imaging.overlaying import Placing
from leaktrack.imaging.ranking import Evidence, region_clues
from leaktrack.imaging.targeting import Square, squares_seen
from leaktrack.imaging.wet_weights import oil_logit, region_chance
from leaktrack.model.shapes import Outline, PointPx, area_px2
from leaktrack.model.wet_search import WetKind

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]
Progress = Callable[[int, int, str], None]
"""Called with (done, total, what comes next) several times a second; may raise to stop."""

LONGEST_PX = 1200
"""Of the pictures compared: a wet area of 300 px in a photo 2000 px wide still has a hundred."""

LEAST_SCORE = 0.03
"""Less likely regions are not told of; own judgement."""

_LEAST_REGION_PX = 45
_LEAST_UNSEEN_PX = 600
_LEAST_SIDE_PX = 64  # of a picture worth comparing
_LEAST_CONTRAST = 0.02  # of a picture that shows anything, as a spread of stored values
_STEP_PX = 6
_NOT_PLACED_SHARE = 0.05  # of the longest side: the doubt where no place is given
_ROWS_AT_ONCE = 128
_SHEET = 1.7  # a target's sheet against its black square
_NEVER = np.float32(-6.0)


@dataclass(frozen=True, slots=True, eq=False)
class Earlier:
    """An earlier photo as it lies over the later one, at working size.

    Attributes:
        rgb: (rows, cols, 3).
        doubt_px: (rows, cols) one standard deviation of where places lie.
        is_placed: (rows, cols) whether it is known where the place lies, and the photo shows it.
    """

    rgb: Rgb
    doubt_px: Floats
    is_placed: Bools


@dataclass(frozen=True, slots=True)
class FoundRegion:
    """A region that changed.

    Attributes:
        outline: In px of the full later photo.
        area_px: Its area in px of the full later photo.
        score: The chance that it is oil, or was, 0 to 1.
    """

    outline: Outline
    area_px: float
    score: float
    kind: WetKind


@dataclass(frozen=True, slots=True)
class Found:
    """Everything found in one photo.

    Attributes:
        regions: Likeliest first.
        unassessed: Outlines of what nothing can be said about.
    """

    regions: tuple[FoundRegion, ...]
    unassessed: tuple[Outline, ...]


def _silent(done: int, total: int, what: str) -> None:
    """Take note of progress and do nothing."""


def shows_something(rgb: Rgb) -> bool:
    """Return whether a picture is large enough and neither all black nor all white."""
    small = min(rgb.shape[:2]) < _LEAST_SIDE_PX
    return not small and float(rgb[::4, ::4].std()) > _LEAST_CONTRAST * 255


def laid(placing: Placing, before: Rgb, shape: tuple[int, ...], after_width: int) -> Earlier:
    """Return an earlier photo laid over the later one.

    Args:
        placing: Carries places of the later photo to the earlier one; must not have failed.
        before: The earlier photo or a smaller decode of it.
        shape: Rows and columns of the later photo at working size.
        after_width: Width of the full later photo, in px.
    """
    rows, cols = shape[:2]
    px = after_width / cols
    across, down = np.arange(0, cols + _STEP_PX, _STEP_PX), np.arange(0, rows + _STEP_PX, _STEP_PX)
    grid = np.stack(np.meshgrid(across, down), axis=2)
    full: Points = np.asarray((grid.reshape(-1, 2) + 0.5) * px - 0.5, np.float64)
    carried = placing.carry(full)
    places = (placing.places(full) + 0.5) * (before.shape[1] / placing.size[0]) - 0.5
    unknown = _NOT_PLACED_SHARE * max(rows, cols)
    sigma = np.where(np.isfinite(carried.sigma_px), carried.sigma_px / px, unknown)
    table = np.column_stack([places, sigma]).reshape(*grid.shape[:2], 3).astype(np.float32)
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32) / _STEP_PX
    where = np.asarray(cv2.remap(table, x, y, cv2.INTER_LINEAR), np.float32)
    bent = cv2.remap(before, where[..., 0], where[..., 1], cv2.INTER_LINEAR)
    last = np.array([before.shape[1] - 1, before.shape[0] - 1])
    is_inside = ((where[..., :2] >= 0) & (where[..., :2] <= last)).all(axis=2)
    return Earlier(np.asarray(bent, np.uint8), where[..., 2].copy(), np.asarray(is_inside))


def changed_regions(
    after: Rgb,
    after_width: int,
    earlier: Sequence[Earlier],
    joints: Sequence[Sequence[PointPx]] = (),
    progress: Progress = _silent,
) -> Found:
    """Return what became wet and what dried up, likeliest first, and what could not be told.

    Args:
        after: (rows, cols, 3) the later photo, upright, at working size.
        after_width: Width of the full later photo, in px.
        earlier: The earlier photos as they lie over it, newest first; at least one.
        joints: Lines of joints in the later photo, in px of the full photo, where known.
        progress: Called several times a second; may raise to stop.
    """
    px = after_width / after.shape[1]
    own = look(after)
    looks = []
    for number, one in enumerate(earlier):
        progress(number, 3 * len(earlier), "looking at an earlier photo")
        looks.append(look(_filled_in(one, after)))
    sheets = _sheets(after)
    told = _Told(after, own, tuple(earlier), tuple(looks), _joint_distance(joints, own, px), sheets)
    steps = _Steps(progress, len(earlier), 3 * len(earlier))
    found = []
    for kind in WetKind:
        evidence = _evidence(told, kind, steps)
        for region, chance in _likely(evidence, steps):
            outline = outline_of(region, px)
            found.append(FoundRegion(outline, area_px2(outline), chance, kind))
    is_seen = np.any([one.is_placed for one in earlier], axis=0) & ~own.is_burnt
    unseen = cv2.morphologyEx(
        (~is_seen).astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8)
    )
    ranked = sorted(found, key=lambda region: -region.score)
    return Found(tuple(ranked), outlines_of(np.asarray(unseen) > 0, px, _LEAST_UNSEEN_PX))


@dataclass(frozen=True, slots=True, eq=False)
class _Told:
    """What the photos are, ready for comparing."""

    after: Rgb
    own: Look
    earlier: tuple[Earlier, ...]
    looks: tuple[Look, ...]
    joint_distance_px: Floats | None
    sheets: Bools


class _Steps:
    """Tells progress, often."""

    def __init__(self, progress: Progress, done: int, total: int) -> None:
        self._progress, self._done, self._total = progress, done, total

    def next(self) -> None:
        """Note that a large step is done."""
        self._done += 1
        self.tick()

    def tick(self) -> None:
        """Give the user a chance to stop."""
        self._progress(min(self._done, self._total), self._total, "comparing")


def _evidence(told: _Told, kind: WetKind, steps: _Steps) -> Evidence:
    logits = []
    for one, before in zip(told.earlier, told.looks, strict=True):
        pair = (told.own, before) if kind is WetKind.WET else (before, told.own)
        logit = _pixel_logit(*pair, one.doubt_px, steps)
        logit[~one.is_placed] = np.nan
        logits.append(logit)
        steps.next()
    together = mean_logit(logits)
    if kind is WetKind.WET:
        together[told.sheets] = _NEVER
    shown = [one.is_placed.sum() for one in told.earlier]
    best = int(np.argmax(shown))
    pair = (told.own, told.looks[best]) if kind is WetKind.WET else (told.looks[best], told.own)
    is_seen = np.any([one.is_placed for one in told.earlier], axis=0)
    doubt = told.earlier[best].doubt_px
    return Evidence(together, logits, *pair, doubt, np.asarray(is_seen), told.joint_distance_px)


def mean_logit(logits: Sequence[Floats]) -> Floats:
    """Return the mean of what each earlier photo tells; never, where none shows the place."""
    stack = np.stack(list(logits))
    known = np.isfinite(stack)
    total = np.where(known, stack, 0).sum(axis=0)
    mean = np.where(known.any(axis=0), total / np.maximum(known.sum(axis=0), 1), _NEVER)
    return np.asarray(cv2.GaussianBlur(mean.astype(np.float32), (0, 0), 0.8), np.float32)


def _pixel_logit(after: Look, before: Look, doubt_px: Floats, steps: _Steps) -> Floats:
    planes = []
    for plane in clues(after, before, doubt_px):
        planes.append(plane)
        steps.tick()
    rows, cols = doubt_px.shape
    logit = np.empty((rows, cols), np.float32)
    for top in range(0, rows, _ROWS_AT_ONCE):
        part = np.stack([plane[top : top + _ROWS_AT_ONCE].ravel() for plane in planes])
        logit[top : top + _ROWS_AT_ONCE] = oil_logit(part).reshape(-1, cols)
        steps.tick()
    logit[after.is_burnt | before.is_burnt] -= 1
    return logit


def _likely(evidence: Evidence, steps: _Steps) -> list[tuple[Candidate, float]]:
    """Return the likeliest regions that do not overlap, with their chances."""
    rated = []
    for region in candidates(evidence.logit, _LEAST_REGION_PX):
        chance = region_chance(region_clues(region, evidence))
        steps.tick()
        if chance >= LEAST_SCORE:
            rated.append((region, chance))
    chosen: list[tuple[Candidate, float]] = []
    for region, chance in sorted(rated, key=lambda pair: -pair[1]):
        if not any(region.overlaps(other) for other, _ in chosen):
            chosen.append((region, chance))
    return chosen


def _filled_in(one: Earlier, after: Rgb) -> Rgb:
    """Return the earlier photo; where it shows nothing, it is as the later one: no change there."""
    return np.where(one.is_placed[..., None], one.rgb, after)


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
