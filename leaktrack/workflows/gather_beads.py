"""Gather what photos show of a job's bead, and put it on the joint's stations."""

from bisect import bisect_right
from collections.abc import Sequence
from uuid import UUID

import numpy as np

from leaktrack.analysis.stationing import RuledLine
from leaktrack.model.bead_audit import BeadAudit, BeadPoint
from leaktrack.model.joint_strip import StripBead, StripFault, StripUnread, StripWidth
from leaktrack.workflows.find_engine import Reader

_MOST_WIDTHS = 1000
"""Of the bead in one photo; more than a chart has columns of pixels."""


def bead_audits(reader: Reader, job_ids: Sequence[UUID]) -> tuple[BeadAudit, ...]:
    """Return the audits of some jobs that somebody kept, the latest of each photo, oldest first."""
    newest: dict[tuple[UUID, UUID], BeadAudit] = {}
    kept = reader.all(BeadAudit, sealing_job_id=list(job_ids))
    for audit in sorted(kept, key=lambda one: one.made_at):
        newest[audit.sealing_job_id, audit.photo_id] = audit
    return tuple(newest.values())


def strip_bead(audit: BeadAudit, line: RuledLine | None) -> StripBead:
    """Return an audit with stations for lengths along its path.

    Args:
        audit: As it was measured.
        line: The joint's line in its photo; None where none is drawn. Stations that the audit
            itself has come first, and without either the path is taken as the whole joint.
    """
    points = sorted(audit.points, key=lambda point: point.along)
    stations = _stations(points, line)
    if len(stations) > 1 and stations[-1] < stations[0]:  # the path was followed backwards
        points, stations = points[::-1], stations[::-1]
    widths = tuple(
        StripWidth(station, point.width, point.is_read, point.at_px)
        for station, point in zip(stations, points, strict=True)
    )
    along = [point.along for point in points]
    faults = []
    for defect in audit.defects:
        start, end = sorted(_told(along, stations, each) for each in (defect.start, defect.end))
        faults.append(
            StripFault(
                defect.kind, start, end, abs(defect.end - defect.start), defect.least_width,
                defect.score,
            )
        )  # fmt: skip
    unread = []
    for stretch in audit.unread:
        start, end = sorted(_told(along, stations, each) for each in (stretch.start, stretch.end))
        unread.append(StripUnread(start, end, stretch.reason))
    return StripBead(
        photo_id=audit.photo_id,
        verdict=audit.verdict,
        unit=audit.unit,
        nominal=audit.nominal,
        narrowest=audit.narrowest,
        widest=audit.widest,
        widths=_thinned(widths),
        faults=tuple(sorted(faults, key=lambda one: one.start)) if points else (),
        unread=tuple(sorted(unread, key=lambda one: one.start)) if points else (),
    )


def _thinned(widths: tuple[StripWidth, ...]) -> tuple[StripWidth, ...]:
    """Return fewer widths where there are very many: the narrowest that was read of some each."""
    some = -(-len(widths) // _MOST_WIDTHS) or 1
    if some == 1:
        return widths
    groups = (widths[start : start + some] for start in range(0, len(widths), some))
    inside = tuple(min(group, key=lambda one: (not one.is_read, one.width)) for group in groups)
    return (widths[0], *inside[1:-1], widths[-1])


def _stations(points: Sequence[BeadPoint], line: RuledLine | None) -> list[float]:
    """Return the station of each point, without a jump where a closed joint begins anew."""
    if not points:
        return []
    known = [point.station for point in points]
    if None not in known:
        turn = line.ruler.turn if line is not None and line.ruler.is_closed else None
        return _without_jumps([float(each or 0.0) for each in known], turn)
    if line is not None and line.is_ruled:
        along, _ = line.feet(np.array([(point.at_px.x, point.at_px.y) for point in points]))
        turn = line.ruler.turn if line.ruler.is_closed else None
        return _without_jumps([line.station_along(float(each)) for each in along], turn)
    start, end = points[0].along, points[-1].along
    return [(point.along - start) / max(end - start, 1e-9) for point in points]


def _without_jumps(stations: list[float], turn: float | None) -> list[float]:
    """Return stations that go on past the last bolt of a closed joint rather than begin anew."""
    if turn is None:
        return stations
    going = stations[:1]
    for station in stations[1:]:
        going.append(station + turn * round((going[-1] - station) / turn))
    return going


def _told(along: Sequence[float], stations: Sequence[float], place: float) -> float:
    """Return the station at a length along the path, between those of the points around it."""
    if not along:
        return 0.0
    if along[0] > along[-1]:  # followed backwards
        along, stations = along[::-1], stations[::-1]
    index = min(max(bisect_right(along, place), 1), max(len(along) - 1, 1))
    if len(along) == 1:
        return stations[0]
    step = along[index] - along[index - 1]
    share = (place - along[index - 1]) / step if step > 0 else 0.0
    return stations[index - 1] + share * (stations[index] - stations[index - 1])
