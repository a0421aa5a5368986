"""Where can a bead not be judged, and why? What is not seen is never called a gap."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing, gaussian_filter1d

from leaktrack.imaging.beading.gauging import Gauged
from leaktrack.imaging.measuring.projecting import Floats

Bools = NDArray[np.bool_]

OUT_OF_FRAME = "out of frame"
IN_THE_WAY = "in the way"
GLARE = "glare"
BLUR = "blur"
FAINT = "faint"

# Lengths in widths of the bead; own judgement, tried on drawn beads.
_NEEDED = 0.75  # to either side of the middle: must be in the photo
_CORE = 0.3
_FLANK = (0.8, 1.5)
_SHORTEST = 0.35  # a doubt that is shorter is none
_JUMP = 14.0  # in Lab: what lies in the way differs from the flange by more than a shadow does
_USUAL_JUMPS = 4.0
_SATURATED = 250.0
_DAZZLED = 0.6  # of the places
_LEAST_STEEP = 1.6
_LEAST_APART = 1.5  # weights between the bead and its flanks


def doubted(found: Gauged) -> dict[str, Bools]:
    """Return for each reason the (N,) columns that cannot be judged for it.

    Args:
        found: The bead as gauged.
    """
    away = np.abs(found.strip.offsets[:, None] - found.middle) / found.width
    is_outside = np.asarray(((away < _NEEDED) & ~found.strip.is_inside).any(axis=0))
    step = found.strip.track.step / found.width
    core = away < _CORE
    flank = (away > _FLANK[0]) & (away < _FLANK[1])
    weight = found.evidence.weight
    inner, outer = (
        _mean(weight, core & found.strip.is_inside),
        _mean(weight, flank & found.strip.is_inside),
    )
    smooth = 0.3 / step
    inner_even, outer_even = (
        gaussian_filter1d(one, smooth, mode="nearest") for one in (inner, outer)
    )
    bright = (found.strip.rgb.min(axis=2) > _SATURATED).astype(np.float32)
    on_path, beside = _mean(bright, core), _mean(bright, flank)
    is_blurred = found.is_bead & (found.steep < _LEAST_STEEP)
    is_faint = found.is_bead & (inner_even - outer_even < _LEAST_APART)
    is_lit = on_path > _DAZZLED
    is_dazzled = _dazzled(found, on_path, beside) | ((is_blurred | is_faint) & is_lit)
    reasons = {
        OUT_OF_FRAME: is_outside,
        # A dazzling flange looks like no flange either.
        IN_THE_WAY: ((outer_even > 0.5) | _covered(found, flank, is_blurred | is_faint))
        & ~is_dazzled,
        GLARE: is_dazzled,
        BLUR: is_blurred & ~is_lit,
        FAINT: is_faint & ~is_lit,
    }
    shortest = max(1, round(_SHORTEST / step))
    return {
        reason: columns if reason == OUT_OF_FRAME else _long(columns, shortest)
        for reason, columns in reasons.items()
    }


def runs(columns: Bools) -> Iterator[tuple[int, int]]:
    """Yield the first and the one past the last column of each run."""
    steps = np.diff(np.concatenate([[0], columns.astype(np.int8), [0]]))
    starts, ends = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1)
    yield from zip(starts.tolist(), ends.tolist(), strict=True)


def _covered(found: Gauged, flank: Bools, is_doubtful: Bools) -> Bools:
    """Return where neither bead nor the flange beside it is seen, but something else.

    In a gap the flange goes on beside the path as it was before; under a hand it does not. What of
    a hand is taken for a bit of bead has no sharp edges.
    """
    covered = np.zeros(len(found.is_bead), np.bool_)
    features = found.evidence.looks
    step = found.strip.track.step / found.width
    seen = flank & found.strip.is_inside
    looks = np.stack(
        [_mean(features[..., channel], seen) for channel in range(features.shape[2])], axis=1
    )
    reach = max(2, round(1.0 / step))
    ahead = np.linalg.norm(looks[2 * reach :] - looks[: -2 * reach], axis=1)
    usual = float(np.median(ahead)) if len(ahead) else 0.0
    for start, end in runs(~found.is_bead | is_doubtful):
        if found.is_bead[start:end].all():
            continue
        inside = np.median(looks[start:end], axis=0)
        # Not right at its ends: the edge of a hand is taken for a bit of bead.
        parts = (looks[max(0, start - 3 * reach) : max(0, start - reach)],
                 looks[end + reach : end + 3 * reach])  # fmt: skip
        around = [np.median(part, axis=0) for part in parts if len(part) > reach // 2]
        if not around:
            continue
        if min(float(np.linalg.norm(inside - one)) for one in around) < max(
            _JUMP, _USUAL_JUMPS * usual
        ):
            continue
        outside = np.mean(around, axis=0)
        is_like = np.linalg.norm(looks - inside, axis=1) < np.linalg.norm(looks - outside, axis=1)
        is_like[start:end] = True
        first, last = next(one for one in runs(is_like) if one[0] <= start and end <= one[1])
        covered[first:last] = True
    return covered


def _dazzled(found: Gauged, on_path: Floats, beside: Floats) -> Bools:
    """Return where light hides whether there is a bead.

    A dazzling flange does not: the bead is seen on it before and after. But what dazzles on the
    path only, or not far beyond the place where the bead is lost, may lie on the bead.
    """
    step = found.strip.track.step / found.width
    dazzled = np.zeros(len(found.is_bead), np.bool_)
    for start, end in runs(~found.is_bead):
        if on_path[start:end].mean() < _DAZZLED:
            continue
        margin = round(1.0 / step)
        before = slice(max(0, start - margin), max(1, start - margin // 3))
        after = slice(end + margin // 3, end + margin)
        around = [beside[part].mean() for part in (before, after) if len(beside[part])]
        is_wide = bool(around) and min(around) > _DAZZLED
        if not (is_wide and beside[start:end].mean() > _DAZZLED):
            dazzled[start:end] = True
    return dazzled


def _mean(values: NDArray[np.float32], kind: Bools) -> Floats:
    count = kind.sum(axis=0)
    return np.asarray((values * kind).sum(axis=0) / np.maximum(count, 1), np.float64)


def _long(columns: Bools, shortest: int) -> Bools:
    """Return columns with small holes closed and short runs dropped."""
    closed = np.asarray(
        binary_closing(np.pad(columns, shortest), np.ones(shortest + 1, np.bool_))[
            shortest:-shortest
        ]
    )
    kept = np.zeros_like(columns)
    for start, end in runs(closed):
        if end - start >= shortest:
            kept[start:end] = True
    return kept
