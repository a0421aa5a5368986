"""Do two photos look alike, and do they show the same place?"""

import cv2
import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.matching.learned_matching import Features

Look = NDArray[np.float32]

SAME_PLACE_MATCHES = 40
"""Fewer agreeing matches than this: two photos do not show the same place. More prove little. Own
measurement: photos of one zone had 81 and more, but a like part of another engine up to 121."""

SURELY_SAME_PLACE = 16.0
"""Sameness from which on two photos surely show the same place. Own measurement on 18 rendered
photos of four zones: the best photo of the right zone had 22 and more, the best of a wrong zone,
on the other bank, which is built alike, at most 12."""

_POINTS = 1024
_AGREEING_SHARE = 0.004  # of the longest side: points that far off still lie on the same surface
_LEAST_MATCHES = 8


def look(features: Features) -> Look:
    """Return what a photo looks like as one unit vector: which pairs of traits go together in it.

    Source:
        Second-order pooling with a signed square root, from memory (Carreira et al., 2012).
    """
    traits = features.descriptors[:_POINTS]
    if not len(traits):
        return np.zeros(1, np.float32)
    together = (traits.T @ traits / len(traits))[np.triu_indices(traits.shape[1])]
    spread = np.sign(together) * np.sqrt(np.abs(together))
    unit: Look = (spread / np.linalg.norm(spread).clip(1e-12)).astype(np.float32)
    return unit


def likeness(one: Look, other: Look) -> float:
    """Return how alike two photos look, 0 to 1.

    On 18 rendered photos of four zones of one engine, the most alike other photo was of the same
    zone for 16.
    """
    if one.shape != other.shape:
        return 0.0
    return float(np.clip(one @ other, 0, 1))


def agreeing_matches(one: Features, other: Features, pairs: NDArray[np.int64]) -> int:
    """Return how many matches one flat surface explains, seen from both places."""
    return len(_agreeing(one, other, pairs))


def sameness(one: Features, other: Features, pairs: NDArray[np.int64]) -> float:
    """Return how surely two photos show the same place: agreeing matches times their spread.

    The spread is their standard deviation against the longest side, in the photo where it is less.
    Without it, the same printed target in two photos of different places would look like one place.
    """
    agreeing = _agreeing(one, other, pairs)
    if not len(agreeing):
        return 0.0
    spreads = (
        np.sqrt(xy.var(axis=0).sum()) / max(features.size)
        for xy, features in (
            (one.xy[agreeing[:, 0]], one),
            (other.xy[agreeing[:, 1]], other),
        )
    )
    return float(len(agreeing) * min(spreads))


def _agreeing(one: Features, other: Features, pairs: NDArray[np.int64]) -> NDArray[np.int64]:
    if len(pairs) < _LEAST_MATCHES:
        return pairs[:0]
    _, is_in = cv2.findHomography(
        one.xy[pairs[:, 0]],
        other.xy[pairs[:, 1]],
        cv2.USAC_MAGSAC,
        _AGREEING_SHARE * max(other.size),
        maxIters=2000,
        confidence=0.999,
    )
    return pairs[:0] if is_in is None else pairs[is_in.ravel() > 0]
