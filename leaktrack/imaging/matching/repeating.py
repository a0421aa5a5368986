"""Which of two ways to lie is right, where a pattern looks the same when it is moved on?

Fins, rows of like bolts or a printed grid match themselves one period on, and such matches agree
with each other and with the surface they lie on. Only at the pattern's ends, and beyond them, the
wrong way brings together what does not look alike: so both ways are compared over all that either
of them covers, and beyond it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.aligning import Alignment, AlignmentState, align
from leaktrack.imaging.matching.learned_matching import Features, Rgb
from leaktrack.imaging.matching.moving import Points, lengths, moved, surface, through

Floats = NDArray[np.float32]
Motion = Callable[[Points], Points]

_LEAST = 20  # matches of one way to lie
_MOST_OTHERS = 3
_MOST_CHANGES = 3
# All of these in parts of the longer side.
_ELSEWHERE = 0.02  # so far from where the alignment puts it a match contradicts
_ON_SURFACE = 0.004
_OF_WAY = 0.012  # so near to where a way to lie puts it a match agrees with it
_BEYOND = 0.05  # so far around its matches a way is compared

_COMPARED_PX = 1000  # longer side of the pictures compared
_HALF_PX = 10  # of a patch
_NOISE = np.float32(1e3)  # summed squares of grey values: what varies less is like nothing
# Own measurement on 84 pairs of rendered engine photos and 26 of a chessboard held into a room. In
# the seven pairs where a pattern repeats, matches of both ways looked alike with 0.75 and more, and
# 45 to 83 of 100 of one way nearly as much so the other way. Where none does, matches contradict
# by chance: with 0.69 at most where more than 25 of 100 did so.
_LIKE = 0.7
_NEARLY = 0.15
_REPEATS = 0.4
# In these seven the right way alone brought together 2.6 times and more as many like places as the
# wrong one alone.
_LOOKS_LIKE = 0.6
_CLEARLY = 1.5


class Way(Enum):
    """Which of two ways to lie shows to be right."""

    OWN = "own"
    OTHER = "other"
    NEITHER = "neither"


@dataclass(frozen=True)
class Shown:
    """A photo whose points were matched.

    Attributes:
        features: Its points.
        rgb: The upright photo or a smaller decode of it.
    """

    features: Features
    rgb: Rgb

    @cached_property
    def points(self) -> Points:
        """(N, 2) its points, in px of the full photo."""
        return self.features.xy.astype(np.float64)

    def at(self, places: Points) -> Floats:
        """Return (N, P) what it shows at (N, P, 2) places of the full photo, about their mean."""
        where = ((places + 0.5) / self.px - 0.5).astype(np.float32)
        seen = cv2.remap(self._grey, where[..., 0], where[..., 1], cv2.INTER_LINEAR)
        about: Floats = seen - seen.mean(axis=1, keepdims=True)
        return about

    @cached_property
    def px(self) -> Points:
        """(2,) how many px of the full photo one px of what is compared is wide and high."""
        return np.array(self.features.size) / self._grey.shape[::-1]

    @cached_property
    def _grey(self) -> Floats:
        grey = cv2.cvtColor(self.rgb, cv2.COLOR_RGB2GRAY)
        scale = min(1.0, _COMPARED_PX / max(grey.shape))
        small = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        return np.asarray(small, np.float32)


def without_repeats(
    alignment: Alignment, reference: Shown, new: Shown, pairs: NDArray[np.int64]
) -> Alignment:
    """Return an alignment made without matches that lie a period on, where some did.

    Where it stays open which way is right, the alignment is unreliable.

    Args:
        alignment: Made from the matches.
        reference: The photo that places are carried from.
        new: The photo they are carried to.
        pairs: (K, 2) the matches.
    """
    for _ in range(_MOST_CHANGES):
        if alignment.state is AlignmentState.FAILED:
            return alignment
        here, there = reference.points[pairs[:, 0]], new.points[pairs[:, 1]]
        alike = [
            (rivals, rivals.better())
            for rivals in _rivals(alignment, reference, new, here, there)
            if rivals.are_alike()
        ]
        wrong = next((rivals for rivals, better in alike if better is Way.OTHER), None)
        if wrong is None:
            is_open = any(better is Way.NEITHER for _, better in alike)
            return _doubted(alignment) if is_open else alignment
        pairs = pairs[~wrong.are_wrong(here, there)]
        alignment = align(reference.features, new.features, pairs)
    return _doubted(alignment)


def _doubted(alignment: Alignment) -> Alignment:
    is_failed = alignment.state is AlignmentState.FAILED
    return alignment if is_failed else replace(alignment, state=AlignmentState.UNRELIABLE)


def _rivals(
    alignment: Alignment, reference: Shown, new: Shown, here: Points, there: Points
) -> "Iterator[_Rivals]":
    """Yield ways for a part to lie that contradict an alignment."""
    longest = max(alignment.size)
    is_left = lengths(_by(alignment)(here) - there) > _ELSEWHERE * longest
    here, there = here[is_left], there[is_left]
    for _ in range(_MOST_OTHERS):
        found = _way(here, there, longest)
        if found is None:
            return
        motion, is_of = found
        is_own = _within(_area(here[is_of], longest), alignment.here)
        if is_own.sum() >= _LEAST:
            own = alignment.here[is_own], alignment.there[is_own]
            yield _Rivals(reference, new, alignment, motion, *own, here[is_of], there[is_of])
        here, there = here[~is_of], there[~is_of]


@dataclass(frozen=True, slots=True, eq=False)
class _Rivals:
    """Two ways for a part of one photo to lie over another photo.

    Attributes:
        own: How all of it lies.
        other: (3, 3) homography that contradicts it there.
        own_here: (N, 2) matched places of the alignment there, in the reference photo.
        own_there: (N, 2) the same in the new photo.
        other_here: (M, 2) matched places of the other way in the reference photo.
        other_there: (M, 2) the same in the new photo.
    """

    reference: Shown
    new: Shown
    own: Alignment
    other: NDArray[np.float64]
    own_here: Points
    own_there: Points
    other_here: Points
    other_there: Points

    def are_alike(self) -> bool:
        """Return whether what matches one way looks nearly as alike the other way."""
        own, other = _by(self.own), _through(self.other)
        shares = []
        for places, way, wrong in ((self.own_here, own, other), (self.other_here, other, own)):
            alike = _likeness(self.reference, self.new, places, way)
            if np.median(alike) < _LIKE:
                return False
            moved_on = _likeness(self.reference, self.new, places, wrong)
            shares.append(float(np.mean(moved_on > alike - _NEARLY)))
        return max(shares) > _REPEATS

    def better(self) -> Way:
        """Return which way alone brings together clearly more of both photos that looks alike."""
        longest = max(self.own.size)
        here = _area(np.concatenate([self.own_here, self.other_here]), longest)
        there = _area(np.concatenate([self.own_there, self.other_there]), longest)
        of_here = self.reference.points[_within(here, self.reference.points)]
        of_there = self.new.points[_within(there, self.new.points)]
        own, other = (
            np.concatenate(
                [
                    _likeness(self.reference, self.new, of_here, forth),
                    _likeness(self.new, self.reference, of_there, back),
                ]
            )
            > _LOOKS_LIKE
            for forth, back in (
                (_by(self.own), _back_by(self.own)),
                (_through(self.other), _through(_inverse(self.other))),
            )
        )
        only_own, only_other = int((own & ~other).sum()), int((other & ~own).sum())
        if only_own > _CLEARLY * only_other:
            return Way.OWN
        return Way.OTHER if only_other > _CLEARLY * only_own else Way.NEITHER

    def are_wrong(self, here: Points, there: Points) -> NDArray[np.bool_]:
        """Return which of (K, 2) matches are wrong if the other way is right.

        They lie elsewhere though the other way looks as alike, or go along with those that do.
        """
        longest = max(self.own.size)
        alike, moved_on = (
            _likeness(self.reference, self.new, here, way)
            for way in (_by(self.own), _through(self.other))
        )
        is_elsewhere = lengths(through(self.other, here) - there) > _OF_WAY * longest
        are_wrong = is_elsewhere & (moved_on > alike - _NEARLY)
        wrong = _way(here[are_wrong], there[are_wrong], longest)
        if wrong is not None:
            goes_along = lengths(through(wrong[0], here) - there) < _OF_WAY * longest
            are_wrong |= is_elsewhere & goes_along
        return np.asarray(are_wrong)


def _way(
    here: Points, there: Points, longest: int
) -> tuple[NDArray[np.float64], NDArray[np.bool_]] | None:
    """Return the homography of most matches, and which these are; None where hardly any agree."""
    found = None if len(here) < _LEAST else surface(here, there, _ON_SURFACE * longest)
    return None if found is None or found[1].sum() < _LEAST else found


def _by(alignment: Alignment) -> Motion:
    return lambda places: moved(places, alignment.here, alignment.there, alignment.plane)[0]


def _back_by(alignment: Alignment) -> Motion:
    back = _inverse(alignment.plane)
    return lambda places: moved(places, alignment.there, alignment.here, back)[0]


def _inverse(plane: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.linalg.inv(plane), np.float64)


def _through(plane: NDArray[np.float64]) -> Motion:
    return lambda places: through(plane, places)


def _likeness(one: Shown, other: Shown, places: Points, way: Motion) -> Floats:
    """Return (N,) correlations of patches around places with where a way to lie takes them."""
    steps = np.arange(-_HALF_PX, _HALF_PX + 1)
    around = np.stack(np.meshgrid(steps, steps), axis=2).reshape(-1, 2) * one.px
    across, down = np.diag(_HALF_PX * one.px)
    slopes = [(way(places + side) - way(places - side)) / 2 / side.sum() for side in (across, down)]
    turned = np.einsum("pi,ink->npk", around, np.stack(slopes))
    seen, over_there = one.at(places[:, None] + around), other.at(way(places)[:, None] + turned)
    power = (seen * seen).sum(axis=1) * (over_there * over_there).sum(axis=1)
    alike: Floats = (seen * over_there).sum(axis=1) / np.sqrt(power + _NOISE * _NOISE)
    return alike


def _area(places: Points, longest: int) -> Points:
    """Return (N, 2) the outline around places, and some way beyond."""
    outline = cv2.convexHull(places.astype(np.float32)).reshape(-1, 2).astype(np.float64)
    away = outline - outline.mean(axis=0)
    far = np.maximum(lengths(away), 1.0)[:, None]
    grown: Points = outline + away / far * _BEYOND * longest
    return grown


def _within(area: Points, places: Points) -> NDArray[np.bool_]:
    outline = area.astype(np.float32).reshape(-1, 1, 2)
    inside = [cv2.pointPolygonTest(outline, (x, y), False) >= 0 for x, y in places.tolist()]
    return np.array(inside, np.bool_)
