"""Bead audits for tests and pictures: beads of known width with gaps, necks, blobs and glare."""

import math
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from leaktrack.model.bead_audit import (
    BeadAudit,
    BeadDefect,
    BeadDefectKind,
    BeadPoint,
    BeadVerdict,
    UnreadStretch,
)
from leaktrack.model.identity import new_id
from leaktrack.model.shapes import PointPx

Span = tuple[float, float]
START_PX = PointPx(100, 500)


def a_bead_audit(
    job_id: UUID | None = None,
    *,
    stations: tuple[float, float] | None = (1.0, 11.0),
    length_mm: float = 400.0,
    gaps: tuple[Span, ...] = (),
    thins: tuple[Span, ...] = (),
    thicks: tuple[Span, ...] = (),
    glares: tuple[Span, ...] = (),
    step_mm: float = 0.5,
    start_px: PointPx = START_PX,
    px_per_mm: float = 5.0,
    **fields: Any,
) -> BeadAudit:
    """Return an audit of a straight bead of 3 mm; places of what is wrong with it are in mm.

    Args:
        job_id: Of its sealing job.
        stations: At its ends; None where the audit knows none.
        length_mm: Of the path, which runs to the right in the photo.
    """
    count = round(length_mm / step_mm)
    points = []
    for place in range(count + 1):
        along = place * step_mm
        station = None
        if stations is not None:
            station = stations[0] + (stations[1] - stations[0]) * along / length_mm
        points.append(
            BeadPoint(
                along,
                _width(along, gaps, thins, thicks),
                0.0,
                not _is_in(along, glares),
                PointPx(start_px.x + along * px_per_mm, start_px.y),
                station,
            )
        )
    defects = [
        BeadDefect(kind, start, end, width, 0.9)
        for kind, spans, width in (
            (BeadDefectKind.GAP, gaps, 0.0),
            (BeadDefectKind.THIN, thins, 1.2),
            (BeadDefectKind.THICK, thicks, 5.4),
        )
        for start, end in spans
    ]
    plain = {
        "sealing_job_id": job_id or new_id(),
        "photo_id": new_id(),
        "made_at": datetime(2026, 5, 1, tzinfo=UTC),
        "verdict": BeadVerdict.DEFECTIVE if defects else BeadVerdict.CONTINUOUS,
        "unit": "mm",
        "nominal": 3.0,
        "narrowest": 2.0,
        "widest": 4.0,
        "tolerance_source": "an invented rule",
        "points": tuple(points),
        "defects": tuple(defects),
        "unread": tuple(UnreadStretch(start, end, "glare") for start, end in glares),
    }
    return BeadAudit(**{**plain, **fields})


def _is_in(along: float, spans: tuple[Span, ...]) -> bool:
    return any(start <= along <= end for start, end in spans)


def _width(
    along: float, gaps: tuple[Span, ...], thins: tuple[Span, ...], thicks: tuple[Span, ...]
) -> float:
    if _is_in(along, gaps):
        return 0.0
    if _is_in(along, thins):
        return 1.2
    if _is_in(along, thicks):
        return 5.4
    return 3.0 + 0.25 * math.sin(along / 7.0) + 0.1 * math.sin(along * 1.7)
