"""Turn traces into JSON documents. Keys stay as they are once released; more may be added."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from leaktrack.cli.documents import Document
from leaktrack.model.clue_words import (
    clue_sentence,
    origin_words,
    source_sentences,
    weight_words,
)
from leaktrack.model.engine import Zone
from leaktrack.model.sealing_job import Evidence
from leaktrack.model.shapes import Outline, PointPx
from leaktrack.model.source import FoundSource
from leaktrack.model.trace import Candidate, Clue, NextCheck, OtherOrigin, Trace
from leaktrack.model.verification import SuccessCount, Verification
from leaktrack.model.words import DEFER, word


def trace_document(
    trace: Trace, zones: Mapping[UUID, Zone], verified: Sequence[Verification]
) -> Document:
    """Return a trace with its candidates, most likely first, and what became of redone joints."""
    source = trace.source_px
    return {
        "number": trace.leak.number,
        "zone": zones[trace.leak.zone_id].name,
        "state": trace_state(trace),
        "photo_id": _key(trace.photo_id),
        "source_px": [source.x, source.y] if source else None,
        "source": _source(trace.source) if trace.source else None,
        "candidates": [_candidate(one) for one in trace.candidates],
        "others": [_other(one) for one in trace.others],
        "joints_without_job": [joint.name for joint in trace.joints_without_job],
        "next_check": _next_check(trace.next_check) if trace.next_check else None,
        "verified": [_verification(one) for one in verified],
        "own_weights": list(trace.own_weights),
    }


def success_document(counts: Sequence[SuccessCount]) -> list[Document]:
    """Return how often each way of sealing again cured a leak."""
    return [
        {
            "seal_kind": one.seal_kind.value,
            "material": one.material,
            "cured": one.cured,
            "tried": one.tried,
        }
        for one in counts
    ]


def trace_state(trace: Trace) -> str:
    """Return "traced", "unreliable" where no joint's line says how near it is, or "failed"."""
    if not trace.candidates:
        return "failed"
    is_placed = any(candidate.distance_px is not None for candidate in trace.candidates)
    return "traced" if is_placed else "unreliable"


def _candidate(candidate: Candidate) -> Document:
    verdict = candidate.verdict
    return {
        "joint": candidate.joint.name,
        "sealing_job_id": str(candidate.job.id),
        "sealed_at": candidate.job.done_at.isoformat(),
        "origin": candidate.origin.value,
        "chance": candidate.chance,
        "words": origin_words(candidate),
        "bolt": candidate.bolt.number if candidate.bolt else None,
        "station": candidate.station,
        "station_sigma_mm": candidate.station_sigma_mm,
        "distance_px": candidate.distance_px,
        "clues": [_clue(clue) for clue in candidate.clues],
        "evidence": [_evidence(one) for one in candidate.evidence],
        "verdict": {"state": verdict.state.value, "reason": verdict.reason} if verdict else None,
    }


def _other(other: OtherOrigin) -> Document:
    return {
        "origin": other.origin.value,
        "chance": other.chance,
        "words": origin_words(other),
        "joint": other.joint.name if other.joint else None,
        "faces": list(other.faces),
        "clues": [_clue(clue) for clue in other.clues],
    }


def _clue(clue: Clue) -> Document:
    return {
        "kind": clue.kind.value,
        "value": clue.value,
        "unit": clue.unit,
        "sentence": clue_sentence(clue),
        "weight": clue.weight,
        "weight_words": weight_words(clue.weight),
        "photo_id": _key(clue.photo_id),
        "at_px": _point(clue.at_px),
        "record_id": _key(clue.record_id),
    }


def _source(source: FoundSource) -> Document:
    return {
        "at_px": _point(source.at),
        "sigma_mm": source.sigma_mm,
        "is_marked": source.is_marked,
        "down_deg": source.trail.toward_deg if source.trail.is_known else None,
        "down_sigma_deg": source.trail.sigma_deg if source.trail.is_known else None,
        "down_said_by": source.trail.said_by.value,
        "comes_from_edge": source.comes_from_edge,
        "run_off_mm": source.run_off_mm,
        "run_off_px": _outline(source.run_off_px),
        "mm_per_px": source.mm_per_px,
        "is_scale_assumed": source.is_scale_assumed,
        "later_looks": [
            {"at_px": _point(look.at), "sigma_mm": look.sigma_mm} for look in source.later
        ],
        "sentences": list(source_sentences(source)),
    }


def _next_check(check: NextCheck) -> Document:
    return {
        "check": check.check.value,
        "sentence": word(check.check),
        "between": list(check.between),
        "cautions": [word(one) for one in check.cautions],
        "defer": DEFER if check.cautions else "",
    }


def _verification(one: Verification) -> Document:
    return {
        "joint": one.joint.name,
        "outcome": one.outcome.value,
        "redo_id": str(one.redo.id),
        "redone_at": one.redo.done_at.isoformat(),
        "inspection_id": _key(one.inspection.id if one.inspection else None),
        "station": one.station,
        "moved_to": one.moved_to,
        "photo_id": _key(one.photo_id),
        "proposal": (
            {"state": one.proposal.state.value, "reason": one.proposal.reason}
            if one.proposal
            else None
        ),
    }


def _evidence(evidence: Evidence) -> Document:
    return {
        "photo_id": _key(evidence.photo_id),
        "clip_id": _key(evidence.clip_id),
        "start_ms": evidence.start_ms,
        "end_ms": evidence.end_ms,
        "note": evidence.note,
    }


def _outline(outline: Outline) -> list[list[float]]:
    return [[point.x, point.y] for point in outline]


def _point(point: PointPx | None) -> list[float] | None:
    return [point.x, point.y] if point else None


def _key(key: UUID | None) -> str | None:
    return str(key) if key else None
