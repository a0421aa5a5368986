"""Which blobs on the paper are particles, and where exactly are their edges?"""

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum

from leaktrack.imaging.debris.papering import Floats, Mask, Paper

_SOFT_PX = 0.8
_SHARP_PX = 0.4  # for edges: softened further, small ones read shorter
_COLOUR_WEIGHT = 1.5  # colour tells sealant from paper where lightness does not
# In robust standard deviations of the plain paper. Own measurement: to 15 all were found.
_SURE, _PERHAPS = 14.0, 6.0
_LEAST_SURE = 9.0  # in CIE L*a*b*: however smooth the paper, less is no particle
# Where it differs by such a share of what its inside differs by is its edge. Own measurement: with
# 0.5, small ones read 0.1 mm short, for a blur takes off their tips; with 0.42, the shadow beside
# large ones reads as part of them.
_EDGE_OF_SMALL, _EDGE_OF_LARGE = 0.42, 0.6
_SMALL_PX, _LARGE_PX = 20.0, 40.0
# A particle's own shadow darkens the paper by such a share; of a pale one, that is much.
_SHADOW, _LEAST_EDGE = 0.25, 0.6
_INSIDE = 80  # percentile of a blob that counts as its inside
_FINER = 4  # of so many parts of a px its edge is told
_AROUND_PX = 8
_GLINT_PX = 5
_LIGHT_PAPER = 90  # percentile of what lies beside a particle
LEAST_PX = 4.0
"""A particle's length below which it is noise, or nobody can say what it is."""


@dataclass(frozen=True, slots=True, eq=False)
class Blob:
    """One particle's look.

    Attributes:
        edge: (n, 2) its outline, in px of the photo.
        lab: (m, 3) CIE L*a*b* inside it, softened.
        paper: (3,) the same of the paper around it.
        glint: How much lighter than the paper beside it the particle or its rim is.
    """

    edge: NDArray[np.float64]
    lab: Floats
    paper: NDArray[np.float64]
    glint: float


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """A paper with how it looks, (h, w, 3), and how much that differs from plain paper, (h, w)."""

    paper: Paper
    soft: Floats
    unlike: Floats
    sharply_unlike: Floats


def blobs_on(paper: Paper) -> Iterator[Blob]:
    """Yield the particles on a paper: what differs strongly from it, to where it differs half.

    Blobs that touch the edge of what can be searched are left out: they may be shadows of the
    paper's own edge.
    """
    soft = np.asarray(cv2.GaussianBlur(paper.lab, (0, 0), _SOFT_PX), np.float32)
    unlike = _unlike(soft - paper.plain)
    sharp = np.asarray(cv2.GaussianBlur(paper.lab, (0, 0), _SHARP_PX), np.float32)
    look = _Look(paper, soft, unlike, _unlike(sharp - paper.plain))
    usual = float(np.median(unlike[paper.inside]))
    spread = 1.4826 * float(np.median(np.abs(unlike[paper.inside] - usual)))
    sure = usual + max(_SURE * spread, _LEAST_SURE)
    perhaps = usual + max(_PERHAPS * spread, _LEAST_SURE / 2)
    count, found, stats, _ = cv2.connectedComponentsWithStats((unlike > perhaps).astype(np.uint8))
    labels = np.asarray(found, np.int32)
    peaks = maximum(unlike, labels, range(count))
    outside = np.zeros(count, bool)
    outside[np.unique(labels[~paper.inside])] = True
    for label in range(1, count):
        if peaks[label] > sure and not outside[label]:
            yield from _blob(look, labels == label, stats[label])


def _unlike(difference: Floats) -> Floats:
    lightness, colour = difference[..., 0], difference[..., 1:]
    squared = lightness**2 + _COLOUR_WEIGHT**2 * (colour**2).sum(axis=2)
    return np.asarray(np.sqrt(squared), np.float32)


def _blob(seen: _Look, inside: Mask, stats: NDArray[np.int32]) -> Iterator[Blob]:
    paper, soft, unlike = seen.paper, seen.soft, seen.unlike
    left, top, width, height = (int(value) for value in stats[:4])
    rows = slice(max(0, top - _AROUND_PX), top + height + _AROUND_PX)
    cols = slice(max(0, left - _AROUND_PX), left + width + _AROUND_PX)
    near = inside[rows, cols]
    differs = float(np.percentile(unlike[rows, cols][near], _INSIDE))
    shadow = _SHADOW * float(paper.plain[rows, cols, 0][near].mean())
    share = np.interp(min(width, height), (_SMALL_PX, _LARGE_PX), (_EDGE_OF_SMALL, _EDGE_OF_LARGE))
    level = max(float(share) * differs, min(shadow, _LEAST_EDGE * differs))
    # What is near but belongs to a neighbour must not count.
    own = cv2.dilate(near.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    rim = cv2.dilate(near.astype(np.uint8), np.ones((7, 7), np.uint8)).astype(bool)
    shown = np.where(own, seen.sharply_unlike[rows, cols], 0).astype(np.float32)
    fine = cv2.resize(shown, None, fx=_FINER, fy=_FINER, interpolation=cv2.INTER_CUBIC)
    edges, _ = cv2.findContours(
        (fine > level).astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE
    )
    if not edges:
        return
    edge = max(edges, key=cv2.contourArea).reshape(-1, 2).astype(np.float64)
    if np.ptp(edge, axis=0).max() < LEAST_PX * _FINER:
        return
    # The middle of the first fine px lies before the middle of the first px.
    at = (edge + 0.5) / _FINER - 0.5 + (cols.start, rows.start)
    is_own = near & (unlike[rows, cols] > level)
    if not is_own.any():
        return
    look = soft[rows, cols][is_own]
    around = paper.plain[rows, cols][is_own].mean(axis=0).astype(np.float64)
    lightness = soft[rows, cols, 0]
    beside = cv2.dilate(rim.astype(np.uint8), np.ones((7, 7), np.uint8)).astype(bool) & ~rim
    lightest = np.sort(lightness[rim])[-_GLINT_PX:].mean()
    glint = float(lightest - np.percentile(lightness[beside], _LIGHT_PAPER))
    yield Blob(at, look, around, glint)
