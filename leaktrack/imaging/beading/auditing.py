"""Audit a bead in a photo: widths and offsets along its path, what is wrong, what is not seen."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.imaging.beading.doubting import FAINT, doubted, runs
from leaktrack.imaging.beading.faulting import Limits, faults_of
from leaktrack.imaging.beading.gauging import Gauged, gauged
from leaktrack.imaging.measuring.projecting import Floats
from leaktrack.model.bead_audit import (
    BeadDefect,
    BeadDefectKind,
    BeadPoint,
    BeadVerdict,
    UnreadStretch,
)
from leaktrack.model.shapes import PointPx

_POINTS_TO_A_WIDTH = 6
_LEAST_APART = 1.3
"""Less apart than this, in standard deviations, sealant and flange are the same; own judgement."""

_MOST_UNREAD = 0.4  # of the path: more, and nothing is said of the whole; own judgement
_LEAST_PX = 5.0
"""A bead of fewer px is not measured; own judgement."""


@dataclass(frozen=True)
class Audited:
    """What a photo shows of a bead.

    Attributes:
        points: Along the path.
        defects: Along the path.
        unread: What cannot be judged.
        verdict: Of the whole.
        width: Typical, in the surface's unit; None where nothing was found.
        unit_per_px: Surface units to a px of the photo, at the path.
    """

    points: tuple[BeadPoint, ...]
    defects: tuple[BeadDefect, ...]
    unread: tuple[UnreadStretch, ...]
    verdict: BeadVerdict
    width: float | None
    unit_per_px: float | None


def audited(
    rgb: NDArray[np.uint8],
    path_px: Floats,
    along: Floats | None,
    to_surface: Floats,
    expected: float,
    limits_of: Callable[[float], Limits],
    tell: Callable[[int, int], None],
) -> Audited:
    """Return what a photo shows of the bead along a path.

    Args:
        rgb: (rows, cols, 3), the upright photo.
        path_px: (N, 2), at least two points of the path.
        along: (N,), rising: how far along each point counts as; None: as far as it is.
        to_surface: (3, 3), the projective map from px to the surface.
        expected: Width of the bead, in the surface's unit, within a factor of about two.
        limits_of: Tells what is allowed for a bead that is typically so wide.
        tell: Called with how many rounds are done, of how many; may raise to stop.
    """
    found = gauged(rgb, path_px, along, to_surface, expected, tell)
    if found is None or found.evidence.apart < _LEAST_APART:
        return _nothing(path_px, along, found)
    if found.width < _LEAST_PX * found.strip.px_size:
        return _nothing(path_px, along, found, "too small")
    reasons = doubted(found)
    is_unread = np.any(list(reasons.values()), axis=0)
    faults = faults_of(found, is_unread, limits_of(found.width))
    marks = found.strip.track.along
    end = len(marks) - 1
    defects = tuple(
        BeadDefect(
            fault.kind,
            _told(marks[fault.first]),
            _told(marks[min(fault.last, end)]),
            _told(fault.least_width),
            round(fault.chance, 4),
        )
        for fault in faults
    )
    is_gap = np.zeros(len(marks), np.bool_)
    for fault in faults:
        if fault.kind is BeadDefectKind.GAP:
            is_gap[fault.first : fault.last] = True
    # Where no bead is found and yet no gap is told, nothing is known.
    is_unread |= ~found.is_bead & ~is_gap
    unread = _unread(found, is_unread, reasons)
    return Audited(
        _points(found, is_unread),
        defects,
        unread,
        _verdict(defects, float(is_unread.mean())),
        found.width * float(np.median(found.across)),
        found.strip.px_size,
    )


def _points(found: Gauged, is_unread: NDArray[np.bool_]) -> tuple[BeadPoint, ...]:
    track = found.strip.track
    by = max(1, round(found.width / track.step / _POINTS_TO_A_WIDTH))
    columns = np.arange(0, len(track.at), by)
    places = track.places_px(np.zeros(1))[0]
    widths, middle = found.widths, found.middle
    return tuple(
        BeadPoint(
            along=_told(track.along[column]),
            width=_told(widths[column]),
            offset=_told(middle[column]) if found.is_bead[column] else 0.0,
            is_read=not is_unread[column],
            at_px=PointPx(_told(places[column, 0]), _told(places[column, 1])),
        )
        for column in columns
    )


def _unread(
    found: Gauged, is_unread: NDArray[np.bool_], reasons: dict[str, NDArray[np.bool_]]
) -> tuple[UnreadStretch, ...]:
    marks = found.strip.track.along
    shortest = 0.3 * found.width / found.strip.track.step
    stretches = []
    for first, last in runs(is_unread):
        if last - first < shortest:
            continue
        counts = Counter({why: int(where[first:last].sum()) for why, where in reasons.items()})
        why, count = counts.most_common(1)[0]
        stretches.append(
            UnreadStretch(
                _told(marks[first]),
                _told(marks[min(last, len(marks) - 1)]),
                why if count else FAINT,
            )
        )
    return tuple(stretches)


def _told(value: float) -> float:
    """Return a figure with no more digits than are measured: a bead has hundreds of them."""
    return round(float(value), 3)


def _verdict(defects: tuple[BeadDefect, ...], unread_share: float) -> BeadVerdict:
    if defects:
        return BeadVerdict.DEFECTIVE
    if unread_share > _MOST_UNREAD:
        return BeadVerdict.UNREADABLE
    return BeadVerdict.CONTINUOUS


def _nothing(
    path_px: Floats, along: Floats | None, found: Gauged | None, why: str = FAINT
) -> Audited:
    """Return the audit of a path on which no bead can be told from the flange."""
    steps = np.linalg.norm(np.diff(path_px, axis=0), axis=1)
    marks = np.append(0.0, np.cumsum(steps)) if along is None else along
    if found is not None:
        marks = found.strip.track.along
    stretch = UnreadStretch(float(marks[0]), float(marks[-1]), why)
    size = None if found is None else found.strip.px_size
    return Audited((), (), (stretch,), BeadVerdict.UNREADABLE, None, size)
