"""Learn on the strip itself what is sealant and what is bare flange.

Nothing is known of the sealant's colour, the flange or the light beforehand: what lies in the
middle is taken for sealant and what lies beside it for flange, and what does not look like its
own kind is dropped and learnt anew.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter

from leaktrack.imaging.beading.straightening import Strip
from leaktrack.imaging.measuring.projecting import Floats

OWN_FEATURES = 5
"""How many of the features say what a place looks like alone; they come first."""

MOST_WEIGHT = 4.0
"""No place alone says more for or against sealant than this: natural logarithm of odds."""

# All in widths of the bead; own judgement, tried on drawn beads.
_MIDDLE = 0.22  # to either side of the middle: sealant if there is any
_BESIDE = (0.95, 1.7)  # from the middle: flange
_LOCAL = 5.0  # along the path: light and flange are taken to change over this length
_SOFT_ALONG, _SOFT_ACROSS = 0.12, 0.04  # smoothing of colours

_FLOOR = 6.0  # of 255, added before ratios of colours are taken: what is darker has no colour
_PULL = 1.0  # towards no opinion, per weight of the model
_SAMPLES = 5_000
_BLOCK = 512  # rows multiplied at a time: more, and threads wait for one another
_SEED = 7


@dataclass(frozen=True)
class Evidence:
    """How much each place of a strip speaks for sealant.

    Attributes:
        weight: (M, N), log odds of sealant against flange, even before seeing anything.
        contrast: (M, N), the same before it is cut off: falls from inside to outside as steeply
            as the photo shows it.
        looks: (M, N, F), what each place looks like alone.
        apart: How well both kinds can be told apart, in standard deviations.
    """

    weight: NDArray[np.float32]
    contrast: NDArray[np.float32]
    looks: NDArray[np.float32]
    apart: float


def features_of(strip: Strip, middle: Floats, width: float) -> NDArray[np.float32]:
    """Return (M, N, F): what each place looks like, alone and against the flange beside it.

    Args:
        strip: The strip.
        middle: (N,), offsets of the bead's middle as far as known.
        width: Of the bead, about.
    """
    step = strip.track.step
    along, across = (max(0.5, share * width / step) for share in (_SOFT_ALONG, _SOFT_ACROSS))
    rgb = cv2.GaussianBlur(strip.rgb, (0, 0), sigmaX=along, sigmaY=across)
    lab = cv2.cvtColor(np.ascontiguousarray(rgb / 255.0, np.float32), cv2.COLOR_RGB2LAB)
    logs = np.log(rgb + np.float32(_FLOOR))
    hue = np.stack([logs[..., 0] - logs[..., 1], logs[..., 2] - logs[..., 1]], axis=2)
    own = np.concatenate([lab, np.float32(30.0) * hue], axis=2)
    return np.concatenate([own, own - _ground(own, strip, middle, width)], axis=2).astype(
        np.float32
    )


def seeds(
    strip: Strip, middle: Floats, width: float
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return (M, N) twice: places in the middle of the bead, and places beside it."""
    away = np.abs(strip.offsets[:, None] - middle[None, :]) / width
    inside = (away < _MIDDLE) & strip.is_inside
    beside = (away > _BESIDE[0]) & (away < _BESIDE[1]) & strip.is_inside
    return inside, beside


def learnt(
    features: NDArray[np.float32],
    inside: NDArray[np.bool_],
    beside: NDArray[np.bool_],
    chances: NDArray[np.float32] | None = None,
) -> Evidence:
    """Return what a model says that is fitted to seeds.

    Args:
        features: (M, N, F).
        inside: (M, N), places taken for sealant.
        beside: (M, N), places taken for flange.
        chances: (M, N), how likely each place is sealant by an earlier round; seeds that it
            contradicts count less. None: all count alike.
    """
    draw = np.random.default_rng(_SEED)
    rows = [_some(np.flatnonzero(kind), draw) for kind in (inside, beside)]
    flat = features.reshape(-1, features.shape[2])
    samples = np.concatenate([flat[row] for row in rows]).astype(np.float64)
    truth = np.repeat([1.0, 0.0], [len(row) for row in rows])
    trust = np.ones(len(truth))
    if chances is not None:
        told = np.concatenate([chances.ravel()[row] for row in rows])
        trust = np.where(truth > 0, told, 1 - told).clip(0.02, 1.0).astype(np.float64)
    for value in (0.0, 1.0):  # both kinds count alike, however many seeds each has
        trust[truth == value] /= max(trust[truth == value].sum(), 1e-9)
    centre = (trust[:, None] * samples).sum(axis=0) / trust.sum()
    size = np.sqrt((trust[:, None] * (samples - centre) ** 2).sum(axis=0) / trust.sum()) + 1e-3
    terms = np.asarray(_squared((samples - centre) / size), np.float64)
    model = _fitted(terms, truth, trust * len(truth) / 2)
    score = np.empty(len(flat), np.float32)
    centre32, size32, model32 = (each.astype(np.float32) for each in (centre, size, model))
    for start in range(0, len(flat), 100_000):
        part = (flat[start : start + 100_000] - centre32) / size32
        looks = _squared(part)
        score[start : start + 100_000] = np.einsum("nf,f->n", looks, model32[1:]) + model32[0]
    contrast = score.reshape(features.shape[:2])
    own, other = contrast[inside], contrast[beside]
    apart = float(np.median(own) - np.median(other)) / float(_spread(own) + _spread(other) + 0.1)
    weight = np.clip(contrast, -MOST_WEIGHT, MOST_WEIGHT)
    return Evidence(weight, contrast, features[..., :OWN_FEATURES], apart)


def _ground(own: Floats, strip: Strip, middle: Floats, width: float) -> Floats:
    """Return (M, N, F): what the flange would look like there, from what it is to both sides."""
    away = (strip.offsets[:, None] - middle[None, :]) / width
    window = max(3, round(_LOCAL * width / strip.track.step / 4)) | 1
    sides = []
    for sign in (-1.0, 1.0):
        is_side = (sign * away > _BESIDE[0]) & (sign * away < _BESIDE[1]) & strip.is_inside
        count = np.maximum(is_side.sum(axis=0), 1)
        mean = (own * is_side[..., None]).sum(axis=0) / count[:, None]
        mean[is_side.sum(axis=0) == 0] = np.nan
        sides.append(_filled(mean, window))
    right, left = sides
    middle_of_side = sum(_BESIDE) / 2
    share = np.clip((away / middle_of_side + 1) / 2, 0.0, 1.0)[..., None]
    return np.asarray(right[None] * (1 - share) + left[None] * share)


def _filled(values: Floats, window: int) -> Floats:
    """Return (N, F) running medians, with what is unknown taken from the nearest known."""
    known = ~np.isnan(values[:, 0])
    if not known.any():
        return np.zeros_like(values)
    place = np.arange(len(values))
    whole = np.stack([np.interp(place, place[known], one[known]) for one in values.T], axis=1)
    smooth = median_filter(whole, size=(window, 1), mode="nearest")
    return np.asarray(gaussian_filter1d(smooth, window / 4, axis=0, mode="nearest"))


def _some(rows: NDArray[np.intp], draw: np.random.Generator) -> NDArray[np.intp]:
    return rows if len(rows) <= _SAMPLES else np.sort(draw.choice(rows, _SAMPLES, replace=False))


def _squared(samples: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return (N, 2 F): each feature, and its square, which counts up to three deviations."""
    squares = np.minimum(samples * samples, samples.dtype.type(9)) - samples.dtype.type(1)
    return np.concatenate([samples, squares], axis=1)


def _spread(values: NDArray[np.float32]) -> float:
    low, high = np.percentile(values, [16, 84])
    return float(high - low) / 2


def _fitted(samples: Floats, truth: Floats, trust: Floats) -> Floats:
    """Return (1 + F,) of a logistic model, by Newton's steps."""
    terms = np.column_stack([np.ones(len(samples)), samples])
    model = np.zeros(terms.shape[1])
    pull = np.full(len(model), _PULL * len(truth) / 1000.0)
    pull[0] = 1e-6
    for _ in range(12):
        odds = np.clip(np.einsum("nf,f->n", terms, model), -30, 30)
        chance = 1 / (1 + np.exp(-odds))
        slope = np.einsum("nf,n->f", terms, trust * (truth - chance)) - pull * model
        bend = _product(terms, trust * np.maximum(chance * (1 - chance), 1e-4))
        step = np.linalg.solve(bend + np.diag(pull + 1e-9), slope)
        model += step
        if np.abs(step).max() < 1e-3:
            break
    return np.asarray(model)


def _product(terms: Floats, weights: Floats) -> Floats:
    """Return (F, F): the weighted sum of every pair of columns."""
    total = np.zeros((terms.shape[1], terms.shape[1]))
    for start in range(0, len(terms), _BLOCK):
        part = terms[start : start + _BLOCK]
        total += (part * weights[start : start + _BLOCK, None]).T @ part
    return total
