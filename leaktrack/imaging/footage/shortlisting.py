"""Which pictures of an index are worth a closer look? Points that look alike vote for them.

Each point of the query votes for the pictures that hold its nearest points, the more the nearer,
once a picture. What is common to many pictures, such as the bench, is near to too many and counts
for little: only what is nearer than the last of the nearest counts at all.
"""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.footage.packing import Bits, Footprint

Votes = NDArray[np.float64]

_NEAREST = 48
_FAR_BITS = 20  # of 128; nearer ones are the same point in other light
_SHARE_OF_PICTURES = 0.5  # in a short video a point may be in half the pictures


def votes(footprint: Footprint, looks: Sequence[Bits]) -> Votes:
    """Return (F,) how many points speak for each picture.

    Args:
        footprint: The index of one video or several.
        looks: Packed descriptors of the query's points, found at one size each; the best counts.
    """
    pictures = len(footprint.at_ms)
    total = np.zeros(pictures)
    if not len(footprint.bits):
        return total
    for bits in looks:
        total = np.maximum(total, _voted(footprint, bits))
    return total


def likeliest(votes_for: Votes, footprint: Footprint, most: int, apart_ms: int) -> list[int]:
    """Return the pictures with most votes, best first, none too near in time to a better one.

    Args:
        votes_for: (F,) see ``votes``.
        footprint: The index of one video.
        most: How many at most.
        apart_ms: How far apart in time they are at least.
    """
    chosen: list[int] = []
    for one in np.argsort(-votes_for, kind="stable").tolist():
        if votes_for[one] <= 0 or len(chosen) == most:
            break
        away = np.abs(footprint.at_ms[chosen] - footprint.at_ms[one])
        if not (away < apart_ms).any():
            chosen.append(one)
    return chosen


def _voted(footprint: Footprint, bits: Bits) -> Votes:
    pictures = len(footprint.at_ms)
    total = np.zeros(pictures)
    if not len(bits):
        return total
    nearest = int(np.clip(_SHARE_OF_PICTURES * pictures, 2, _NEAREST))
    nearest = min(nearest, len(footprint.bits))
    distance, which = cv2.batchDistance(
        bits, footprint.bits, cv2.CV_32S, normType=cv2.NORM_HAMMING, K=nearest
    )
    farthest = distance[:, -1:]
    weight = (farthest - distance) / np.maximum(farthest, _FAR_BITS)
    picture = footprint.picture_of[which]
    return _summed(picture, weight, pictures)


def _summed(picture: NDArray[np.int64], weight: NDArray[np.float64], pictures: int) -> Votes:
    """Return the sum of each point's best vote for each picture."""
    query = np.repeat(np.arange(len(picture)), picture.shape[1])
    key = query * pictures + picture.ravel()
    order = np.lexsort((-weight.ravel(), key))
    is_first = np.ones(len(key), bool)
    is_first[1:] = key[order][1:] != key[order][:-1]
    kept = order[is_first]
    voted = np.bincount(picture.ravel()[kept], weight.ravel()[kept], pictures)
    return np.asarray(voted, np.float64)
