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
from leaktrack.imaging.footage.redrawing import FRAME_POINTS, FRAME_PX, matched_again
from leaktrack.imaging.matching.agreeing import spread
from leaktrack.imaging.matching.framing import Window
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher, Rgb
from leaktrack.imaging.matching.moving import Points, surface, through
from leaktrack.model.shapes import BoxPx, PointPx

Plane = NDArray[np.float64]

SMALL_PX, SMALL_POINTS = 320, 384
# Own measurement, 38 pictures of four films that show what was asked for: all 1024 points of
# both see 29 of them in 0.19 s, 768 of both 29 in 0.13 s, these 30 in 0.09 s.
_ASKED_AT_A_GLANCE, _SEEN_AT_A_GLANCE = 768, 512  # points of the photo, and of the picture
_LEAST_ALONG = 8  # matches that one motion must explain to be worth a closer look; own judgement
_ALONG = 0.012  # of the picture's longer side
_ON_SURFACE, _ROUGHLY = 0.006, 0.02  # of the same
_MARGIN = 0.1  # of the sides of what is laid over, around it
_LEAST_IN_SIGHT = 0.3  # of the part in the picture; own judgement
_LEAST_FILLED = 0.6  # or of the picture on the part; own judgement
_WHOLE = 0.7  # of the picture's longer side; what fills so much is not cut out
_LEAST_OVERLAP_PX = 48
_NONE: Points = np.empty((0, 2))


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
        inside: Those of them that lie on or around the part that matters, or those that move like
            their neighbours if these are more; none where too little of it is in sight, or the one
            place that must be in sight is not.
        matched: All matches, right or wrong.
        alike: How well pixels agree where the picture and the part that matters lie over each
            other. It does not depend on points.
        in_sight: Share of the part that matters that lies within the picture, 0 to 1.
        place: Where the query's place, or the middle of its box, lies in the picture; None where
            that cannot be told.
        size: Width and height of the picture.
        plane: (3, 3) from px of the photo to px of the picture; None where that cannot be told.
        is_again: Whether it is seen when matched again, and not at a glance only.
        along: Matches that move like their neighbours, at any depth, times their spread. A like
            part brings such matches too, but what is around it does not.
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
    along: float = 0.0


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
    again = matched_again(matcher, query, frame, seen.features, motion.plane, window)
    here, there, wide, matched = again.here, again.there, again.spread, again.matched
    found = _planes(here, there, max(size)) if len(here) else None
    is_again = found is not None
    if found is None and seen.along:
        found, matched = (motion.plane, motion.plane), motion.matched
        here, there = motion.here, motion.there
        wide = min(spread(here, max(query.features.size)), spread(there, max(size)))
    if found is None:
        return Evidence(len(here), wide, 0, matched, Likeness(), 0.0, None, size)
    plane, rough = found
    in_sight, is_shown = shown(query, rough, size)
    along = again.along if is_again else (_NONE, _NONE)
    # What matters may lie on another surface than most of what fits each other.
    on_it = max(int(_is_on(each, query.around).sum()) for each in (here, along[0]))
    inside = on_it if is_shown else 0
    place = _place(query, plane)
    alike = likeness(
        query.rgb, query.features.size, query.around, query.targets, frame, plane, along
    )
    return Evidence(
        len(here),
        wide,
        inside,
        matched,
        alike,
        in_sight,
        place,
        size,
        rough,
        is_again,
        len(along[0]) * again.along_spread,
    )


def _planes(here: Points, there: Points, longest: int) -> tuple[Plane, Plane] | None:
    """Return the surface on which most matches lie, and a rough motion without perspective.

    Where depth moves things, the surface fits few of them, and beyond those its perspective is
    wild: whether something is in sight is told by the motion, and where no surface is sane, so is
    all else.
    """
    found = surface(here, there, _ON_SURFACE * longest)
    motion, _ = cv2.estimateAffine2D(
        here, there, method=cv2.RANSAC, ransacReprojThreshold=_ROUGHLY * longest
    )
    if motion is None:
        return None
    rough = np.vstack([motion, [0.0, 0.0, 1.0]])
    return rough if found is None else found[0], rough


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


def _motion(matcher: LearnedMatcher, query: Features, frame: Features) -> Motion:
    """Return which matches one shift, turn and scale explains."""
    query, frame = query.strongest(_ASKED_AT_A_GLANCE), frame.strongest(_SEEN_AT_A_GLANCE)
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
