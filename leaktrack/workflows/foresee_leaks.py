"""Foresee how likely a task asks for work later if it is left: by leaks, its kind, its check."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.analysis.comparing import change
from leaktrack.analysis.redoing import benefiting
from leaktrack.analysis.suspecting import SealHistory
from leaktrack.model.comparison import Change
from leaktrack.model.engine import Engine, SealKind
from leaktrack.model.leak import Leak, SeepageGrade
from leaktrack.model.redo_benefit import ChanceFrom, Factor, Standing
from leaktrack.model.redo_plan import RedoTask, TaskReason
from leaktrack.model.trace import Candidate, CauseState, Trace
from leaktrack.model.words import word
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.plan_redo import reason_of
from leaktrack.workflows.suspect_jobs import history_of

Histories = Mapping[SealKind, SealHistory]

_CHANCE_OF_CHECK = {
    TaskReason.CHECK_FAILED: ChanceFrom.CHECK_FAILED,
    TaskReason.CHECK_OPEN: ChanceFrom.CHECK_OPEN,
    TaskReason.RIDES_ALONG: ChanceFrom.RIDES_ALONG,
}
_WORTH_NAMING = 0.1
"""A leak that comes from a joint with less chance is not named as what speaks for it."""


@dataclass(frozen=True, slots=True)
class Foreseen:
    """How likely a task asks for work later, what says so, and the numbers behind it."""

    chance: float
    said_by: ChanceFrom
    about_ids: tuple[UUID, ...]
    factors: tuple[Factor, ...]


def workshop_histories(reader: Reader, own: EngineRecords) -> Histories:
    """Return how each kind of seal fared on all engines of the project together."""
    leaks: Counter[SealKind] = Counter()
    jobs: Counter[SealKind] = Counter()
    for engine in reader.all(Engine):
        records = own if engine.id == own.engine.id else EngineRecords(reader, engine.id)
        for kind in SealKind:
            found = history_of(records, kind)
            leaks[kind] += found.leaks
            jobs[kind] += found.jobs
    return {kind: SealHistory(leaks[kind], jobs[kind]) for kind in SealKind}


def foreseen(
    records: EngineRecords, task: RedoTask, traces: Sequence[Trace], histories: Histories
) -> Foreseen:
    """Return how likely a task asks for work later; a person's own number goes before all."""
    found = _by_joint(records, task.joint_id, traces, histories) if task.joint_id else None
    found = found or _by_check(records, task)
    if task.chance is None:
        return found
    typed = Factor("chance that it is asked for later", task.chance, Standing.TYPED)
    return Foreseen(task.chance, ChanceFrom.TYPED, found.about_ids, (*found.factors, typed))


def _by_joint(
    records: EngineRecords, joint_id: UUID, traces: Sequence[Trace], histories: Histories
) -> Foreseen:
    history = histories[records.joint_by_id[joint_id].seal_kind]
    dry = benefiting.of_history(history.leaks, history.jobs)
    factors = list(_history_factors(history, dry))
    leaks: list[tuple[float, float]] = []
    about: list[UUID] = []
    for trace in traces:
        comes, grade = comes_from(records, trace, joint_id), _last_grade(records, trace.leak)
        how = _last_change(records, trace.leak)
        on = benefiting.goes_on(grade, how)
        if comes <= 0 or on <= 0:
            continue
        leaks.append((comes, on))
        if comes >= _WORTH_NAMING:
            about.append(trace.leak.id)
            factors += _leak_factors(trace, comes, grade, how, on)
    chance = benefiting.of_leaks(leaks, dry)
    factors.append(Factor("chance that the joint leaks on or again", chance, Standing.COMPUTED))
    said_by = ChanceFrom.LEAKS if about else ChanceFrom.HISTORY
    return Foreseen(chance, said_by, tuple(about), tuple(factors))


def _history_factors(history: SealHistory, dry: float) -> Iterator[Factor]:
    yield Factor("jobs of this kind of seal that ran here", history.jobs, Standing.RECORDED)
    yield Factor("of these, confirmed as cause of a leak", history.leaks, Standing.RECORDED)
    yield Factor("jobs reckoned with beforehand", benefiting.SEEN_JOBS, Standing.OWN_PROPOSAL)
    yield Factor("leaks reckoned with beforehand", benefiting.SEEN_LEAKS, Standing.OWN_PROPOSAL)
    yield Factor("chance that a dry seal of this kind leaks", dry, Standing.COMPUTED)


def _leak_factors(
    trace: Trace, comes: float, grade: SeepageGrade, how: Change, on: float
) -> Iterator[Factor]:
    leak, about = f"leak {trace.leak.number}", trace.leak.id
    is_settled = any(_is_confirmed(one) for one in trace.candidates)
    standing = Standing.TYPED if is_settled else Standing.COMPUTED
    yield Factor(f"{leak} comes from here", comes, standing, about_id=about)
    as_it_is = benefiting.GOES_ON[grade]
    name = f"a leak of grade {word(grade)} goes on"
    yield Factor(name, as_it_is, Standing.OWN_PROPOSAL, about_id=about)
    odds = benefiting.GROWING_ODDS.get(how, 1.0)
    if odds != 1:
        name = f"{leak} was {word(how)} at the last two looks: times its odds"
        yield Factor(name, odds, Standing.OWN_PROPOSAL, about_id=about)
        yield Factor(f"{leak} goes on", on, Standing.COMPUTED, about_id=about)


def _by_check(records: EngineRecords, task: RedoTask) -> Foreseen:
    check = next((one for one in records.checks if one.id == task.check_id), None)
    reason = reason_of(check) if check is not None else None
    said_by = _CHANCE_OF_CHECK.get(reason or TaskReason.RIDES_ALONG, ChanceFrom.RIDES_ALONG)
    chance = benefiting.CHECK_CHANCES[said_by]
    factor = Factor(f"chance by {word(said_by)}", chance, Standing.OWN_PROPOSAL)
    return Foreseen(chance, said_by, (check.id,) if check is not None else (), (factor,))


def comes_from(records: EngineRecords, trace: Trace, joint_id: UUID) -> float:
    """Return the chance that a leak comes from a joint as it is sealed now.

    A job that was redone counts only where the leak was looked at since: then what leaked before
    leaks still.
    """
    seen_at = _last_seen_at(records, trace.leak)
    here = [
        one
        for one in trace.candidates
        if one.joint.id == joint_id and _does_count(records, one, seen_at)
    ]
    confirmed = [one for one in trace.candidates if _is_confirmed(one)]
    if confirmed:
        return float(any(_is_confirmed(one) for one in here))
    without_job = [
        one.chance for one in trace.others if one.joint is not None and one.joint.id == joint_id
    ]
    return min(1.0, sum(one.chance for one in here) + sum(without_job))


def _does_count(records: EngineRecords, one: Candidate, seen_at: datetime | None) -> bool:
    redone = records.job_after(one.job)
    return redone is None or (seen_at is not None and seen_at > redone.done_at)


def _is_confirmed(one: Candidate) -> bool:
    return one.verdict is not None and one.verdict.state is CauseState.CONFIRMED


def _last_seen_at(records: EngineRecords, leak: Leak) -> datetime | None:
    """Return when the place was last seen, wet or dry."""
    seen = [
        inspection.looked_at
        for inspection in records.inspections
        if records.table.grade(leak.id, inspection.id) is not SeepageGrade.NOT_SEEN
    ]
    return seen[-1] if seen else None


def _last_grade(records: EngineRecords, leak: Leak) -> SeepageGrade:
    """Return the grade of the last look that saw the place."""
    return next(iter(reversed(list(_seen(records.table.grades(leak.id))))), SeepageGrade.NOT_SEEN)


def _last_change(records: EngineRecords, leak: Leak) -> Change:
    """Return how it fared between the last two looks that saw the place."""
    sightings = [records.table.sighting(leak, one.id) for one in records.inspections]
    seen = [one for one in sightings if one.grade is not SeepageGrade.NOT_SEEN]
    return change(seen[-2], seen[-1]) if len(seen) > 1 else Change.NOT_SEEN


def _seen(grades: Iterable[SeepageGrade]) -> Iterator[SeepageGrade]:
    return (grade for grade in grades if grade is not SeepageGrade.NOT_SEEN)
