"""Find a bead's edges to a fraction of a pixel, once they are known roughly.

First by what tells sealant from flange best, then in linear light: a tone curve lifts the bright
side of a blurred edge, and a dark bead on a bright flange would come out too narrow by a quarter
of a millimetre.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter

from leaktrack.imaging.beading.straightening import Strip
from leaktrack.imaging.measuring.projecting import Floats

# Lengths in widths of the bead; own judgement, tried on drawn beads.
_REACH = 0.15  # from the rough edge; one standard deviation
_ALONG = 2.0  # over which sealant and flange are averaged
_EVEN = 3.0  # over which linear light is taken to shift an edge alike
_LEAST_RATIO = 0.45  # (bright - dark) / (bright + dark): below, light hardly shifts an edge
_BLUR = 0.06  # across, for the slope of an edge
_KEPT_ALONG = 0.12  # edges are smoothed along the path by this many widths
_LIKENESS = (-0.3, 1.1)  # 0 flange, 1 sealant; beyond, it says no more
_DARK = 0.02  # of full light, added before ratios are taken

_NUDGE_PX = 2.6
"""How far an edge may lie elsewhere in linear light, in px of the photo: about its blur."""

_TONE = 2.2
"""Source: IEC 61966-2-1 (sRGB), which is close to this power."""


def trimmed(
    features: NDArray[np.float32],
    strip: Strip,
    right: Floats,
    left: Floats,
    is_bead: NDArray[np.bool_],
    width: float,
) -> tuple[Floats, Floats, Floats]:
    """Return the (N,) offsets of the right and the left edge, and how steep both are.

    Steepness is what changes of all that tells sealant from flange, over one width: a sharp photo
    shows 5 and more, one blurred by a quarter of the width 1.6.

    Args:
        features: (M, N, F), what each place looks like.
        strip: Where it was seen.
        right: (N,), rough offsets of the right edge.
        left: (N,), of the left edge.
        is_bead: (N,), whether there is a bead.
        width: Of the bead, about.
    """
    middle, half = (left + right) / 2, np.maximum((left - right) / 2, 0.15 * width)
    core = np.abs((strip.offsets[:, None] - middle) / half) < 0.55
    core &= is_bead[None, :] & strip.is_inside
    light = np.asarray((strip.rgb / 255.0) ** _TONE, np.float64)
    found, steep = [], []
    for sign, rough in ((-1.0, right), (1.0, left)):
        edge, slope = _steepest(features, strip, rough, sign, core, width)
        steep.append(_even(slope * width, is_bead, width / strip.track.step))
        edge = _even(edge, is_bead, _KEPT_ALONG * width / strip.track.step)
        edge = edge + _by_light(light, strip, edge, sign, is_bead, width)
        found.append(edge)
    return found[0], found[1], np.minimum(*steep)


def _steepest(
    features: NDArray[np.float32],
    strip: Strip,
    rough: Floats,
    sign: float,
    core: NDArray[np.bool_],
    width: float,
) -> tuple[Floats, Floats]:
    """Return where what looks like sealant turns fastest into flange, and how fast it does."""
    step = strip.track.step
    away = sign * (strip.offsets[:, None] - rough)
    beside = (away > 0.3 * width) & (away < 0.9 * width) & strip.is_inside
    sigma = _ALONG * width / step
    sealant, flange = _running(features, core, sigma), _running(features, beside, sigma)
    noise = _variance(features, core, sealant) + _variance(features, beside, flange) + 0.5
    way = ((sealant - flange) / noise).astype(np.float32)
    size = ((sealant - flange) * way).sum(axis=1)
    likeness = np.einsum("mnf,nf->mn", features, way) - (flange * way).sum(axis=1)
    likeness /= np.maximum(size, 1e-6)
    # A highlight is farther from the flange than sealant is; its edge is none of the bead.
    likeness = np.clip(likeness, *_LIKENESS)
    likeness = gaussian_filter1d(likeness, _KEPT_ALONG * width / step, axis=1)
    slope = -sign * gaussian_filter1d(likeness, _BLUR * width / step, axis=0, order=1)
    nearness = np.exp(-0.5 * (away / (_REACH * width)) ** 2)
    edge = _peak(slope * nearness, slope, strip)
    row = np.clip(np.rint((edge - strip.offsets[0]) / step), 0, len(slope) - 1).astype(np.intp)
    return edge, np.asarray(slope[row, np.arange(len(row))] / step)


def _by_light(
    light: Floats,
    strip: Strip,
    edge: Floats,
    sign: float,
    is_bead: NDArray[np.bool_],
    width: float,
) -> Floats:
    """Return (N,): by how much an edge lies elsewhere in linear light."""
    step = strip.track.step
    away = sign * (strip.offsets[:, None] - edge)
    is_seen = is_bead[None, :] & strip.is_inside
    sigma = 0.25 * width / step * 2
    nudge = min(_NUDGE_PX * strip.px_size, 0.12 * width)
    inner = _running(light, (away > -2 * nudge) & (away < -0.8 * nudge) & is_seen, sigma)
    outer = _running(light, (away > 0.8 * nudge) & (away < 2.5 * nudge) & is_seen, sigma)
    way = (inner - outer) / (inner + outer + _DARK)
    size = ((inner - outer) * way).sum(axis=1)
    likeness = np.einsum("mnf,nf->mn", light, way) - (outer * way).sum(axis=1)
    likeness = np.clip(likeness / np.maximum(size, 1e-9), *_LIKENESS)
    likeness = gaussian_filter1d(likeness, _KEPT_ALONG * width / step, axis=1)
    slope = -sign * gaussian_filter1d(likeness, _BLUR * width / step, axis=0, order=1)
    there = _peak(np.where(np.abs(away) < nudge, slope, -np.inf), slope, strip)
    # Where the slope still rises at the end of the search, it belongs to something else.
    is_told = np.abs(there - edge) < nudge - step
    is_told &= is_bead & (np.abs(way).max(axis=1) > _LEAST_RATIO)
    if not is_told.any():
        return np.zeros_like(edge)
    shift = np.interp(np.arange(len(edge)), np.flatnonzero(is_told), (there - edge)[is_told])
    window = max(3, round(_EVEN * width / step)) | 1
    return np.asarray(median_filter(shift, size=window, mode="nearest"))


def _peak(searched: Floats, slope: Floats, strip: Strip) -> Floats:
    """Return the offset of each column's highest place, by a parabola through its neighbours."""
    row = np.clip(searched.argmax(axis=0), 1, len(slope) - 2)
    column = np.arange(slope.shape[1])
    before, top, after = (slope[row + by, column] for by in (-1, 0, 1))
    bend = before - 2 * top + after
    part = np.where(bend < -1e-12, 0.5 * (before - after) / np.minimum(bend, -1e-12), 0.0)
    return np.asarray(strip.offsets[row] + np.clip(part, -1, 1) * strip.track.step)


def _even(values: Floats, is_known: NDArray[np.bool_], sigma: float) -> Floats:
    """Return values smoothed along the path, from the known ones only."""
    if not is_known.any():
        return values
    places = np.arange(len(values))
    whole = np.interp(places, places[is_known], values[is_known])
    return np.asarray(gaussian_filter1d(whole, sigma, mode="nearest"))


def _running(values: NDArray[np.floating], kind: NDArray[np.bool_], sigma: float) -> Floats:
    """Return (N, F): the mean of one kind of place, running along the path."""
    total = np.einsum("mnf,mn->nf", values, kind.astype(values.dtype))
    total = gaussian_filter1d(total.astype(np.float64), sigma, axis=0, mode="nearest")
    count = gaussian_filter1d(kind.sum(axis=0).astype(np.float64), sigma, mode="nearest")
    return np.asarray(total / np.maximum(count, 1e-9)[:, None])


def _variance(features: NDArray[np.float32], kind: NDArray[np.bool_], mean: Floats) -> Floats:
    """Return (F,): how much one kind of place varies about its running mean."""
    rows, columns = np.nonzero(kind)
    if not len(rows):
        return np.ones(features.shape[2])
    return np.asarray(((features[rows, columns] - mean[columns]) ** 2).mean(axis=0), np.float64)
