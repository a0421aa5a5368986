"""What is wrong with a gauged bead: gaps, thin and thick places, places off its line."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from leaktrack.imaging.beading.defect_weights import defect_chance
from leaktrack.imaging.beading.doubting import runs
from leaktrack.imaging.beading.gauging import Gauged
from leaktrack.imaging.measuring.projecting import Floats
from leaktrack.model.bead_audit import BeadDefectKind

Bools = NDArray[np.bool_]

LEAST_CHANCE = 0.5
"""Less likely defects are not told: false alarms cost trust."""

# Lengths in widths of the bead; own judgement, tried on drawn beads.
_SHORTEST_GAP = 0.2
_SHORTEST_END = 1.0  # of a missing start or end: a path may be drawn a little too long
_SHORTEST_FAULT = 0.5
_JOINED = 0.6  # two faults of a kind that are nearer to one another are one
_ROUNDED = 0.5  # next to a gap the bead ends round: that is not thin as well

_USUAL_OVER = 3.0  # the bead is compared with itself so far to both sides
_MOST_OVER = 6.0  # deviations: more is no surer
_BORNE_OUT = 1.5  # weight for sealant, or against it

_SHARP = 4.0  # edges at least so steep are no less well known for blur
_BLUR_DOUBT = 0.8  # of a width, times what one over the steepness exceeds that of a sharp edge by
_EDGE_DOUBT = 0.05  # of the width, or half a px: how far a width may be off


@dataclass(frozen=True)
class Limits:
    """What is allowed, in the surface's unit; None: anything."""

    narrowest: float | None = None
    widest: float | None = None
    farthest: float | None = None


@dataclass(frozen=True)
class Fault:
    """A stretch of columns that is not as it should be; ``last`` is one past its last one."""

    kind: BeadDefectKind
    first: int
    last: int
    least_width: float
    clues: tuple[float, ...]

    @property
    def chance(self) -> float:
        """How likely it is there, as learnt from beads whose truth is known."""
        return defect_chance(self.kind, self.clues)


def faults_of(found: Gauged, is_unread: Bools, limits: Limits) -> list[Fault]:
    """Return what is likely wrong, along the path.

    Args:
        found: The bead as gauged.
        is_unread: (N,), columns that cannot be judged.
        limits: What is allowed.
    """
    faults = suspected(found, is_unread, limits)
    return [fault for fault in faults if fault.chance >= LEAST_CHANCE]


def suspected(found: Gauged, is_unread: Bools, limits: Limits) -> list[Fault]:
    """Return whatever may be wrong, likely or not, along the path.

    Args:
        found: The bead as gauged.
        is_unread: (N,), columns that cannot be judged.
        limits: What is allowed.
    """
    gaps = _gaps(found, is_unread)
    is_judged = found.is_bead & ~is_unread & ~_beside_gap(found)
    widths, doubt = found.widths, _width_doubt(found)
    faults = list(gaps)
    if limits.narrowest is not None:
        short = (limits.narrowest - widths) / doubt
        faults += _stretches(found, is_judged, short, BeadDefectKind.THIN)
    if limits.widest is not None:
        over = (widths - limits.widest) / doubt
        faults += _stretches(found, is_judged, over, BeadDefectKind.THICK)
    if limits.farthest is not None:
        off = (np.abs(found.middle) - limits.farthest) / doubt
        faults += _stretches(found, is_judged, off, BeadDefectKind.OFF_TRACK)
    return sorted(faults, key=lambda fault: fault.first)


def _gaps(found: Gauged, is_unread: Bools) -> list[Fault]:
    step = found.strip.track.step / found.width
    core = np.abs(found.strip.offsets[:, None] - found.middle) < 0.3 * found.width
    inner = (found.evidence.weight * core).sum(axis=0) / np.maximum(core.sum(axis=0), 1)
    gaps = []
    columns = len(found.is_bead)
    for first, last in runs(~found.is_bead):
        is_end = first == 0 or last == columns
        length = (last - first) * step
        if length < (_SHORTEST_END if is_end else _SHORTEST_GAP):
            continue
        if is_unread[first:last].mean() > 0.3:
            continue
        clues = (float(np.mean(inner[first:last])), float(np.log(length)), _apart(found))
        gaps.append(Fault(BeadDefectKind.GAP, first, last, 0.0, clues))
    return gaps


def _apart(found: Gauged) -> float:
    """Return how well sealant and flange can be told apart, on a scale that levels off."""
    return float(np.log(max(found.evidence.apart, 0.1)))


def _stretches(
    found: Gauged, is_judged: Bools, excess: Floats, kind: BeadDefectKind
) -> list[Fault]:
    """Return stretches that exceed a limit, by how many standard deviations of a width."""
    step = found.strip.track.step / found.width
    even = gaussian_filter1d(excess, 0.1 / step, mode="nearest")
    faults: list[Fault] = []
    for first, last in _joined((even > 0) & is_judged, round(_JOINED / step)):
        part = even[first:last]
        peak = float(part.max())
        if (last - first) * step < _SHORTEST_FAULT or peak < 1:
            continue
        borne = _borne_out(found, first, last, kind)
        if borne < _BORNE_OUT:
            continue
        widths = found.widths[first:last][is_judged[first:last]]
        least = float(widths.max() if kind is BeadDefectKind.THICK else widths.min())
        length = float(np.log((last - first) * step))
        clues = (
            min(peak, _MOST_OVER),
            length,
            borne,
            _apart(found),
            _one_sided(found, first, last),
        )
        if kind is BeadDefectKind.OFF_TRACK:
            clues = (peak, 0.0, 0.0, 0.0, 0.0)
        faults.append(Fault(kind, first, last, least, clues))
    return faults


def _borne_out(found: Gauged, first: int, last: int, kind: BeadDefectKind) -> float:
    """Return how far what is seen there agrees: where light is poor, an edge may be lost.

    What makes a bead thick has to look like sealant, what it lacks where it is thin like flange.
    """
    if kind is BeadDefectKind.OFF_TRACK:
        return np.inf
    step = found.strip.track.step / found.width
    reach = max(1, round(_USUAL_OVER / step))
    around = slice(max(0, first - reach), last + reach)
    is_known = found.is_bead[around]
    half = float(np.median((found.left - found.right)[around][is_known])) / 2
    middle = float(np.median(found.middle[around][is_known]))
    here = slice(first, last)
    offsets = found.strip.offsets[:, None]
    is_within = (offsets > found.right[here]) & (offsets < found.left[here])
    was_within = np.abs(offsets - middle) < half
    differs = is_within & ~was_within if kind is BeadDefectKind.THICK else was_within & ~is_within
    if not differs.any():
        return -np.inf
    mean = float(found.evidence.weight[:, here][differs].mean())
    return mean if kind is BeadDefectKind.THICK else -mean


def _one_sided(found: Gauged, first: int, last: int) -> float:
    """Return how far only one edge is elsewhere than around: 0 both alike, 1 only one of them.

    A blob bulges to both sides, more or less; a hole or a shadow beside the bead to one.
    """
    step = found.strip.track.step / found.width
    reach = max(1, round(_USUAL_OVER / step))
    around = np.r_[max(0, first - reach) : first, last : min(last + reach, len(found.is_bead))]
    around = around[found.is_bead[around]]
    if not len(around):
        return 0.0
    moved = [
        abs(float(np.median(edge[first:last])) - float(np.median(edge[around])))
        for edge in (found.left, found.right)
    ]
    return abs(moved[0] - moved[1]) / max(sum(moved), 0.02 * found.width)


def _joined(columns: Bools, reach: int) -> list[tuple[int, int]]:
    joined: list[tuple[int, int]] = []
    for first, last in runs(columns):
        if joined and first - joined[-1][1] <= reach:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _beside_gap(found: Gauged) -> Bools:
    reach = round(_ROUNDED * found.width / found.strip.track.step)
    beside = np.zeros(len(found.is_bead), np.bool_)
    for first, last in runs(~found.is_bead):
        beside[max(0, first - reach) : last + reach] = True
    return beside


def _width_doubt(found: Gauged) -> Floats:
    """Return (N,) one standard deviation of a measured width: more where edges are blurred."""
    sharp = float(np.hypot(_EDGE_DOUBT * found.width, 0.5 * found.strip.px_size))
    blurred = np.maximum(1 / np.maximum(found.steep, 0.5) - 1 / _SHARP, 0.0)
    return np.asarray(np.hypot(sharp, _BLUR_DOUBT * blurred * found.width))
