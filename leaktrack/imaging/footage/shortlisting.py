"""Which pictures of an index are worth a closer look? Points that look alike vote for them.

Each point of the query votes for the pictures that hold its nearest points, the more the nearer,
once a picture. What is common to many pictures, such as the bench, is near to too many and counts
for little: only what is nearer than the last of the nearest counts at all.
"""

from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.packing import BITS, Bits, Footprint, bits_of, words_of
from leaktrack.imaging.footage.taking import places_for, takes

Votes = NDArray[np.float64]

_NEAREST = 48
_FAR_BITS = 20  # of 128; nearer ones are the same point in other light
_PERHAPS_NEAR = (40, 50, BITS)  # of 64 +- 6 bits by which points differ that have nothing in common
_SHARE_OF_PICTURES = 0.5  # in a short video a point may be in half the pictures
_EXACT_UP_TO = 60_000  # points; with more, only those of the likeliest words are compared
_CONSIDERED = 2_000  # pictures; of ten hours, one in twenty
_WORDS = 6  # of 128
_ASKED_OF_LONG = 112  # points at each size: a long index is searched with the strongest only


@dataclass(frozen=True, slots=True, eq=False)
class PointsAsked:
    """Points of a query, found at one size.

    Attributes:
        bits: (N, 16) their packed descriptors.
        words: (N, 6) their likeliest words, the likeliest first.
    """

    bits: Bits
    words: NDArray[np.uint8]

    @classmethod
    def of(cls, descriptors: NDArray[np.float32]) -> "PointsAsked":
        """Return them from (N, 64) descriptors."""
        return cls(bits_of(descriptors), words_of(descriptors, _WORDS))


def votes(footprint: Footprint, looks: Sequence[PointsAsked]) -> Votes:
    """Return (F,) how many points speak for each picture.

    Args:
        footprint: The index of one video or several.
        looks: The query's points, found at one size each; the best counts.
    """
    total = np.zeros(len(footprint.at_ms))
    if not len(footprint.bits):
        return total
    searched = _Searched(footprint)
    with ThreadPoolExecutor() as threads:  # NumPy counts bits of several at once
        for voted in threads.map(searched.voted, looks):
            total = np.maximum(total, voted)
    return total


def likeliest(votes_for: Votes, footprint: Footprint, most: int, apart_ms: int) -> list[int]:
    """Return the pictures with most votes, best first, from one take few as long as others are.

    One long take of something alike would else take all places.

    Args:
        votes_for: (F,) see ``votes``.
        footprint: The index of one video, or of several one after another.
        most: How many at most.
        apart_ms: How far apart in time those of one take are at least.
    """
    take_of, places = takes(footprint), places_for(footprint)
    order = np.argsort(-votes_for, kind="stable")[:_CONSIDERED]
    order = order[votes_for[order] > 0]
    chosen: list[int] = []
    for is_full in (False, True):
        of_take = Counter(take_of[chosen].tolist())
        for one in order.tolist():
            take = int(take_of[one])
            if len(chosen) == most:
                break
            if one in chosen or (of_take[take] >= places[one] and not is_full):
                continue
            mates = [other for other in chosen if take_of[other] == take]
            away = np.abs(footprint.at_ms[mates] - footprint.at_ms[one])
            if not (away < apart_ms).any():
                chosen.append(one)
                of_take[take] += 1
    return sorted(chosen, key=lambda one: -votes_for[one])


class _Searched:
    """An index, its points ordered by their words."""

    def __init__(self, footprint: Footprint) -> None:
        self._pictures = len(footprint.at_ms)
        halves = np.ascontiguousarray(footprint.bits).view(np.uint64)
        picture_of = footprint.picture_of.astype(np.int32)
        self._starts: NDArray[np.int64] | None = None
        order: NDArray[np.int64] | slice = slice(None)
        if len(halves) > _EXACT_UP_TO:
            order = np.argsort(footprint.words, kind="stable")
            counted = np.bincount(footprint.words, minlength=BITS)
            self._starts = np.concatenate([[0], np.cumsum(counted)])
        # One after the other: rows of both would be picked out many times more slowly.
        self._one, self._other = halves[:, 0][order].copy(), halves[:, 1][order].copy()
        self._picture_of = picture_of[order]
        self._nearest = int(np.clip(_SHARE_OF_PICTURES * self._pictures, 2, _NEAREST))

    def voted(self, points: PointsAsked) -> Votes:
        """Return the votes of points, each once for a picture."""
        total = np.zeros(self._pictures)
        halves = np.ascontiguousarray(points.bits).view(np.uint64)
        most = len(halves) if self._starts is None else _ASKED_OF_LONG
        for (one, other), words in zip(halves[:most], points.words[:most], strict=True):
            distance, picture = self._nearest_to(one, other, words)
            if not len(distance):
                continue
            near = distance.astype(float)
            weight = (near.max() - near) / max(near.max(), _FAR_BITS)
            best = np.argsort(-weight, kind="stable")
            pictures, first = np.unique(picture[best], return_index=True)
            total[pictures] += weight[best][first]
        return total

    def _nearest_to(
        self, one: np.uint64, other: np.uint64, words: NDArray[np.uint8]
    ) -> tuple[NDArray[np.uint8], NDArray[np.int32]]:
        """Return how many bits differ from each of the nearest points, and the pictures of these.

        Nothing is returned where there are too few points to tell near from far.
        """
        if self._starts is None:
            parts = [slice(0, len(self._one))]
        else:
            parts = [
                slice(self._starts[word], self._starts[word + 1]) for word in words.astype(int)
            ]
        differ = np.concatenate(
            [
                np.bitwise_count(self._one[part] ^ one)
                + np.bitwise_count(self._other[part] ^ other)
                for part in parts
            ]
        )
        nearest = _least(differ, self._nearest + 1)
        ends = np.cumsum([part.stop - part.start for part in parts])
        which = np.searchsorted(ends, nearest, side="right")
        shift = np.array([part.stop for part in parts]) - ends
        return differ[nearest], self._picture_of[nearest + shift[which]]


def _least(differ: NDArray[np.uint8], count: int) -> NDArray[np.int64]:
    """Return where so many of the smallest figures stand; nothing where there are not so many."""
    if len(differ) < count:
        return np.zeros(0, np.int64)
    for bits in _PERHAPS_NEAR:  # most are far: those few that may be near are found much sooner
        perhaps = np.flatnonzero(differ <= bits)
        if len(perhaps) >= count:
            return perhaps[np.argpartition(differ[perhaps], count - 1)[:count]]
    raise AssertionError("no figure is larger than the last bound")
