"""How likely is it that a guess is right, at every node of the reference photo?

A weighted sum of clues, learnt from photos with known truth (``python -m tests.accuracy learn``).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.carrying.deepening import Deepened
from leaktrack.imaging.carrying.flattening import STEP_PX, Floats, Picture, bent
from leaktrack.imaging.carrying.guessing import Guess
from leaktrack.imaging.carrying.ordering import in_order
from leaktrack.imaging.matching.moving import Points, epipolar, lengths, nearest_of

CLUES = (
    "fine likeness",
    "middling likeness",
    "coarse likeness",
    "contrast",
    "disagreement",
    "off the epipolar line",
    "against the nearest matches",
    "against the best near match",
    "distance to a match",
    "distance to five matches",
    "share of guesses within 1.5 px",
    "share of guesses within 4 px",
)
"""Distances are told in px of pictures 720 px long, taken as log(1 + px)."""

DEPTH_CLUES = (
    *CLUES,
    "off the place by depth",
    "lead of the depth",
    "cost of the depth",
    "off the place by depth, times its lead",
)
"""What is known once depths have been found."""

_FINE_PX, _MIDDLING_PX, _COARSE_PX = 1.0, 3.0, 8.0
_ASKED_MATCHES = 8
_NEAR_PX, _LOOSELY_NEAR_PX = 0.75, 2.0
_MOST_OFF_PX = 15.0
_EPIPOLAR_PX = 0.75
_TOLD = 2.0  # the pictures compared are half as large as those that distances are told in
_BLOCK = 4


@dataclass(frozen=True, slots=True, eq=False)
class Support:
    """The matches that guesses are held against: of each node, the eight nearest to its block.

    Attributes:
        offset: (2, 8, rows, cols) the matched places, across and down from the node.
        there: (2, 8, rows, cols) where they are in the new photo.
        away: Two clues, (rows, cols) each: how far the nearest one and five of them are.
    """

    offset: Floats
    there: Floats
    away: tuple[Floats, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """A guess and what it tells by itself.

    Attributes:
        where: (rows, cols, 2) where it takes the nodes.
        clues: (rows, cols, clues).
    """

    where: Floats
    clues: Floats


class Weigher:
    """Weighs guesses about one pair of photos.

    Attributes:
        wheres: For each guess, (node rows, node cols, 2) where it takes the nodes.

    Args:
        reference: The reference photo.
        new: The new photo.
        here: (K, 2) matched places of the reference, in px of its picture.
        there: (K, 2) the same in the new photo.
    """

    def __init__(self, reference: Picture, new: Picture, here: Points, there: Points) -> None:
        self._new = new
        self._nodes = reference.nodes()
        self._likenesses = Likenesses(reference)
        self._lines = _epipolar_lines(self._nodes, here, there)
        self._support = _support(self._nodes, here, there)
        self._deepened: Deepened | None = None
        self._lead = np.empty(0, np.float32)
        self._own: list[Floats] = []
        self.wheres: list[Floats] = []

    def add(self, guess: Guess) -> None:
        """Take one more guess."""
        self.take(self.judged(guess))

    def judged(self, guess: Guess) -> Judged:
        """Return a guess with its own clues; may be asked from several threads at once."""
        where = guess.where[::STEP_PX, ::STEP_PX]
        return Judged(where, self._own_clues(guess, where))

    def take(self, judged: Judged) -> None:
        """Take one more guess, judged already."""
        self.wheres.append(judged.where)
        self._own.append(judged.clues)

    def take_depths(self, deepened: Deepened) -> None:
        """Hold all guesses against the depths found."""
        self._deepened = deepened
        self._lead = far(deepened.lead[::STEP_PX, ::STEP_PX])

    def clues(self) -> Floats:
        """Return (guesses, node rows, node cols, clues) of the guesses taken so far."""
        agreement = _agreement(self.wheres)
        return np.stack(
            [
                np.concatenate([own, agreed, *self._by_depth(where)], axis=2)
                for own, agreed, where in zip(self._own, agreement, self.wheres, strict=True)
            ]
        )

    def _by_depth(self, where: Floats) -> tuple[Floats, ...]:
        if self._deepened is None:
            return ()
        found = self._deepened
        nodes = np.s_[::STEP_PX, ::STEP_PX]
        off = far(lengths(where - found.where[nodes]))
        # Where another depth fits almost as well, being off this one says little.
        return (np.stack([off, self._lead, found.cost[nodes], off * self._lead], axis=2),)

    def _own_clues(self, guess: Guess, where: Floats) -> Floats:
        own: Floats = np.stack(
            [
                *self._likenesses.of(self._new, guess.where),
                self._likenesses.contrast,
                far(guess.disagreement[::STEP_PX, ::STEP_PX]),
                far(np.abs((self._lines[..., :2] * where).sum(axis=2) + self._lines[..., 2])),
                *_against(self._support, where),
            ],
            axis=2,
        ).astype(np.float32)
        return own


def _agreement(wheres: Sequence[Floats]) -> list[Floats]:
    """Return, for each guess, the shares of all that take a node to about the same place."""
    across, down = np.ascontiguousarray(np.stack(wheres).transpose(3, 0, 1, 2))
    shares = []
    for x, y in zip(across, down, strict=True):
        apart2 = (across - x) ** 2 + (down - y) ** 2
        near = [np.mean(apart2 < px**2, axis=0) for px in (_NEAR_PX, _LOOSELY_NEAR_PX)]
        shares.append(np.stack(near, axis=2).astype(np.float32))
    return shares


class Likenesses:
    """How alike a reference photo and a new one bent over it are, at its nodes.

    Attributes:
        contrast: (rows, cols) how much the reference photo varies around each node.

    Args:
        reference: The reference photo.
    """

    def __init__(self, reference: Picture) -> None:
        coarse = _at_nodes(reference.flat)
        self._fine = _LocalLikeness(reference.flat, _FINE_PX)
        self._middling = _LocalLikeness(coarse, _MIDDLING_PX / STEP_PX)
        self._coarse = _LocalLikeness(coarse, _COARSE_PX / STEP_PX)
        self.contrast = self._fine.contrast[::STEP_PX, ::STEP_PX]

    def of(self, new: Picture, where: Floats) -> tuple[Floats, Floats, Floats]:
        """Return (rows, cols) each, -1 to 1: in fine, middling and coarse surroundings.

        Args:
            new: The new photo.
            where: (rows, cols, 2) where every pixel of the reference lies in it.
        """
        shown = bent(new.flat, where)
        coarse = _at_nodes(shown)
        fine = self._fine.to(shown)[::STEP_PX, ::STEP_PX]
        return fine, self._middling.to(coarse), self._coarse.to(coarse)


class _LocalLikeness:
    """Local correlation with one picture, -1 to 1."""

    def __init__(self, picture: Floats, sigma_px: float) -> None:
        self._sigma_px = sigma_px
        self._picture = picture
        self._mean = self._blurred(picture)
        self._spread2 = np.maximum(self._blurred(picture * picture) - self._mean**2, 0)

    @property
    def contrast(self) -> Floats:
        contrast: Floats = np.sqrt(self._spread2)
        return contrast

    def to(self, other: Floats) -> Floats:
        mean = self._blurred(other)
        spread2 = np.maximum(self._blurred(other * other) - mean**2, 0)
        together = self._blurred(self._picture * other) - self._mean * mean
        like: Floats = together / np.sqrt(self._spread2 * spread2 + 1e-3)
        return like

    def _blurred(self, picture: Floats) -> Floats:
        return np.asarray(cv2.GaussianBlur(picture, (0, 0), self._sigma_px), np.float32)


def _at_nodes(picture: Floats) -> Floats:
    rows, cols = (-(-side // STEP_PX) for side in picture.shape)
    return np.asarray(cv2.resize(picture, (cols, rows), interpolation=cv2.INTER_AREA), np.float32)


def _epipolar_lines(nodes: Floats, here: Points, there: Points) -> Floats:
    """Return (rows, cols, 3): the line of the new photo on which each node must lie.

    Where the matches allow no such geometry, as on a single plane, all is on the line.
    """
    found = epipolar(here, there, _EPIPOLAR_PX, 0.9999, 10_000)
    if found is None:
        return np.zeros((*nodes.shape[:2], 3), np.float32)
    lines: NDArray[np.float64] = np.dstack([nodes, np.ones(nodes.shape[:2])]) @ found[0].T
    length = np.maximum(lengths(lines)[..., None], 1e-12)
    unit: Floats = (lines / length).astype(np.float32)
    return unit


def _support(nodes: Floats, here: Points, there: Points) -> Support:
    blocks = nodes[_BLOCK // 2 :: _BLOCK, _BLOCK // 2 :: _BLOCK].astype(float)
    near = nearest_of(blocks.reshape(-1, 2), here, _ASKED_MATCHES)[1]
    near = near.reshape(*blocks.shape[:2], _ASKED_MATCHES)
    rows, cols = nodes.shape[:2]
    down = np.minimum(np.arange(rows) // _BLOCK, near.shape[0] - 1)
    across = np.minimum(np.arange(cols) // _BLOCK, near.shape[1] - 1)
    near = near[np.ix_(down, across)].transpose(2, 0, 1)
    offset, matched = (
        np.ascontiguousarray(places.T, np.float32)[:, near] for places in (here, there)
    )
    offset -= nodes.transpose(2, 0, 1)[:, None]
    away = in_order(np.hypot(*offset))
    return Support(offset, matched, (far(away[0]), far(away[4])))


def _against(support: Support, where: Floats) -> tuple[Floats, ...]:
    """Return how far the nearest matches lie from where the guess takes them, and from the node."""
    smooth = cv2.GaussianBlur(where, (0, 0), 1.5)
    across, down = support.offset
    off2 = np.zeros(across.shape, np.float32)
    axes = zip(cv2.split(where), cv2.split(smooth), support.there, strict=True)
    for given, calm, there in axes:
        by_y, by_x = np.gradient(calm, STEP_PX)
        expected = by_x * across
        expected += by_y * down
        expected += given
        expected -= there
        expected *= expected
        off2 += expected
    off = in_order(np.sqrt(off2, out=off2))
    middle = (off[_ASKED_MATCHES // 2 - 1] + off[_ASKED_MATCHES // 2]) / 2
    return far(middle), far(off[0]), *support.away


def far(distance_px: NDArray[np.floating]) -> Floats:
    """Return distances in px of halved pictures as they are weighed."""
    told: Floats = 1 + _TOLD * np.minimum(distance_px, _MOST_OFF_PX).astype(np.float32)
    return np.log(told, out=told)  # NumPy's log1p takes ten times as long
