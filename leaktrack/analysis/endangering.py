"""Where along a joint is a leak more likely? What the bead's photos and the tightening say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leaktrack.analysis.spreading import Numbers, Seam
from leaktrack.model.bead_audit import BeadAudit, BeadDefect, BeadDefectKind, BeadVerdict
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Clue, ClueKind

# A place counts as read where a read point of the bead lies within so many bolt spacings of it: at
# usual spacings a few millimetres. Own judgement.
READ_WITHIN = 0.12
# Nearer to an untightened bolt than so many bolt spacings is beside it. Own judgement.
BESIDE_BOLT = 0.5

# A place between two bolts is told by its share of the way, which tilt changes from photo to photo:
# so many bolt spacings either way. Counts where bolts are far apart, as those of a seal with two.
# Own judgement.
BETWEEN_BOLTS = 0.03

_FACTORS = {
    BeadDefectKind.GAP: "gap",
    BeadDefectKind.THIN: "thin",
    BeadDefectKind.THICK: "thick",
    BeadDefectKind.OFF_TRACK: "off_track",
}
_CLUES = {
    BeadDefectKind.GAP: ClueKind.BEAD_GAP,
    BeadDefectKind.THIN: ClueKind.BEAD_THIN,
    BeadDefectKind.OFF_TRACK: ClueKind.BEAD_OFF_TRACK,
}


@dataclass(frozen=True, slots=True)
class Danger:
    """How likely a leak is at each place of a seam, against a joint that nobody looked at.

    Attributes:
        bead: By the bead's photos, of shape (n,); ones where none shows it.
        bolts: By the tightening of the bolts beside it, of shape (n,).
    """

    bead: Numbers
    bolts: Numbers
    audits: tuple[BeadAudit, ...]


def danger(
    seam: Seam,
    audits: Sequence[BeadAudit],
    loose_bolts: Sequence[int],
    beads: Mapping[str, float],
) -> Danger:
    """Return where along a seam a leak is more likely.

    A stretch that a photo shows sound is less likely to leak than one that nobody looked at, a gap
    is much likelier, by its chance to be there and its length. Of several photos the worst counts.

    Args:
        seam: The places along the joint.
        audits: Of its bead.
        loose_bolts: Numbers of bolts of which no tightening is recorded, though others have one.
        beads: The weights' figures of beads.
    """
    readable = tuple(one for one in audits if one.verdict is not BeadVerdict.UNREADABLE)
    ones = np.ones(len(seam.along_px))
    stations = seam.stations() if readable or loose_bolts else None
    if stations is None:
        return Danger(ones, ones, ())
    bead = _bead_danger(seam, stations, readable, beads)
    bolts = ones
    if seam.line.ruler.counts_bolts and loose_bolts:
        near = [_apart(seam, stations, float(number)) <= BESIDE_BOLT for number in loose_bolts]
        bolts = np.where(np.any(near, axis=0), beads["untightened"], 1.0)
    return Danger(bead, bolts, readable)


def bead_clue(
    seam: Seam, found: Danger, station: float | None, weight: float, beads: Mapping[str, float]
) -> Clue | None:
    """Return what the bead's photos say of a place, as one clue with a given weight."""
    if station is None or not found.audits or np.all(found.bead == 1.0):
        return None
    near = [
        (_danger_of(defect, beads, audit.unit), audit, defect)
        for audit in found.audits
        for defect in audit.defects
        if defect.kind in _CLUES and _holds(seam, defect, station, _slack(seam, beads))
    ]
    if near:
        _, audit, defect = max(near, key=lambda one: one[0])
        return Clue(
            _CLUES[defect.kind],
            defect.end - defect.start,
            audit.unit,
            weight=weight,
            photo_id=audit.photo_id,
            at_px=_place(audit, (defect.start + defect.end) / 2),
            record_id=audit.sealing_job_id,
        )
    audit = found.audits[0]
    nearest = min(
        (point for one in found.audits for point in one.points if point.station is not None),
        key=lambda point: float(_apart(seam, np.array([point.station]), station)[0]),
        default=None,
    )
    return Clue(
        ClueKind.BEAD_SOUND,
        weight=weight,
        photo_id=next((one.photo_id for one in found.audits if nearest in one.points), None)
        or audit.photo_id,
        at_px=nearest.at_px if nearest else None,
        record_id=audit.sealing_job_id,
    )


def _bead_danger(
    seam: Seam, stations: Numbers, audits: Sequence[BeadAudit], beads: Mapping[str, float]
) -> Numbers:
    found = np.ones(len(stations))
    was_read = np.zeros(len(stations), dtype=bool)
    for audit in audits:
        read = [p.station for p in audit.points if p.is_read and p.station is not None]
        for station in _thinned(read):
            was_read |= _apart(seam, stations, station) <= READ_WITHIN
    found[was_read] = beads["sound"]
    slack = _slack(seam, beads)
    for audit in audits:
        for defect in audit.defects:
            inside = _inside(seam, stations, defect, slack)
            found[inside] = np.maximum(found[inside], _danger_of(defect, beads, audit.unit))
    return found


def _danger_of(defect: BeadDefect, beads: Mapping[str, float], unit: str) -> float:
    """Return a defect's danger: between that of a sound bead and the full one of its kind."""
    full = beads[_FACTORS[defect.kind]]
    size = 1.0
    if defect.kind is BeadDefectKind.GAP and unit == "mm":
        size = min(1.0, max(0.0, defect.end - defect.start) / beads["full_gap_mm"])
    return beads["sound"] + (full - beads["sound"]) * defect.score * size


def _slack(seam: Seam, beads: Mapping[str, float]) -> float:
    """Return in stations how far a defect's ends may be off."""
    mm = seam.step_mm * len(seam.along_px)
    line = seam.line
    stations = abs(line.station_along(line.total_px * 0.999) - line.station_along(0.0))
    least = BETWEEN_BOLTS if line.ruler.counts_bolts else 0.0
    return max(beads["place_mm"] * stations / mm if mm > 0 else 0.0, least)


def _inside(seam: Seam, stations: Numbers, defect: BeadDefect, slack: float) -> NDArray[np.bool_]:
    if defect.start_station is None or defect.end_station is None:
        return np.zeros(len(stations), dtype=bool)
    low, high = sorted((defect.start_station, defect.end_station))
    turn = seam.line.ruler.turn
    if seam.line.ruler.is_closed and high - low > turn / 2:  # over the first bolt
        low, high = high, low + turn
    middle, half = (low + high) / 2, (high - low) / 2 + slack
    inside: NDArray[np.bool_] = _apart(seam, stations, middle) <= half
    return inside


def _holds(seam: Seam, defect: BeadDefect, station: float, slack: float) -> bool:
    return bool(_inside(seam, np.array([station]), defect, 2 * slack)[0])


def _apart(seam: Seam, stations: Numbers, station: float) -> Numbers:
    """Return how far stations lie from one, the short way round on a closed joint."""
    away: Numbers = np.abs(stations - station)
    if seam.line.ruler.is_closed:
        away = away % seam.line.ruler.turn
        away = np.minimum(away, seam.line.ruler.turn - away)
    return away


def _thinned(read: Sequence[float]) -> list[float]:
    """Return stations no nearer to each other than need be, for speed."""
    kept: list[float] = []
    for station in sorted(read):
        if not kept or station - kept[-1] > READ_WITHIN / 2:
            kept.append(station)
    return kept


def _place(audit: BeadAudit, along: float) -> PointPx | None:
    nearest = min(audit.points, key=lambda point: abs(point.along - along), default=None)
    return nearest.at_px if nearest else None
