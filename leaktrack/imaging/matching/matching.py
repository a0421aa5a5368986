"""Find matches between two photos, also where one lies on its side or was taken from far away.

The trained networks see nearly all pairs at the first look. Only where what they find does not
agree, more is tried: more points, the photo turned, a part of one photo against all of the other,
and features that need no training. What agrees best wins; if that is not enough, or if a mirrored
photo agrees just as well, nothing is returned: no match is better than an invented one.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.agreeing import SURE_SCORE, Agreement, agreement
from leaktrack.imaging.matching.framing import Window, window_seen
from leaktrack.imaging.matching.gradient_matching import gradient_features, gradient_matches
from leaktrack.imaging.matching.learned_matching import (
    MOST_POINTS,
    NETWORK_WIDTH_PX,
    Features,
    LearnedMatcher,
    Rgb,
)
from leaktrack.imaging.matching.moving import Points
from leaktrack.imaging.matching.turning import QUARTER_TURNS, features_turned, turned
from leaktrack.imaging.measuring.targeting import Square, squares_seen

DECODED_PX = 1600
"""Longer side at which photos are looked at; a large JPEG is decoded faster at reduced size."""

_ENOUGH = 150  # agreeing matches; own measurement: with fewer, twice as many points are worth it
_MORE_POINTS = 4096
_PROMISING = 30  # agreeing matches; own measurement: 42 pairs of one zone had 70 and more
_FEW_POINTS = 1024  # to find out which way is up
_SHRUNK = (2, 4)
_GRADIENTS_PX = 1000  # longer side
_MUCH_NEARER = 1.4  # a photo shows that much more along its longer side, with the margin


class MatchSource(Enum):
    """What found the matches."""

    LEARNED = "learned"
    GRADIENTS = "gradients"
    NOTHING = "nothing"


@dataclass(frozen=True, eq=False)
class Sight:
    """A photo, ready to be matched.

    Attributes:
        features: Its points, those on printed targets left out.
        read: Returns the upright photo, shrunk to that longer side, never enlarged.
    """

    features: Features
    read: Callable[[int], Rgb]

    @cached_property
    def squares(self) -> list[Square]:
        """The printed targets that it shows, in px of the full photo."""
        rgb = self.seen()
        return squares_seen(rgb, self.size[0] / rgb.shape[1])

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the full upright photo."""
        return self.features.size

    def seen(self, window: Window | None = None) -> Rgb:
        """Return what it or a window of it shows, as large as photos are looked at."""
        if window is None:
            return self.read(DECODED_PX)
        share = max(window.size) / max(self.size)
        return window.of(self.read(round(DECODED_PX / share)), self.size, DECODED_PX)

    def features_in(
        self,
        matcher: LearnedMatcher,
        window: Window | None = None,
        *,
        longest_px: int = NETWORK_WIDTH_PX,
        most: int = MOST_POINTS,
    ) -> Features:
        """Return points of it or of a window of it, in px of that, those on targets left out."""
        rgb, size = self.seen(window), window.size if window else self.size
        found = matcher.features(rgb, size, longest_px=longest_px, most=most)
        if window is None:
            return found.outside(self.squares)
        return found.moved(*window.corner).outside(self.squares).moved(*-window.corner)

    def features_turned(self, matcher: LearnedMatcher, turns: int) -> Features:
        """Return points that are found with the photo turned, in px of the turned photo."""
        found = features_turned(matcher, self.seen(), self.size, turns)
        return turned(turned(found, -turns).outside(self.squares), turns)


@dataclass(frozen=True, slots=True, eq=False)
class Matches:
    """Matched points of two photos, or of a part of each.

    Attributes:
        reference: Points of the reference photo's window, in px of the window.
        new: The same of the new photo.
        pairs: (K, 2) rows (i, j): point i of the one looks like point j of the other.
        agreement: Which of them agree.
        source: What found them.
        turns: By how many quarters anticlockwise the new photo was turned to find them.
        here: The part of the reference photo that was looked at.
        there: The part of the new photo that was looked at.
    """

    reference: Features
    new: Features
    pairs: NDArray[np.int64]
    agreement: Agreement
    source: MatchSource
    turns: int
    here: Window
    there: Window

    @property
    def here_xy(self) -> Points:
        """(K, 2) matched places in px of the full reference photo."""
        return self.reference.xy[self.pairs[:, 0]].astype(float) + self.here.corner

    @property
    def there_xy(self) -> Points:
        """(K, 2) the same in px of the full new photo."""
        return self.new.xy[self.pairs[:, 1]].astype(float) + self.there.corner


def matched(matcher: LearnedMatcher, reference: Sight, new: Sight) -> Matches:
    """Return matches between two photos; none where they do not show the same place.

    Args:
        matcher: The two networks.
        reference: The photo that places are carried from.
        new: The photo they are carried to.
    """
    best = _learned(matcher, reference.features, new.features)
    if best.agreement.count < _ENOUGH or best.agreement.score < SURE_SCORE:
        is_promising = best.agreement.count >= _PROMISING
        ways = (_turned, _glimpsed, _by_gradients)
        for way in (_with_more_points, *ways) if is_promising else ways:
            best = _better(best, way(matcher, reference, new))
            if best.agreement.is_same_place:
                break
    if not best.agreement.is_same_place or _is_mirrored(matcher, new, best):
        return _nothing(reference, new)
    return _better(best, _nearer(matcher, reference, new, best))


def _better(one: Matches, other: Matches | None) -> Matches:
    if other is None or other.agreement.is_same_place < one.agreement.is_same_place:
        return one
    ways = (one, other)
    return max(ways, key=lambda way: way.agreement.count * way.agreement.spread)


def _learned(matcher: LearnedMatcher, one: Features, other: Features) -> Matches:
    pairs = matcher.matches(one, other)
    return _weighed(one, other, pairs, MatchSource.LEARNED)


def _weighed(
    one: Features, other: Features, pairs: NDArray[np.int64], source: MatchSource
) -> Matches:
    here, there = one.xy[pairs[:, 0]].astype(float), other.xy[pairs[:, 1]].astype(float)
    found = agreement(here, there, one.size, other.size, min(len(one.xy), len(other.xy)))
    whole = Window.whole(one.size), Window.whole(other.size)
    return Matches(one, other, pairs, found, source, 0, *whole)


def _with_more_points(matcher: LearnedMatcher, reference: Sight, new: Sight) -> Matches:
    one, other = (sight.features_in(matcher, most=_MORE_POINTS) for sight in (reference, new))
    return _learned(matcher, one, other)


def _turned(matcher: LearnedMatcher, reference: Sight, new: Sight) -> Matches | None:
    """Turn the new photo as fits best, which a few points tell, and match it so."""
    few = reference.features.strongest(_FEW_POINTS)
    seen = {turns: new.features_turned(matcher, turns) for turns in QUARTER_TURNS}

    def count(turns: int) -> int:
        return _learned(matcher, few, seen[turns].strongest(_FEW_POINTS)).agreement.count

    turns = max(QUARTER_TURNS, key=count)
    best = _learned(matcher, reference.features, seen[turns])
    back = turned(best.new, -turns)
    return replace(best, new=back, turns=turns, there=Window.whole(back.size))


def _glimpsed(matcher: LearnedMatcher, reference: Sight, new: Sight) -> Matches | None:
    """Look at the part of the one photo that all of the other seems to show.

    A photo made small enough matches that part as it is.
    """
    glimpses: list[tuple[int, bool, Window]] = []
    for shrunk_by in _SHRUNK:
        for is_near_new in (True, False):
            near, far = (new, reference) if is_near_new else (reference, new)
            small = near.features_in(matcher, longest_px=NETWORK_WIDTH_PX // shrunk_by)
            pairs = matcher.matches(far.features, small)
            there, here = small.xy[pairs[:, 1]], far.features.xy[pairs[:, 0]]
            seen = window_seen(there.astype(float), near.size, here.astype(float), far.size)
            if seen is not None:
                glimpses.append((seen[0], is_near_new, seen[1]))
    if not glimpses:
        return None
    _, is_near_new, window = max(glimpses, key=lambda glimpse: glimpse[0])
    return _through_window(matcher, reference, new, window, is_near_new=is_near_new)


def _nearer(matcher: LearnedMatcher, reference: Sight, new: Sight, best: Matches) -> Matches | None:
    """Look again only at the part of a photo that the other shows, where that is much nearer."""
    whole = Window.whole(reference.size), Window.whole(new.size)
    if (best.here, best.there) != whole or best.turns:
        return None
    agrees = best.agreement.agrees
    here, there = best.here_xy[agrees], best.there_xy[agrees]
    for is_near_new in (True, False):
        far = reference if is_near_new else new
        ways = (there, new.size, here) if is_near_new else (here, reference.size, there)
        seen = window_seen(*ways, far.size)
        if seen is not None and max(seen[1].size) * _MUCH_NEARER < max(far.size):
            return _through_window(matcher, reference, new, seen[1], is_near_new=is_near_new)
    return None


def _through_window(
    matcher: LearnedMatcher, reference: Sight, new: Sight, window: Window, *, is_near_new: bool
) -> Matches:
    if is_near_new:
        seen = reference.features_in(matcher, window)
        return replace(_learned(matcher, seen, new.features), here=window)
    seen = new.features_in(matcher, window)
    return replace(_learned(matcher, reference.features, seen), there=window)


def _by_gradients(_: LearnedMatcher, reference: Sight, new: Sight) -> Matches:
    one, other = (
        gradient_features(sight.read(_GRADIENTS_PX), sight.size).outside(sight.squares)
        for sight in (reference, new)
    )
    return _weighed(one, other, gradient_matches(one, other), MatchSource.GRADIENTS)


def _is_mirrored(matcher: LearnedMatcher, new: Sight, best: Matches) -> bool:
    """Return whether the new photo agrees no worse when it is mirrored."""
    if best.agreement.score >= SURE_SCORE or best.source is MatchSource.GRADIENTS:
        return False
    picture = np.rot90(new.seen(best.there), best.turns)[:, ::-1]
    mirrored = matcher.features(np.ascontiguousarray(picture))
    return _learned(matcher, best.reference, mirrored).agreement.score >= best.agreement.score


def _nothing(reference: Sight, new: Sight) -> Matches:
    return _weighed(
        reference.features, new.features, np.empty((0, 2), np.int64), MatchSource.NOTHING
    )
