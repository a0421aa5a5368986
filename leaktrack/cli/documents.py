"""Turn results into JSON documents. Keys stay as they are once released; more may be added."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from leaktrack.model.clue_words import clue_sentence
from leaktrack.model.comparison import Comparison, Sighting
from leaktrack.model.engine import Zone
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import wetness
from leaktrack.model.sealing_job import Evidence
from leaktrack.model.trace import Candidate, Trace
from leaktrack.model.words import word

Document = dict[str, Any]


def comparison_document(
    comparison: Comparison,
    inspections: Mapping[UUID, Inspection],
    zones: Mapping[UUID, Zone],
) -> Document:
    """Return a comparison; a grade is null where nobody could see the leak."""
    return {
        "format": "leaktrack-comparison",
        "version": 1,
        "before": _inspection(inspections[comparison.before_id]),
        "after": _inspection(inspections[comparison.after_id]),
        "zone": zones[comparison.zone_id].name if comparison.zone_id else None,
        "leaks": [
            {
                "number": one.leak.number,
                "zone": zones[one.leak.zone_id].name,
                "before": _sighting(one.before),
                "after": _sighting(one.after),
                "change": one.change.value,
            }
            for one in comparison.changes
        ],
    }


def trace_document(trace: Trace, zones: Mapping[UUID, Zone]) -> Document:
    """Return a trace with its candidates, most likely first."""
    source = trace.source_px
    return {
        "number": trace.leak.number,
        "zone": zones[trace.leak.zone_id].name,
        "state": trace_state(trace),
        "photo_id": str(trace.photo_id) if trace.photo_id else None,
        "source_px": [source.x, source.y] if source else None,
        "candidates": [_candidate(one) for one in trace.candidates],
        "joints_without_job": [joint.name for joint in trace.joints_without_job],
    }


def trace_state(trace: Trace) -> str:
    """Return "traced", "unreliable" where no joint's line says how near it is, or "failed"."""
    if not trace.candidates:
        return "failed"
    is_placed = any(candidate.distance_px is not None for candidate in trace.candidates)
    return "traced" if is_placed else "unreliable"


def _inspection(inspection: Inspection) -> Document:
    return {
        "id": str(inspection.id),
        "looked_at": inspection.looked_at.isoformat(),
        "title": inspection.title,
    }


def _sighting(sighting: Sighting) -> Document:
    return {
        "grade": wetness(sighting.grade),
        "word": word(sighting.grade),
        "nothing_noticed": sighting.nothing_noticed,
        "area_mm2": sighting.area_mm2,
        "area_sigma_mm2": sighting.area_sigma_mm2,
        "extent_mm": sighting.extent_mm,
        "extent_sigma_mm": sighting.extent_sigma_mm,
    }


def _candidate(candidate: Candidate) -> Document:
    verdict = candidate.verdict
    return {
        "joint": candidate.joint.name,
        "sealing_job_id": str(candidate.job.id),
        "sealed_at": candidate.job.done_at.isoformat(),
        "bolt": candidate.bolt.number if candidate.bolt else None,
        "station": candidate.station,
        "distance_px": candidate.distance_px,
        "clues": [
            {
                "kind": clue.kind.value,
                "value": clue.value,
                "unit": clue.unit,
                "sentence": clue_sentence(clue),
            }
            for clue in candidate.clues
        ],
        "evidence": [_evidence(one) for one in candidate.evidence],
        "verdict": {"state": verdict.state.value, "reason": verdict.reason} if verdict else None,
    }


def _evidence(evidence: Evidence) -> Document:
    return {
        "photo_id": str(evidence.photo_id) if evidence.photo_id else None,
        "clip_id": str(evidence.clip_id) if evidence.clip_id else None,
        "start_ms": evidence.start_ms,
        "end_ms": evidence.end_ms,
        "note": evidence.note,
    }
