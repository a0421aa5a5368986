"""Gauge a bead along a path: where its edges are, how wide it is, where it is missing."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from leaktrack.imaging.beading.edging import Edges, edges_in
from leaktrack.imaging.beading.learning import OWN_FEATURES, Evidence, features_of, learnt, seeds
from leaktrack.imaging.beading.straightening import Strip, Track, strip_of, track_of
from leaktrack.imaging.beading.trimming import trimmed
from leaktrack.imaging.measuring.projecting import Floats, through

USUAL_WIDTH_MM = 3.0
"""Where nobody says how wide the bead is; within a factor of two of it the width is found out."""

# Lengths in widths of the bead; own judgement, tried on drawn beads.
_STEP = 1 / 26  # of the strip
_REACH = 2.2
_SMOOTHING = 0.5  # of the drawn path
_COARSE = (2, 2)  # so many rows and columns of the strip go into one, in each round
_INSIDE, _NEAR, _FAR = 0.7, 0.15, 1.0  # what is learnt anew once edges are known
_LEAST_LEFT = 0.15  # of the columns with a bead: below, no bead was found

# A fresh bead from a nozzle is about 0.6 as high as wide: its far flank hides flange when it is
# seen askew. Own judgement.
_HEIGHT = 0.6
_LEAST_COSINE = 0.5  # more than 60 degrees askew nothing is measured anyway


@dataclass(frozen=True)
class Gauged:
    """A bead as found along a strip.

    Attributes:
        strip: The photo laid straight; its columns are those of everything here.
        evidence: What each place of it says.
        right: (N,), offsets of the right edge; between known ones where there is no bead.
        left: (N,), of the left edge.
        is_bead: (N,), whether there is a bead.
        width: Of the bead, typically.
        across: (N,), what a width in the surface is to be multiplied with: beads stand up.
        steep: (N,), how much of what tells sealant from flange changes over one width, at the
            less steep edge: 5 and more in a sharp photo.
    """

    strip: Strip
    evidence: Evidence
    right: Floats
    left: Floats
    is_bead: NDArray[np.bool_]
    width: float
    across: Floats
    steep: Floats

    @property
    def middle(self) -> Floats:
        """(N,), offsets of the bead's middle."""
        return (self.left + self.right) / 2

    @property
    def widths(self) -> Floats:
        """(N,), true widths; 0 where there is no bead."""
        return np.where(self.is_bead, (self.left - self.right) * self.across, 0.0)


def gauged(
    rgb: NDArray[np.uint8],
    path_px: Floats,
    along: Floats | None,
    to_surface: Floats,
    width: float,
    tell: Callable[[int, int], None],
) -> Gauged | None:
    """Return the bead along a path; None where nothing like a bead is found.

    Args:
        rgb: (rows, cols, 3), the upright photo.
        path_px: (N, 2), at least two points of the path.
        along: (N,), rising: how far along each point counts as; None: as far as it is.
        to_surface: (3, 3), the projective map from px to the surface.
        width: Of the bead, in the surface's unit, within a factor of about two.
        tell: Called with how many rounds are done, of how many; may raise to stop.
    """
    track = track_of(path_px, along, to_surface, _STEP * width, _SMOOTHING * width)
    strip = strip_of(rgb, track, _REACH * width)
    middle = np.zeros(len(track.at))
    inside, beside = seeds(strip, middle, width)
    found: Gauged | None = None
    for number, coarse in enumerate(_COARSE):
        tell(number, len(_COARSE))
        if not inside.any() or not beside.any():
            return None
        features = features_of(strip, middle, width)
        evidence = learnt(features, inside, beside)
        odds = np.clip(evidence.contrast, -30, 30)
        chances = np.asarray(1 / (1 + np.exp(-odds)), np.float32)
        evidence = learnt(features, inside, beside, chances)
        rough = edges_in(_coarse(evidence.weight, coarse), coarse * track.step, width)
        if rough.is_bead.mean() < _LEAST_LEFT:
            return None
        is_bead, right, left = _spread(rough, strip, coarse)
        own = np.ascontiguousarray(features[..., :OWN_FEATURES])
        right, left, steep = trimmed(own, strip, right, left, is_bead, width)
        width = float(np.median((left - right)[is_bead]))
        found = Gauged(strip, evidence, right, left, is_bead, width, _across(track), steep)
        middle = gaussian_filter1d(found.middle, 0.3 * width / track.step, mode="nearest")
        inside, beside = _learnt_anew(found)
    tell(len(_COARSE), len(_COARSE))
    return found


def _coarse(weight: NDArray[np.float32], by: int) -> Floats:
    rows, columns = (size // by for size in weight.shape)
    cut = weight[: rows * by, : columns * by]
    even = cut.reshape(rows, by, columns, by).mean(axis=(1, 3))
    return np.asarray(even, np.float64)


def _spread(rough: Edges, strip: Strip, coarse: int) -> tuple[NDArray[np.bool_], Floats, Floats]:
    """Return for each column of the strip whether there is a bead, and offsets of its edges."""
    columns = len(strip.track.at)
    nearest = np.minimum(np.arange(columns) // coarse, len(rough.is_bead) - 1)
    known = np.flatnonzero(rough.is_bead)
    where = (np.arange(columns) - (coarse - 1) / 2) / coarse
    step, first = strip.track.step, strip.offsets[0] - strip.track.step / 2
    right, left = (
        np.interp(where, known, edge[known]) * coarse * step + first
        for edge in (rough.right, rough.left)
    )
    return rough.is_bead[nearest], right, left


def _learnt_anew(found: Gauged) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return what to learn from in the next round: inside the edges, and outside of them."""
    strip, width, step = found.strip, found.width, found.strip.track.step
    own = gaussian_filter1d(found.left - found.right, 0.2 * width / step, mode="nearest")
    half = np.maximum(own, 0.3 * width) / 2
    away = np.abs(strip.offsets[:, None] - found.middle)
    inside = (away < _INSIDE * half) & found.is_bead & strip.is_inside
    beyond = away - half
    beside = (beyond > _NEAR * width) & (beyond < _FAR * width) & strip.is_inside
    return inside, beside


def _across(track: Track) -> Floats:
    """Return what widths in the surface are to be multiplied with, by how askew they are seen.

    A bead's silhouette is that of an ellipse. Seen askew by t, half axes a and b show
    sqrt((a cos t)^2 + (b sin t)^2), while a mark on the surface of the same width shows a cos t.
    """
    here = through(track.to_px, track.at)
    tiny = 0.01 * track.step
    aside = (through(track.to_px, track.at + tiny * track.left) - here) / tiny
    ahead = np.gradient(here, axis=0) / track.step
    # A surface seen straight is stretched alike in all directions; askew, one is the shorter.
    straight = np.linalg.svd(np.stack([aside, ahead], axis=2), compute_uv=False)[:, 0]
    cosine = np.linalg.norm(aside, axis=1) / np.maximum(straight, 1e-12)
    cosine = np.clip(cosine, _LEAST_COSINE, 1.0)
    return np.asarray(cosine / np.sqrt(cosine**2 + _HEIGHT**2 * (1 - cosine**2)))
