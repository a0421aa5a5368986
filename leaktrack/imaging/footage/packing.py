"""What is kept of footage: for each picked picture a few hundred bytes about its distinct points.

A point's trained descriptor is kept as 128 bits: on which side of 128 fixed planes it lies. Bits
that differ count the angle between two descriptors. One of 128 words, the fixed direction that is
nearest to it, tells which points need not be compared at all.

Source:
    M. Charikar, "Similarity estimation techniques from rounding algorithms", STOC 2002.
    A. Andoni et al., "Practical and Optimal LSH for Angular Distance", NIPS 2015 (the words).
"""

import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.linalg import hadamard

from leaktrack.imaging.footage.linking import link
from leaktrack.imaging.footage.picking import Picked
from leaktrack.imaging.footage.walking import Look
from leaktrack.imaging.matching.learned_matching import Features, LearnedMatcher

Bits = NDArray[np.uint8]

BITS = 128
MOST_POINTS = 160
"""In one picture, where the camera rests."""

POINTS_EACH_SECOND = 64
"""At most, so that an hour stays below 5 MB: 64 points of 19 bytes are 4.4 MB."""

_CELLS = 6  # each way: points are taken from all over the picture


@dataclass(frozen=True, slots=True, eq=False)
class Footprint:
    """The index of a stretch of video: F pictures in their order, P points.

    Attributes:
        at_ms: (F,) when each picture is shown.
        from_ms: (F,) from when on pictures showed the same.
        until_ms: (F,) up to when they did.
        sharpness: (F,) see ``Picked``.
        linked: (F,) how many points one motion takes along from the picture before; see ``link``.
        moves: (F, 2, 3) that motion, in shares of the picture's sides.
        points: (F,) how many points each has.
        bits: (P, 16) their packed descriptors, those of the first picture first.
        words: (P,) the word of each.
        xy: (P, 2) where they lie, in 255ths of the upright picture's width and height.
    """

    at_ms: NDArray[np.int32]
    from_ms: NDArray[np.int32]
    until_ms: NDArray[np.int32]
    sharpness: NDArray[np.float32]
    linked: NDArray[np.int16]
    moves: NDArray[np.float32]
    points: NDArray[np.int16]
    bits: Bits
    words: NDArray[np.uint8]
    xy: NDArray[np.uint8]

    @property
    def picture_of(self) -> NDArray[np.int64]:
        """(P,) the number of the picture that each point is in."""
        return np.repeat(np.arange(len(self.at_ms)), self.points)

    @classmethod
    def empty(cls) -> "Footprint":
        """Return the index of nothing."""
        return cls(
            np.empty(0, np.int32),
            np.empty(0, np.int32),
            np.empty(0, np.int32),
            np.empty(0, np.float32),
            np.empty(0, np.int16),
            np.empty((0, 2, 3), np.float32),
            np.empty(0, np.int16),
            np.empty((0, BITS // 8), np.uint8),
            np.empty(0, np.uint8),
            np.empty((0, 2), np.uint8),
        )

    @classmethod
    def joined(cls, parts: Sequence["Footprint"]) -> "Footprint":
        """Return several one after another."""
        parts = [*parts] or [cls.empty()]
        return cls(
            *(np.concatenate([getattr(part, name) for part in parts]) for name in cls.__slots__)
        )

    def to_bytes(self) -> bytes:
        """Return it as bytes for a cache."""
        file = io.BytesIO()
        np.savez(file, **{name: getattr(self, name) for name in self.__slots__})
        return file.getvalue()

    @classmethod
    def from_bytes(cls, content: bytes) -> "Footprint | None":
        """Return it from a cache; None where the bytes are damaged."""
        try:
            with np.load(io.BytesIO(content)) as kept:
                found = cls(*(kept[name] for name in cls.__slots__))
        except (OSError, EOFError, ValueError, KeyError, zipfile.BadZipFile):
            return None
        lengths = {len(found.bits), len(found.words), len(found.xy), int(found.points.sum())}
        pictures = {len(getattr(found, name)) for name in ("at_ms", "points", "linked", "moves")}
        return found if len(lengths) == len(pictures) == 1 else None


def features_of(matcher: LearnedMatcher, look: Look) -> Features:
    """Return the points of a picture on the way."""
    return matcher.features(as_rgb(look.grey), longest_px=max(look.grey.shape))


def footprint_of(picked: Picked, found: Features, before: Features | None) -> Footprint:
    """Return the index of one picked picture; the longer it stands for, the more points.

    Args:
        picked: The picture.
        found: Its points.
        before: Those of the picture that was picked before it.
    """
    look = picked.look
    lasts_s = 1 + (picked.until_ms - picked.from_ms) / 1000
    most = int(min(MOST_POINTS, POINTS_EACH_SECOND * lasts_s))
    bits, words, xy = packed(found, most)
    linked, move = (0, np.zeros((2, 3))) if before is None else link(before, found)
    return Footprint(
        np.array([look.at_ms], np.int32),
        np.array([picked.from_ms], np.int32),
        np.array([picked.until_ms], np.int32),
        np.array([picked.sharpness], np.float32),
        np.array([linked], np.int16),
        np.array([move], np.float32),
        np.array([len(bits)], np.int16),
        bits,
        words,
        xy,
    )


def packed(features: Features, most: int) -> tuple[Bits, NDArray[np.uint8], NDArray[np.uint8]]:
    """Return a picture's points for the index: bits, words and places, at most so many."""
    kept = _spread_out(features, most)
    size = np.array(features.size, np.float32)
    places = np.clip(np.rint((features.xy[kept] + 0.5) / size * 255), 0, 255)
    descriptors = features.descriptors[kept]
    return bits_of(descriptors), words_of(descriptors, 1)[:, 0], places.astype(np.uint8)


def bits_of(descriptors: NDArray[np.float32]) -> Bits:
    """Return (N, 16) packed bits of (N, 64) descriptors."""
    planes = np.concatenate([np.eye(64), hadamard(64) / 8.0]).astype(np.float32)
    return np.packbits(descriptors @ planes.T > 0, axis=1)


def words_of(descriptors: NDArray[np.float32], most: int) -> NDArray[np.uint8]:
    """Return (N, most) words of (N, 64) descriptors, the nearest first."""
    # Fixed signs, so that no word is a mean of all traits: what all descriptors share would win.
    signs = np.where(np.arange(64) * 37 % 64 < 32, 1.0, -1.0)
    along = descriptors @ (hadamard(64) * signs).T.astype(np.float32)
    both = np.concatenate([along, -along], axis=1)
    return np.argsort(-both, axis=1)[:, :most].astype(np.uint8)


def _spread_out(features: Features, most: int) -> NDArray[np.int64]:
    """Return which points to keep: the strongest of each part of the picture in turn."""
    size = np.array(features.size, np.float32)
    cell = np.clip((features.xy / size * _CELLS).astype(np.int64), 0, _CELLS - 1)
    number = cell[:, 1] * _CELLS + cell[:, 0]
    rank = np.zeros(len(number), np.int64)
    for one in np.unique(number):
        inside = np.flatnonzero(number == one)
        rank[inside] = np.arange(len(inside))
    return np.sort(np.argsort(rank, kind="stable")[:most])


def as_rgb(grey: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a grey picture as the networks take it."""
    return cv2.cvtColor(grey, cv2.COLOR_GRAY2RGB).astype(np.uint8)
