"""How long have seals stayed dry, over all engines of a project: by kind, material and rule?"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from math import inf
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.model.engine import Engine
from leaktrack.model.errors import BadInput
from leaktrack.model.figure import Figure
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, SeepageGrade
from leaktrack.model.seal_life import DryShare, DryTime, GroupLife, SealHistoryReport, SealRecord
from leaktrack.model.sealing_job import DeviationKind, SealingJob
from leaktrack.model.trace import CauseState
from leaktrack.model.words import word
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Progress, Project, silent

NOT_LOOKED_AT = "nobody looked at the joint after it ran"
NOT_TIMED = "the minutes of a run are not recorded"
WET_BEFORE_RUNNING = "wet before the engine had run"

_SHARES = 4
"""At so many hours the share still dry is told, spread over the hours that were looked at."""


def seal_history(project: Project, progress: Progress = silent) -> SealHistoryReport:
    """Return how long the seals of all engines of a project stayed dry."""
    found: list[SealRecord] = []
    reasons: Counter[str] = Counter()
    with project.read() as reader:
        for engine in reader.all(Engine):
            records = EngineRecords(reader, engine.id)
            for job in records.jobs:
                told = _seal_record(records, job)
                if isinstance(told, str):
                    reasons[told] += 1
                else:
                    found.append(told)
    return history_report(found, tuple(sorted(reasons.items())), progress)


def history_report(
    records: Sequence[SealRecord],
    left_out: tuple[tuple[str, int], ...] = (),
    progress: Progress = silent,
) -> SealHistoryReport:
    """Return what follows from the dry times of jobs."""
    named: list[tuple[str, str, list[SealRecord]]] = []
    if records:
        named.append(("all", "all seals", list(records)))
    by: Sequence[tuple[str, Callable[[SealRecord], str]]] = (
        ("seal kind", lambda one: one.kind),
        ("material", lambda one: one.material),
        ("rule", _rule_group),
    )
    for what, key in by:
        names = sorted({key(one) for one in records} - {""})
        named += [(what, name, [one for one in records if key(one) == name]) for name in names]
    groups = []
    for place, (what, name, members) in enumerate(named):
        progress(place, len(named), name)
        groups.append(_group(what, name, [one.time for one in members]))
    progress(len(named), len(named), "")
    return SealHistoryReport(
        groups=tuple(groups),
        hazard_ratio=_hazard_ratio(records),
        left_out=left_out,
        records=tuple(records),
    )


def _rule_group(record: SealRecord) -> str:
    if record.kept_rule is None:
        return "no rule known"
    return "no departure known" if record.kept_rule else "left its rule"


def _group(by: str, name: str, times: Sequence[DryTime]) -> GroupLife:
    from leaktrack.analysis.sealing.outlasting import (
        LEAST_LEAKS_FOR_A_LAW,
        dry_shares,
        law_share,
        life_curve,
        step_curve,
    )

    leaked = sum(one.has_leaked for one in times)
    last = max(one.wet_h if one.has_leaked else one.dry_h for one in times)
    law = life_curve(times) if leaked >= LEAST_LEAKS_FOR_A_LAW else None
    hours = [last * (step + 1) / _SHARES for step in range(_SHARES)]
    shares = zip(hours, dry_shares(times, hours), strict=True)
    return GroupLife(
        by=by,
        name=name,
        jobs=len(times),
        leaked=leaked,
        last_h=last,
        curve=step_curve(times) if leaked else None,
        law=law,
        shares=tuple(
            DryShare(at, share, None if law is None else law_share(law, at)) for at, share in shares
        ),
    )


def _hazard_ratio(records: Sequence[SealRecord]) -> Figure | None:
    from leaktrack.analysis.sealing.outlasting import hazard_ratio

    kept = [one.time for one in records if one.kept_rule is True]
    left = [one.time for one in records if one.kept_rule is False]
    if min(_leaks(kept), _leaks(left)) < 2:
        return None
    try:
        return hazard_ratio(kept, left)[0]
    except BadInput:
        return None


def _leaks(times: Iterable[DryTime]) -> int:
    return sum(one.has_leaked for one in times)


def _seal_record(records: EngineRecords, job: SealingJob) -> SealRecord | str:
    """Return what is known of one job's dry time, or why nothing is."""
    time = _dry_time(records, job)
    if isinstance(time, str):
        return time
    joint = records.joint_by_id[job.joint_id]
    material = records.materials.get(job.material_id) if job.material_id else None
    departs = any(one.kind is not DeviationKind.NOT_RECORDED for one in records.deviations[job.id])
    kept = None if records.rule_of(job) is None and not departs else not departs
    return SealRecord(
        job_id=job.id,
        engine=records.engine.name,
        joint=joint.name,
        kind=word(joint.seal_kind),
        material=material.name if material else "",
        kept_rule=kept,
        time=time,
    )


def _dry_time(records: EngineRecords, job: SealingJob) -> DryTime | str:
    looks = _looks(records, job)
    if isinstance(looks, str):
        return looks
    leaks = _leaks_of(records, job)
    grade = records.table.grade
    wet = [
        (hours, one)
        for hours, one in looks
        if any(is_wet(grade(leak.id, one.id)) for leak in leaks)
    ]
    first = wet[0] if wet else None
    if first is not None and first[0] == 0:
        return WET_BEFORE_RUNNING
    dry = [
        hours
        for hours, one in looks
        if (first is None or hours < first[0]) and _was_dry(records, job, leaks, one)
    ]
    last_dry = max(dry, default=0.0)
    if first is None and last_dry == 0:
        return NOT_LOOKED_AT
    return DryTime(last_dry, inf if first is None else first[0])


def _looks(records: EngineRecords, job: SealingJob) -> list[tuple[float, Inspection]] | str:
    """Return the inspections while the job was in force, with the hours run since it was done."""
    later = records.job_after(job)
    looks = []
    for one in records.inspections:
        is_in_force = job.done_at <= one.looked_at and (
            later is None or one.looked_at < later.done_at
        )
        if not is_in_force:
            continue
        runs = [run for run in records.runs if job.done_at <= run.started_at <= one.looked_at]
        minutes = [run.minutes for run in runs]
        if None in minutes:
            return NOT_TIMED
        looks.append((sum(each for each in minutes if each is not None) / 60, one))
    return looks


def _leaks_of(records: EngineRecords, job: SealingJob) -> list[Leak]:
    """Return the leaks that a person blames on a job, or thinks to come from its joint."""
    states: dict[UUID, CauseState] = {
        one.leak_id: one.state for one in records.causes if one.sealing_job_id == job.id
    }
    return [
        leak
        for leak in records.leaks
        if states.get(leak.id) is CauseState.CONFIRMED
        or (leak.joint_id == job.joint_id and states.get(leak.id) is not CauseState.RULED_OUT)
    ]


def _was_dry(
    records: EngineRecords, job: SealingJob, leaks: Sequence[Leak], look: Inspection
) -> bool:
    """Return whether a look saw the joint, and none of its leaks wet or out of sight."""
    zone_id = records.joint_by_id[job.joint_id].zone_id
    if (zone_id, look.id) not in records.table.photographed:
        return False
    for leak in leaks:
        sighting = records.table.sighting(leak, look.id)
        if sighting.grade is not SeepageGrade.DRY and not sighting.nothing_noticed:
            return False
    return True
