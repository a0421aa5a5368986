"""Gauge a bead along a path: where its edges are, how wide it is, where it is missing."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from leaktrack.imaging.beading.edging import Edges, edges_in
from leaktrack.imaging.beading.learning import (
    MOST_WEIGHT,
    OWN_FEATURES,
    Evidence,
    features_of,
    learnt,
    seeds,
)
from leaktrack.imaging.beading.sectioning import REACH as SECTION_REACH
from leaktrack.imaging.beading.sectioning import STEPS_TO_A_WIDTH, Section, sectioned
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
_PLAINLY_APART = 2.5  # standard deviations: sealant and flange need no other look
_ALONE_APART = 1.8  # the least in painted photos where it was right was 2.0
# From here on places tell where the bead's edges are, however wide its look across seems: rendered
# grey and black beads, by a quarter wider than their looks, were right at 2.1 and 2.5.
_EDGES_APART = 2.0
_SECTION_APART = 1.6
_LEAST_SECTION_APART = 1.5  # bare flanges of painted photos reach 1.2 by chance
_LEAST_SEEN = 0.5  # of the columns: where most have none, chance made a section up
_FAR_SURER = 3.0
_SECTION_SIGMAS = 0.25  # by how many of a section's deviations kinds are apart as above
_SECTION_STEEP = 2.4  # its edges are known less well than sharp ones
_LIKELY_WIDTH = 0.7  # in its logarithm, from what was asked for
_SAME_EDGES = 0.12
_SAME_COLUMNS = 0.985
_SAME_WIDTH = 0.2  # in its logarithm
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
    found = _likely(_by_places(rgb, path_px, along, to_surface, width, tell), width)
    if found is not None and found.evidence.apart >= _PLAINLY_APART:
        return found
    other = _likely(_by_section(rgb, path_px, along, to_surface, width), width)
    if other is None:
        # Little apart, and nothing alike along the path: what was found may be chance.
        return found if found is not None and found.evidence.apart >= _ALONE_APART else None
    if found is not None and _is_alike(found, other):
        return found  # its edges are finer
    return other


def _likely(found: Gauged | None, width: float) -> Gauged | None:
    """Return a bead about as wide as it was to be; anything else is something else."""
    if found is None or abs(np.log(found.width / width)) > _LIKELY_WIDTH:
        return None
    return found


def _is_alike(found: Gauged, other: Gauged) -> bool:
    """Return whether both ways to look at it find the same bead, and both with some certainty."""
    least = max(_SECTION_APART, other.evidence.apart / _FAR_SURER)
    if found.evidence.apart < least:
        return False
    here = np.linspace(0, 1, len(found.is_bead))
    there = np.linspace(0, 1, len(other.is_bead))
    same = np.interp(here, there, other.is_bead.astype(np.float64)) > 0.5
    if float((same == found.is_bead).mean()) <= _SAME_COLUMNS:
        return False
    is_as_wide = abs(np.log(found.width / other.width)) < _SAME_EDGES
    return is_as_wide or found.evidence.apart >= _EDGES_APART


def _by_places(
    rgb: NDArray[np.uint8],
    path_px: Floats,
    along: Floats | None,
    to_surface: Floats,
    width: float,
    tell: Callable[[int, int], None],
) -> Gauged | None:
    """Return the bead as told by what each place looks like."""
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


def _by_section(
    rgb: NDArray[np.uint8], path_px: Floats, along: Floats | None, to_surface: Floats, width: float
) -> Gauged | None:
    """Return the bead as told by what it looks like across."""
    smoothing = _SMOOTHING * width

    def looked_at(width: float) -> tuple[Track, Section | None]:
        track = track_of(path_px, along, to_surface, width / STEPS_TO_A_WIDTH, smoothing)
        return track, sectioned(strip_of(rgb, track, SECTION_REACH * width), width)

    coarse, section = looked_at(width)
    if section is not None and abs(np.log(section.width / width)) > _SAME_WIDTH:
        coarse, section = looked_at(section.width)
    if (
        section is None
        or _SECTION_SIGMAS / section.noise < _LEAST_SECTION_APART
        or section.is_bead.mean() < _LEAST_SEEN
    ):
        return None
    seen = section.width
    track = track_of(path_px, along, to_surface, _STEP * seen, smoothing)
    strip = strip_of(rgb, track, _REACH * seen)
    here = np.arange(len(track.at)) * track.step
    there = np.arange(len(section.share)) * coarse.step
    right, left, share = (
        np.interp(here, there, one) for one in (section.right, section.left, section.share)
    )
    nearest = np.clip(np.rint(here / coarse.step), 0, len(there) - 1).astype(np.intp)
    is_bead = section.is_bead[nearest]
    says = np.clip((share - 0.5) / section.noise**2, -MOST_WEIGHT, MOST_WEIGHT)
    offsets = strip.offsets[:, None]
    is_within = (offsets > right) & (offsets < left)
    weight = np.where(is_within, says, np.minimum(-says, 0.0)).astype(np.float32)
    own = features_of(strip, (left + right) / 2, seen)[..., :OWN_FEATURES]
    evidence = Evidence(weight, weight, np.ascontiguousarray(own), _SECTION_SIGMAS / section.noise)
    steep = np.full(len(track.at), _SECTION_STEEP)
    return Gauged(strip, evidence, right, left, is_bead, seen, _across(track), steep)


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
