"""Does a picture of a video really show what was asked for? Matched points and pixels tell."""

from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.agreeing import agreement
from leaktrack.imaging.matching.framing import window_seen
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher, Rgb
from leaktrack.imaging.matching.moving import Points, surface, through
from leaktrack.model.shapes import BoxPx, PointPx

QUERY_PX, FRAME_PX, SMALL_PX, PART_PX = (
    800,
    640,
    320,
    640,
)  # longer sides at which points are looked for
QUERY_POINTS, FRAME_POINTS = 1024, 1024
_FEW = 768, 384  # points of query and small frame, enough to see where to look
_LAID_OVER_PX = 480  # longer side at which pixels are compared
_FINE, _COARSE = (1.5, 5.0, 24), (3.0, 12.0, 48)  # px: two blurs, and the side of a cell
_LEAST_CELLS = 3
_LEAST_DETAIL = 2.0  # grey levels; a cell with less shows nothing to compare
_LEAST_SHARE = 0.3  # of the photo's sides; a smaller part is told by what lies around it
_LEAST_IN_SIGHT = 0.3  # of the part in the picture, or of the picture on the part; own judgement
_ON_SURFACE = 0.006  # of the picture's longer side


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """What is looked for: a photo's points.

    Attributes:
        features: Points of the upright photo or of a part of it, in px of the upright photo.
        box: The part that matters, in the same px.
        around: The same with what lies around it, where it is too small to be told by itself.
        place: The one place that must be in sight, or None.
        rgb: The photo, or a smaller decode.
    """

    features: Features
    box: BoxPx
    around: BoxPx
    place: PointPx | None
    rgb: Rgb


@dataclass(frozen=True, slots=True)
class Evidence:
    """How well one picture of a video agrees with the query.

    Attributes:
        agreeing: Matches that fit each other.
        spread: Over how much of both pictures they lie; see ``Agreement``.
        inside: Those of them that lie on or around the part that matters; none where too little of
            it is in sight, or the one place that must be in sight is not.
        matched: All matches, right or wrong.
        alike: Correlation of fine detail where the picture and the part that matters lie over
            each other, the median of small cells, -1 to 1. It does not depend on points, nor on how
            bright it is.
        alike_coarse: The same of coarser detail in larger cells.
        in_sight: Share of the part that matters that lies within the picture, 0 to 1.
        place: Where the query's place, or the middle of its box, lies in the picture; None where
            that cannot be told.
        size: Width and height of the picture.
    """

    agreeing: int
    spread: float
    inside: int
    matched: int
    alike: float
    alike_coarse: float
    in_sight: float
    place: PointPx | None
    size: tuple[int, int]


def wanted(
    matcher: LearnedMatcher,
    rgb: Rgb,
    size: tuple[int, int],
    box: BoxPx | None = None,
    place: PointPx | None = None,
) -> Wanted:
    """Return a query made ready.

    Args:
        matcher: The two networks.
        rgb: The upright photo, or a smaller decode of it.
        size: Width and height of the upright photo.
        box: The part that matters; None: all of it.
        place: The one place that must be in sight.
    """
    kept = box or BoxPx(-0.5, -0.5, *size)
    features = matcher.features(rgb, size, longest_px=QUERY_PX, most=QUERY_POINTS)
    middle = kept if place is None or box is not None else BoxPx(place.x, place.y, 0, 0)
    return Wanted(features, kept, _grown(middle, size), place, rgb)


def evidence(matcher: LearnedMatcher, query: Wanted, frame: Rgb) -> Evidence:
    """Return how well a picture of a video, upright RGB, agrees with the query."""
    size = frame.shape[1], frame.shape[0]
    found = matcher.features(frame, longest_px=FRAME_PX, most=FRAME_POINTS)
    first = _agreed(matcher, query.features, found)
    best = max(first, _nearer(matcher, query, found, first), key=lambda one: one.strength)
    if best.plane is None:  # taken from much nearer: small enough, it matches a part as it is
        small = matcher.features(frame, size, longest_px=SMALL_PX, most=_FEW[1])
        few = query.features.strongest(_FEW[0])
        best = _nearer(matcher, query, found, _agreed(matcher, few, small))
    if best.plane is None:
        return Evidence(best.count, best.spread, 0, best.matched, 0.0, 0.0, 0.0, None, size)
    box, around = query.box, query.around
    is_in = _is_on(best.here, around)
    screen = BoxPx(-0.5, -0.5, *size)
    in_sight = float(_is_on(through(best.plane, _grid(box)), screen).mean())
    filled = float(_is_on(through(_back(best.plane), _grid(screen)), box).mean())
    if max(in_sight, filled) < _LEAST_IN_SIGHT:
        is_in[:] = False
    if query.place is not None:
        at = through(best.plane, np.array([[query.place.x, query.place.y]], float))
        is_in = is_in & _is_on(at, screen)
    asked = query.place or PointPx(box.left + box.width / 2, box.top + box.height / 2)
    x, y = through(best.plane, np.array([[asked.x, asked.y]], float))[0].tolist()
    return Evidence(
        best.count,
        best.spread,
        int(is_in.sum()),
        best.matched,
        *_alike(query, frame, best.plane),
        in_sight,
        PointPx(x, y),
        size,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Agreed:
    """Matches that fit each other, and all of them, in px of the full photo and of the frame."""

    here: Points
    there: Points
    raw: tuple[Points, Points]
    spread: float
    matched: int
    plane: NDArray[np.float64] | None

    @property
    def count(self) -> int:
        return len(self.here)

    @property
    def strength(self) -> float:
        return self.count * self.spread


def _agreed(matcher: LearnedMatcher, query: Features, frame: Features) -> _Agreed:
    pairs = matcher.matches(query, frame)
    here, there = query.xy[pairs[:, 0]].astype(float), frame.xy[pairs[:, 1]].astype(float)
    points = min(len(query.xy), len(frame.xy))
    agreed = agreement(here, there, query.size, frame.size, points)
    right, going = here[agreed.agrees], there[agreed.agrees]
    found = surface(right, going, _ON_SURFACE * max(frame.size)) if len(right) else None
    plane = None if found is None else found[0]
    return _Agreed(right, going, (here, there), agreed.spread, len(pairs), plane)


def _nearer(matcher: LearnedMatcher, query: Wanted, frame: Features, first: _Agreed) -> _Agreed:
    """Match again only the part of the photo that the picture seems to show, at its own size."""
    seen = window_seen(first.raw[1], frame.size, first.raw[0], query.features.size)
    if seen is None:
        return first
    window = seen[1]
    part = window.of(query.rgb, query.features.size, PART_PX)
    features = matcher.features(part, window.size, longest_px=PART_PX, most=FRAME_POINTS)
    found = _agreed(matcher, features, frame)
    moved = np.eye(3)
    moved[:2, 2] = -window.corner
    plane = None if found.plane is None else found.plane @ moved
    return replace(found, here=found.here + window.corner, plane=plane)


def _alike(query: Wanted, frame: Rgb, plane: NDArray[np.float64]) -> tuple[float, float]:
    """Return how well fine and coarse detail agree wherever the frame shows the part that matters.

    A wrong plane may put a row of bolts on another row of bolts, but then all else does not agree.
    """
    rows, cols = frame.shape[:2]
    scale = _LAID_OVER_PX / max(rows, cols)
    size = round(cols * scale), round(rows * scale)
    # Where pixels' middles lie: half a pixel of the small picture is more in the large one.
    half = (1 / scale - 1) / 2
    to_frame = np.array([[1 / scale, 0, half], [0, 1 / scale, half], [0, 0, 1]])
    per_px = query.rgb.shape[1] / query.features.size[0]
    to_decode = np.diag([per_px, per_px, 1.0]) @ _back(plane) @ to_frame
    left, top = max(0, round(query.around.left * per_px)), max(0, round(query.around.top * per_px))
    right = round((query.around.left + query.around.width) * per_px)
    bottom = round((query.around.top + query.around.height) * per_px)
    matters = np.zeros(query.rgb.shape[:2], np.uint8)
    matters[top : max(top + 1, bottom), left : max(left + 1, right)] = 1
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    filmed = _grey(cv2.resize(frame, size, interpolation=cv2.INTER_AREA).astype(np.uint8))
    asked = cv2.warpPerspective(_grey(query.rgb), to_decode, size, flags=flags)
    shown = cv2.warpPerspective(matters, to_decode, size, flags=cv2.WARP_INVERSE_MAP) > 0
    fine, coarse = (
        _correlation(
            cv2.GaussianBlur(filmed, (0, 0), small) - cv2.GaussianBlur(filmed, (0, 0), large),
            cv2.GaussianBlur(asked, (0, 0), small) - cv2.GaussianBlur(asked, (0, 0), large),
            shown,
            cell,
        )
        for small, large, cell in (_FINE, _COARSE)
    )
    return fine, coarse


def _grey(rgb: Rgb) -> NDArray[np.float32]:
    return cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY).astype(np.float32)


def _correlation(
    one: NDArray[Any], other: NDArray[Any], shown: NDArray[np.bool_], side: int
) -> float:
    """Return the median correlation of cells that are shown; 0 where hardly any is."""
    rows, cols = one.shape[0] // side, one.shape[1] // side

    def cells(picture: NDArray[Any]) -> NDArray[np.float64]:
        cut = picture[: rows * side, : cols * side].astype(float)
        return cut.reshape(rows, side, cols, side).swapaxes(1, 2).reshape(rows * cols, side**2)

    here, there = cells(one), cells(other)
    here, there = here - here.mean(1, keepdims=True), there - there.mean(1, keepdims=True)
    strength = here.std(1), there.std(1)
    is_telling = (strength[0] > _LEAST_DETAIL) & (strength[1] > _LEAST_DETAIL)
    is_telling &= cells(shown).min(1) > 0
    if is_telling.sum() < _LEAST_CELLS:
        return 0.0
    found = (here * there).mean(1)[is_telling] / (strength[0] * strength[1])[is_telling]
    return float(np.median(found))


def _grid(box: BoxPx) -> NDArray[np.float64]:
    x, y = np.meshgrid(
        box.left + (np.arange(12) + 0.5) / 12 * box.width,
        box.top + (np.arange(12) + 0.5) / 12 * box.height,
    )
    return np.stack([x.ravel(), y.ravel()], axis=1)


def _back(plane: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.linalg.inv(plane), np.float64)


def _grown(box: BoxPx, size: tuple[int, int]) -> BoxPx:
    """Return a box about the same middle, its sides at least a share of the photo's, within it."""
    sides = []
    for start, length, whole in zip(
        (box.left, box.top), (box.width, box.height), size, strict=True
    ):
        wide = max(length, _LEAST_SHARE * whole)
        first = start + (length - wide) / 2
        first = min(max(first, -0.5), max(-0.5, whole - 0.5 - wide))
        sides.append((first, wide))
    (left, width), (top, height) = sides
    return BoxPx(left, top, width, height)


def _is_on(points: Points, box: BoxPx) -> NDArray[np.bool_]:
    away = points - (box.left, box.top)
    return np.asarray(((away >= 0) & (away <= (box.width, box.height))).all(axis=1))
