"""Does a picture of a video really show what was asked for? Matched points and pixels tell.

A glance tells where the picture may lie in the photo. There the photo is drawn as the picture would
show it, turned and as large, so that points are found and matched again where both are alike.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.asking import Wanted
from leaktrack.imaging.footage.comparing import Likeness, likeness
from leaktrack.imaging.matching.agreeing import agreement
from leaktrack.imaging.matching.framing import Window
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher, Rgb
from leaktrack.imaging.matching.moving import Points, surface, through
from leaktrack.model.shapes import BoxPx, PointPx

Plane = NDArray[np.float64]

FRAME_PX, SMALL_PX = 640, 320
"""Longer sides at which points are looked for."""

FRAME_POINTS, SMALL_POINTS = 1024, 384
_GLANCED_POINTS = 768  # of each; own measurement: 0.19 s instead of 0.25 s, and hardly less is seen
_LEAST_ALONG = 8  # matches that one motion must explain to be worth a closer look; own judgement
_ALONG = 0.012  # of the picture's longer side
_ON_SURFACE = 0.006  # of the same
_MARGIN = 0.1  # of the sides of what is laid over, around it
_LEAST_IN_SIGHT = 0.3  # of the part in the picture; own judgement
_LEAST_FILLED = 0.6  # or of the picture on the part; own judgement
_WHOLE = 0.7  # of the picture's longer side; what fills so much is not cut out
_LEAST_OVERLAP_PX = 48
_SHRUNK_BEFORE = 0.6
_NONE: Points = np.empty((0, 2))
_BLUR_PX = 1.5  # grain of a photo, which a video does not have, would be taken for distinct points


@dataclass(frozen=True, slots=True, eq=False)
class Glance:
    """A first look at a picture.

    Attributes:
        frame: The upright picture.
        features: Its points.
        motion: Which matches one motion of the whole photo explains.
    """

    frame: Rgb
    features: Features
    motion: "Motion"

    @property
    def along(self) -> int:
        """How many matches one motion of the whole photo explains."""
        return len(self.motion.here)


@dataclass(frozen=True, slots=True, eq=False)
class Motion:
    """One shift, turn and scale of the whole photo.

    Attributes:
        plane: (3, 3) from px of the photo to px of the picture; None: there is none.
        here: (K, 2) matched places that it explains, in px of the photo.
        there: (K, 2) the same in px of the picture.
        matched: All matches, right or wrong.
    """

    plane: Plane | None
    here: Points
    there: Points
    matched: int


@dataclass(frozen=True, slots=True)
class Evidence:
    """How well one picture of a video agrees with the query.

    Attributes:
        agreeing: Matches that fit each other.
        spread: Over how much of both pictures they lie; see ``Agreement``.
        inside: Those of them that lie on or around the part that matters; none where too little of
            it is in sight, or the one place that must be in sight is not.
        matched: All matches, right or wrong.
        alike: How well pixels agree where the picture and the part that matters lie over each
            other. It does not depend on points.
        in_sight: Share of the part that matters that lies within the picture, 0 to 1.
        place: Where the query's place, or the middle of its box, lies in the picture; None where
            that cannot be told.
        size: Width and height of the picture.
        plane: (3, 3) from px of the photo to px of the picture; None where that cannot be told.
        is_again: Whether it is seen when matched again, and not at a glance only.
    """

    agreeing: int
    spread: float
    inside: int
    matched: int
    alike: Likeness
    in_sight: float
    place: PointPx | None
    size: tuple[int, int]
    plane: Plane | None = None
    is_again: bool = False


def glance(matcher: LearnedMatcher, query: Wanted, frame: Rgb) -> Glance:
    """Look at a picture of a video, upright RGB, only to see where it lies in the photo."""
    features = matcher.features(frame, longest_px=FRAME_PX, most=FRAME_POINTS)
    return Glance(frame, features, _motion(matcher, query.features, features))


def glance_placed(matcher: LearnedMatcher, frame: Rgb, plane: Plane) -> Glance:
    """Return a glance at a picture of which it is known already where it lies in the photo."""
    features = matcher.features(frame, longest_px=FRAME_PX, most=FRAME_POINTS)
    return Glance(frame, features, Motion(plane, _NONE, _NONE, 0))


def second_glance(matcher: LearnedMatcher, query: Wanted, first: Glance) -> Glance:
    """Look again at the picture made small: one that was taken from much nearer matches then."""
    size = first.features.size
    small = matcher.features(first.frame, size, longest_px=SMALL_PX, most=SMALL_POINTS)
    return Glance(first.frame, first.features, _motion(matcher, query.features, small))


def evidence(matcher: LearnedMatcher, query: Wanted, seen: Glance) -> Evidence:
    """Return how well a picture that was glanced at agrees with the query."""
    frame, size, motion = seen.frame, seen.features.size, seen.motion
    window = None if motion.plane is None else _overlap(query.features.size, motion.plane, size)
    if motion.plane is None or window is None:
        return Evidence(0, 0.0, 0, motion.matched, Likeness(), 0.0, None, size)
    here, there, spread, matched = _matched_again(matcher, query, seen, motion.plane, window)
    found = surface(here, there, _ON_SURFACE * max(size)) if len(here) else None
    if found is not None:
        plane, is_again = found[0], True
    elif seen.along:
        plane, is_again = motion.plane, False
        here, there, matched = motion.here, motion.there, motion.matched
        spread = min(_spread(here, query.features.size), _spread(there, size))
    else:
        return Evidence(len(here), spread, 0, matched, Likeness(), 0.0, None, size)
    in_sight, is_shown = shown(query, plane, size)
    inside = int(_is_on(here, query.around).sum()) if is_shown else 0
    place = _place(query, plane)
    alike = likeness(query.rgb, query.features.size, query.around, query.targets, frame, plane)
    return Evidence(
        len(here), spread, inside, matched, alike, in_sight, place, size, plane, is_again
    )


def shown(query: Wanted, plane: Plane, size: tuple[int, int]) -> tuple[float, bool]:
    """Return which share of the part that matters a picture of a size shows; is it enough?

    Enough is so much of the part, or a picture so full of it, and the one place that must be in
    sight.
    """
    screen = BoxPx(-0.5, -0.5, *size)
    in_sight = float(_is_on(through(plane, _grid(query.box)), screen).mean())
    filled = float(_is_on(through(_back(plane), _grid(screen)), query.box).mean())
    is_enough = in_sight >= _LEAST_IN_SIGHT or filled >= _LEAST_FILLED
    if query.place is not None:
        at = through(plane, np.array([[query.place.x, query.place.y]], float))
        is_enough = is_enough and bool(_is_on(at, screen)[0])
    return in_sight, is_enough


def _place(query: Wanted, plane: Plane) -> PointPx:
    box = query.box
    asked = query.place or PointPx(box.left + box.width / 2, box.top + box.height / 2)
    x, y = through(plane, np.array([[asked.x, asked.y]], float))[0].tolist()
    return PointPx(x, y)


def _spread(points: Points, size: tuple[int, int]) -> float:
    """Return over how much of a photo places lie; see ``Agreement``."""
    return float(np.sqrt(max(0.0, np.linalg.det(np.cov((points / max(size)).T)))))


def _motion(matcher: LearnedMatcher, query: Features, frame: Features) -> Motion:
    """Return which matches one shift, turn and scale explains."""
    query, frame = query.strongest(_GLANCED_POINTS), frame.strongest(_GLANCED_POINTS)
    pairs = matcher.matches(query, frame)
    nothing = Motion(None, _NONE, _NONE, len(pairs))
    if len(pairs) < _LEAST_ALONG:
        return nothing
    here, there = query.xy[pairs[:, 0]].astype(float), frame.xy[pairs[:, 1]].astype(float)
    motion, agrees = cv2.estimateAffinePartial2D(
        here, there, method=cv2.RANSAC, ransacReprojThreshold=_ALONG * max(frame.size)
    )
    if motion is None or agrees.sum() < _LEAST_ALONG:
        return nothing
    kept = agrees.ravel() > 0
    return Motion(np.vstack([motion, [0.0, 0.0, 1.0]]), here[kept], there[kept], len(pairs))


def _matched_again(
    matcher: LearnedMatcher, query: Wanted, seen: Glance, plane: Plane, window: Window
) -> tuple[Points, Points, float, int]:
    """Match where they lie over each other, the photo drawn as the picture would show it.

    Returns:
        Places in px of the photo and of the picture that fit each other, their spread, and how many
        matches there were.
    """
    scale = FRAME_PX / max(window.size)
    width, height = (max(32, round(side * scale)) for side in window.size)
    # Where pixels' middles lie: the picture's in what is cut out of it.
    corner = (0.5 - window.corner) * scale - 0.5
    cut = np.array([[scale, 0, corner[0]], [0, scale, corner[1]], [0, 0, 1]])
    to_cut = cut @ plane
    filmed = _cut_out(matcher, seen, window)
    there = Features(
        through(cut, filmed.xy.astype(float)).astype(np.float32),
        filmed.descriptors,
        (width, height),
    )
    drawn = matcher.features(
        _drawn(query, to_cut, (width, height)), longest_px=FRAME_PX, most=FRAME_POINTS
    )
    places = through(_back(to_cut), drawn.xy.astype(float))
    kept = Features(places.astype(np.float32), drawn.descriptors, query.features.size)
    kept = kept.outside(query.targets)
    here = Features(
        through(to_cut, kept.xy.astype(float)).astype(np.float32), kept.descriptors, drawn.size
    )
    pairs = matcher.matches(here, there)
    one, other = here.xy[pairs[:, 0]].astype(float), there.xy[pairs[:, 1]].astype(float)
    points = min(len(here.xy), len(there.xy))
    agreed = agreement(one, other, here.size, there.size, points)
    return (
        kept.xy[pairs[agreed.agrees, 0]].astype(float),
        filmed.xy[pairs[agreed.agrees, 1]].astype(float),
        agreed.spread,
        len(pairs),
    )


def _cut_out(matcher: LearnedMatcher, seen: Glance, window: Window) -> Features:
    """Return the points of a part of the picture, in px of the picture."""
    size = seen.features.size
    if window == Window.whole(size):
        return seen.features
    part = seen.frame[
        window.top : window.top + window.height, window.left : window.left + window.width
    ]
    found = matcher.features(part, longest_px=FRAME_PX, most=FRAME_POINTS)
    xy = (found.xy + window.corner).astype(np.float32)
    return Features(xy, found.descriptors, size)


def _drawn(query: Wanted, to_cut: Plane, size: tuple[int, int]) -> Rgb:
    """Return the photo as a plane puts it into a picture of a size."""
    rgb = query.rgb
    per_px = rgb.shape[1] / query.features.size[0]
    scale = float(np.sqrt(abs(np.linalg.det(to_cut[:2, :2])))) / per_px
    if scale < _SHRUNK_BEFORE:  # else single pixels would stand for many
        small = max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale))
        rgb = cv2.resize(rgb, small, interpolation=cv2.INTER_AREA).astype(np.uint8)
        per_px = rgb.shape[1] / query.features.size[0]
    half = (1 / per_px - 1) / 2
    to_full = np.array([[1 / per_px, 0, half], [0, 1 / per_px, half], [0, 0, 1]])
    drawn = cv2.warpPerspective(rgb, to_cut @ to_full, size, borderMode=cv2.BORDER_REPLICATE)
    return cv2.GaussianBlur(drawn, (0, 0), _BLUR_PX).astype(np.uint8)


def _overlap(photo: tuple[int, int], plane: Plane, size: tuple[int, int]) -> Window | None:
    """Return the part of a picture of a size that a photo lies over; None where it hardly does."""
    corners = through(plane, _grid(BoxPx(-0.5, -0.5, *photo)))
    low, high = corners.min(axis=0), corners.max(axis=0)
    margin = _MARGIN * (high - low)
    low = np.clip(np.floor(low - margin), 0, np.array(size) - 1)
    high = np.clip(np.ceil(high + margin), low + 1, size)
    left, top, right, bottom = (int(side) for side in (*low, *high))
    if min(right - left, bottom - top) < _LEAST_OVERLAP_PX:
        return None
    if max(right - left, bottom - top) >= _WHOLE * max(size):
        return Window.whole(size)
    return Window(left, top, right - left, bottom - top)


def _grid(box: BoxPx) -> Points:
    x, y = np.meshgrid(
        box.left + (np.arange(12) + 0.5) / 12 * box.width,
        box.top + (np.arange(12) + 0.5) / 12 * box.height,
    )
    return np.stack([x.ravel(), y.ravel()], axis=1)


def _back(plane: Plane) -> Plane:
    return np.asarray(np.linalg.inv(plane), np.float64)


def _is_on(points: Points, box: BoxPx) -> NDArray[np.bool_]:
    away = points - (box.left, box.top)
    return np.asarray(((away >= 0) & (away <= (box.width, box.height))).all(axis=1))
