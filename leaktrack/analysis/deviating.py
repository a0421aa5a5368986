"""Where does a sealing job depart from its material's rule, and what was not recorded?"""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from leaktrack.model.bead_audit import MisplacedBead
from leaktrack.model.engine import SealKind
from leaktrack.model.sealing_job import (
    Closing,
    Deviation,
    DeviationKind,
    Evidence,
    Part,
    PartCondition,
    SealingJob,
    SealingRule,
    TorquePass,
)

# Seals that harden in place: without the maker's rule, nobody can say whether the job was right.
CURING_KINDS = frozenset({SealKind.LIQUID_GASKET, SealKind.THREAD_SEALANT})
# Seals that something is tightened against; rings and lip seals are pressed or slid in.
TIGHTENED_KINDS = frozenset(
    {SealKind.LIQUID_GASKET, SealKind.GASKET, SealKind.WASHER, SealKind.THREAD_SEALANT}
)


def deviations(
    job: SealingJob,
    rule: SealingRule | None,
    torque_passes: Sequence[TorquePass],
    parts: Sequence[Part],
    evidence: Sequence[Evidence],
    first_run_after: datetime | None,
    seal_kind: SealKind,
    misplaced: Sequence[MisplacedBead] = (),
) -> tuple[Deviation, ...]:
    """Return the departures of a job from its material's rule, then what was not recorded.

    Only what this rule asks for counts: makers contradict each other. A fact that the rule needs
    and that nobody recorded is reported once as not recorded, whether or not somebody has marked
    it as unknown: either way the rule cannot be checked.

    Cure counts from the closing of the joint, or from the end of the job where the time of closing
    is not recorded.

    Args:
        job: The job.
        rule: Of its material; None where there is none.
        torque_passes: Of the job.
        parts: Of the job.
        evidence: Of the job.
        first_run_after: When the engine first ran on this job; None if it has not.
        seal_kind: Of the joint.
        misplaced: Bolts where a photo shows the bead on the wrong side.
    """
    found = [*_parts(job, parts)]
    if rule is not None:
        found += [
            *_closing(job, rule),
            *_bead(job, rule),
            *_temperature(job, rule),
            *_cure(job, rule, first_run_after),
        ]
    subjects = {one.bolt_number: one.subject for one in misplaced}
    found += [
        Deviation(DeviationKind.BEAD_AT_BOLT, job.id, subject)
        for _, subject in sorted(subjects.items())
    ]
    found += _missing(job, rule, torque_passes, evidence, seal_kind)
    return tuple(sorted(found, key=lambda one: one.kind is DeviationKind.NOT_RECORDED))


def checkable(
    job: SealingJob, rule: SealingRule | None, parts: Sequence[Part], *, has_run: bool
) -> frozenset[DeviationKind]:
    """Return the departures that the record could show: asked for by the rule, and written down."""
    kinds = set()
    single_use = [part for part in parts if part.is_single_use]
    if single_use and all(part.condition is not PartCondition.UNKNOWN for part in single_use):
        kinds.add(DeviationKind.REUSED_SINGLE_USE)
    if rule is None:
        return frozenset(kinds)
    closed = job.bead_laid_at is not None and job.closed_at is not None
    asked = {
        DeviationKind.CLOSED_TOO_LATE: closed and rule.open_time_min is not None,
        DeviationKind.CLOSED_BEFORE_SKIN: closed
        and rule.closing is not Closing.WHILE_WET
        and rule.skin_time_min is not None,
        DeviationKind.FILLED_BEFORE_CURE: job.filled_at is not None
        and rule.cure_before_filling_h is not None,
        DeviationKind.RUN_BEFORE_CURE: has_run and rule.cure_before_running_h is not None,
        DeviationKind.BEAD_TOO_THIN: job.bead_mm is not None and rule.bead_min_mm is not None,
        DeviationKind.BEAD_TOO_THICK: job.bead_mm is not None and rule.bead_max_mm is not None,
        DeviationKind.BEAD_MISPLACED: job.bead_place is not None and rule.bead_place is not None,
        DeviationKind.TOO_COLD: job.temperature_c is not None and rule.lowest_c is not None,
        DeviationKind.TOO_HOT: job.temperature_c is not None and rule.highest_c is not None,
    }
    return frozenset(kinds | {kind for kind, is_asked in asked.items() if is_asked})


def departures(found: Sequence[Deviation]) -> tuple[Deviation, ...]:
    """Return the deviations that are known to be such, without what was not recorded."""
    return tuple(one for one in found if one.kind is not DeviationKind.NOT_RECORDED)


def _closing(job: SealingJob, rule: SealingRule) -> Iterator[Deviation]:
    skin_min = rule.skin_time_min if rule.closing is not Closing.WHILE_WET else None
    if rule.open_time_min is None and skin_min is None:
        return
    if job.bead_laid_at is None or job.closed_at is None:
        yield from _unrecorded(job, "bead_laid_at", job.bead_laid_at)
        yield from _unrecorded(job, "closed_at", job.closed_at)
        return
    waited = (job.closed_at - job.bead_laid_at) / timedelta(minutes=1)
    if rule.open_time_min is not None and waited > rule.open_time_min:
        yield Deviation(
            DeviationKind.CLOSED_TOO_LATE, job.id, "closed_at", waited, rule.open_time_min, "min"
        )
    if skin_min is not None and waited < skin_min:
        yield Deviation(
            DeviationKind.CLOSED_BEFORE_SKIN, job.id, "closed_at", waited, skin_min, "min"
        )


def _bead(job: SealingJob, rule: SealingRule) -> Iterator[Deviation]:
    low, high = rule.bead_min_mm, rule.bead_max_mm
    if job.bead_mm is None:
        if low is not None or high is not None:
            yield _not_recorded(job, "bead_mm")
    elif low is not None and job.bead_mm < low:
        yield Deviation(DeviationKind.BEAD_TOO_THIN, job.id, "bead_mm", job.bead_mm, low, "mm")
    elif high is not None and job.bead_mm > high:
        yield Deviation(DeviationKind.BEAD_TOO_THICK, job.id, "bead_mm", job.bead_mm, high, "mm")
    if rule.bead_place is None:
        return
    if job.bead_place is None:
        yield _not_recorded(job, "bead_place")
    elif job.bead_place is not rule.bead_place:
        yield Deviation(DeviationKind.BEAD_MISPLACED, job.id, "bead_place")


def _temperature(job: SealingJob, rule: SealingRule) -> Iterator[Deviation]:
    low, high = rule.lowest_c, rule.highest_c
    if low is None and high is None:
        return
    if job.temperature_c is None:
        yield _not_recorded(job, "temperature_c")
    elif low is not None and job.temperature_c < low:
        yield Deviation(
            DeviationKind.TOO_COLD, job.id, "temperature_c", job.temperature_c, low, "degC"
        )
    elif high is not None and job.temperature_c > high:
        yield Deviation(
            DeviationKind.TOO_HOT, job.id, "temperature_c", job.temperature_c, high, "degC"
        )


def _cure(
    job: SealingJob, rule: SealingRule, first_run_after: datetime | None
) -> Iterator[Deviation]:
    closed = job.closed_at or job.done_at
    if rule.cure_before_filling_h is not None:
        if job.filled_at is not None:
            cured_h = (job.filled_at - closed) / timedelta(hours=1)
            if cured_h < rule.cure_before_filling_h:
                yield Deviation(
                    DeviationKind.FILLED_BEFORE_CURE,
                    job.id,
                    "filled_at",
                    cured_h,
                    rule.cure_before_filling_h,
                    "h",
                )
        elif first_run_after is not None:  # it ran, so it was filled: nobody wrote down when
            yield _not_recorded(job, "filled_at")
    if rule.cure_before_running_h is not None and first_run_after is not None:
        cured_h = (first_run_after - closed) / timedelta(hours=1)
        if cured_h < rule.cure_before_running_h:
            yield Deviation(
                DeviationKind.RUN_BEFORE_CURE,
                job.id,
                "first run",
                cured_h,
                rule.cure_before_running_h,
                "h",
            )


def _parts(job: SealingJob, parts: Sequence[Part]) -> Iterator[Deviation]:
    for part in parts:
        if not part.is_single_use or part.condition is PartCondition.NEW:
            continue
        kind = (
            DeviationKind.REUSED_SINGLE_USE
            if part.condition is PartCondition.REUSED
            else DeviationKind.NOT_RECORDED
        )
        yield Deviation(kind, job.id, part.name)


def _missing(
    job: SealingJob,
    rule: SealingRule | None,
    torque_passes: Sequence[TorquePass],
    evidence: Sequence[Evidence],
    seal_kind: SealKind,
) -> Iterator[Deviation]:
    if job.material_id is None:
        yield _not_recorded(job, "material_id")
    elif rule is None and seal_kind in CURING_KINDS:
        yield _not_recorded(job, "rule")
    if seal_kind in TIGHTENED_KINDS and not _is_tightening_known(torque_passes):
        yield _not_recorded(job, "torque")
    if not evidence:
        yield _not_recorded(job, "evidence")


def _is_tightening_known(torque_passes: Sequence[TorquePass]) -> bool:
    """Return whether the passes count up from 1 without a gap, each with a torque or an angle."""
    numbers = {one.number for one in torque_passes}
    return bool(numbers) and (
        numbers == set(range(1, len(numbers) + 1))
        and all(one.torque_nm is not None or one.angle_deg is not None for one in torque_passes)
    )


def _unrecorded(job: SealingJob, subject: str, at: datetime | None) -> Iterator[Deviation]:
    if at is None:
        yield _not_recorded(job, subject)


def _not_recorded(job: SealingJob, subject: str) -> Deviation:
    return Deviation(DeviationKind.NOT_RECORDED, job.id, subject)
