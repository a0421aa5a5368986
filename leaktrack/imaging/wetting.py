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
from leaktrack.imaging.laying import Earlier
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

LEAST_REGION_PX = 45
"""At working size; own judgement: what is smaller has no shape."""

_LEAST_BLIND_PX = 600
_ROWS_AT_ONCE = 128
# Share of a core's odds that a wider region needs to take its place. Own measurement on rendered
# photos: so 88 % of the leaks found overlap by more than 0.6 with their truth, without it 65 %.
_WIDER_AT = 0.12
_SHEET = 1.7  # a target's sheet against its black square
_NEVER = np.float32(-6.0)


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


def _nothing() -> None:
    """Do nothing."""


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
    steps = _Steps(progress, 2 * len(earlier))
    photos = prepared(after, after_width, earlier, joints, steps.tick)
    found = []
    for kind in WetKind:
        evidence = evidence_of(photos, kind, oil_logit, steps.tick)
        for region, chance in _likely(evidence, steps):
            outline = outline_of(region, photos.px)
            found.append(FoundRegion(outline, area_px2(outline), chance, kind))
        steps.done += len(earlier)
    blind = ~photos.is_placed | photos.own.is_burnt
    blind = cv2.morphologyEx(blind.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8)) > 0
    ranked = tuple(sorted(found, key=lambda region: -region.score))
    return Found(ranked, outlines_of(np.asarray(blind), photos.px, _LEAST_BLIND_PX))


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
    own = look(after)
    looks = []
    for one in earlier:
        tick()
        # Where it shows nothing, it is as the later one: no change there.
        looks.append(look(np.where(one.is_placed[..., None], one.rgb, after)))
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


class _Steps:
    """Tells progress, often."""

    def __init__(self, progress: Progress, total: int) -> None:
        self._progress, self._total = progress, total
        self.done = 0

    def tick(self) -> None:
        """Give the user a chance to stop."""
        self._progress(self.done, self._total, "comparing")


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


def _likely(evidence: Evidence, steps: _Steps) -> list[tuple[Candidate, float]]:
    """Return the likeliest regions that do not overlap, with their chances."""
    rated = []
    for region in candidates(evidence.logit, LEAST_REGION_PX):
        rated.append((region, region_chance(region_clues(region, evidence))))
        steps.tick()
    return chosen(rated, LEAST_SCORE)


def chosen(rated: Sequence[tuple[Candidate, float]], least: float) -> list[tuple[Candidate, float]]:
    """Return the likeliest regions that do not overlap, with their chances.

    A region that holds a likely one is taken in its place while it is not much less likely: the
    likeliest part of a film is only its middle.
    """
    found: list[tuple[Candidate, float]] = []
    for core, chance in sorted(rated, key=lambda pair: -pair[1]):
        if chance < least:
            break
        if any(core.overlaps(other) for other, _ in found):
            continue
        whole = core
        for region, its_chance in rated:
            is_likely = _odds(its_chance) >= _odds(chance) * _WIDER_AT
            is_wider = is_likely and region.area_px > whole.area_px and region.holds(core)
            if is_wider and not any(region.overlaps(other) for other, _ in found):
                whole = region
        found.append((whole, chance))
    return found


def _odds(chance: float) -> float:
    return chance / max(1 - chance, 1e-9)


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
