"""Did sealing a joint again cure a leak? What the first look after it says, place by place."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.model.engine import SealKind
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.trace import Cause, CauseState
from leaktrack.model.verification import (
    Outcome,
    ProposedVerdict,
    SuccessCount,
    Verification,
)

# Within so much a place counts as the same: 10 mm is what a trace tells places apart by; where
# nothing is measured, a third of a bolt spacing. Own judgement.
SAME_PLACE_MM = 10.0
SAME_PLACE_STATIONS = 0.33


@dataclass(frozen=True, slots=True)
class WetPlace:
    """A wet mark at a joint at one look.

    Attributes:
        is_same_leak: It is a mark of the leak in question.
        is_new: The leak it belongs to was never wet before the redo.
    """

    station: float | None
    is_same_leak: bool
    is_new: bool
    mark_id: UUID | None = None
    photo_id: UUID | None = None


@dataclass(frozen=True, slots=True)
class LaterLook:
    """One look after the engine ran on the redo.

    Attributes:
        grade: Of the leak in question; not seen where no mark says anything.
        wet: The wet places at the joint.
        mark_id: The mark that the grade comes from.
    """

    inspection_id: UUID
    grade: SeepageGrade
    wet: tuple[WetPlace, ...] = ()
    mark_id: UUID | None = None
    photo_id: UUID | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """What the looks after a redo say, and which of them and which mark says it."""

    outcome: Outcome
    inspection_id: UUID | None = None
    moved_to: float | None = None
    mark_id: UUID | None = None
    photo_id: UUID | None = None


def outcome(
    station: float | None, looks: Sequence[LaterLook], spacing_mm: float | None, turn: float | None
) -> Finding:
    """Return what the first look that saw the place says; not seen never means cured.

    The place is dry and nothing else at the joint is newly wet: cured. It is wet where it was:
    still there. It is wet elsewhere at the joint, or it is dry and another place of the joint is
    newly wet: moved.

    Args:
        station: Bolt coordinate of the leak before; None where nobody knows.
        looks: After the engine ran on the redo, oldest first.
        spacing_mm: Between two bolts, where known.
        turn: Stations in one turn of a closed joint; None for an open one.
    """
    for look in looks:
        if look.grade is SeepageGrade.NOT_SEEN:
            continue
        return _of_look(station, look, spacing_mm, turn)
    first = looks[0].inspection_id if looks else None
    return Finding(Outcome.NOT_SEEN, first)


def proposal(
    found: Finding, when: str, place: str, verdict: Cause | None, *, is_bolt: bool
) -> ProposedVerdict | None:
    """Return the verdict that follows; None where none does, or where it stands already.

    A place that is dry after its joint was sealed again confirms the cause. One that is still wet
    speaks the seal free; a bolt it does not, since sealing the seam does nothing for its thread.

    Args:
        found: What the looks say.
        when: The day of the look, in words.
        place: Where the joint is wet now, in words, for moved.
        verdict: What a person decided already.
        is_bolt: Whether a bolt was blamed.
    """
    state = CauseState.CONFIRMED
    match found.outcome:
        case Outcome.CURED:
            reason = f"Dry on {when}, after the joint was sealed again and the engine ran."
        case Outcome.MOVED:
            reason = f"Dry here on {when}, after the joint was sealed again; now wet at {place}."
        case Outcome.STILL_THERE if not is_bolt:
            state = CauseState.RULED_OUT
            reason = f"Still wet at the same place on {when}, after the joint was sealed again."
        case _:
            return None
    if verdict is not None and verdict.state is state:
        return None
    return ProposedVerdict(state, reason)


def success_counts(
    verified: Iterable[tuple[SealKind, str, Verification]],
) -> tuple[SuccessCount, ...]:
    """Return how often each way of sealing again cured a leak, best known first.

    Args:
        verified: Seal kind, material of the redo and what came of it; those not seen do not count.
    """
    cured: dict[tuple[SealKind, str], int] = {}
    tried: dict[tuple[SealKind, str], int] = {}
    for kind, material, one in verified:
        if one.outcome is Outcome.NOT_SEEN:
            continue
        key = (kind, material)
        tried[key] = tried.get(key, 0) + 1
        cured[key] = cured.get(key, 0) + (one.outcome is not Outcome.STILL_THERE)
    return tuple(
        SuccessCount(kind, material, cured[kind, material], count)
        for (kind, material), count in sorted(
            tried.items(), key=lambda pair: (-pair[1], pair[0][0].value, pair[0][1])
        )
    )


def _of_look(
    station: float | None, look: LaterLook, spacing_mm: float | None, turn: float | None
) -> Finding:
    own = next((one for one in look.wet if one.is_same_leak), None)
    if is_wet(look.grade):
        moved = own is not None and not _is_same(station, own.station, spacing_mm, turn)
        return Finding(
            Outcome.MOVED if moved else Outcome.STILL_THERE,
            look.inspection_id,
            own.station if own is not None and moved else None,
            look.mark_id,
            look.photo_id,
        )
    new = next(
        (
            one
            for one in look.wet
            if one.is_new and not one.is_same_leak and one.station is not None
        ),
        None,
    )
    if new is not None:
        return Finding(Outcome.MOVED, look.inspection_id, new.station, new.mark_id, new.photo_id)
    return Finding(Outcome.CURED, look.inspection_id, None, look.mark_id, look.photo_id)


def _is_same(
    station: float | None, now: float | None, spacing_mm: float | None, turn: float | None
) -> bool:
    """Return whether two stations are the same place; where one is unknown, nothing says no."""
    if station is None or now is None:
        return True
    away = abs(station - now)
    if turn is not None:
        away = min(away % turn, turn - away % turn)
    reach = SAME_PLACE_MM / spacing_mm if spacing_mm else SAME_PLACE_STATIONS
    return away <= reach
