"""Work out how wide a job's bead spreads, how much it takes and how long it needs."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from leaktrack.analysis.summing.bedding import bead_range, film_range, volume_range, volume_share
from leaktrack.analysis.summing.curing import through_h, time_here
from leaktrack.model.engine import Joint, SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import Range
from leaktrack.model.sealant import BeadSums, Wait, WaitKind
from leaktrack.model.sealing_job import Closing, SealingJob, SealingRule


def bead_sums(
    job: SealingJob, joint: Joint, rule: SealingRule | None, first_run_at: datetime | None
) -> BeadSums | None:
    """Return the arithmetic of a job's bead; None for a joint that no liquid gasket seals.

    Args:
        job: The job.
        joint: What it sealed.
        rule: Of its material; None where there is none.
        first_run_at: When the engine first ran on it; None if it has not.
    """
    if joint.seal_kind is not SealKind.LIQUID_GASKET:
        return None
    bead, gap, face = job.bead_mm, joint.gap_mm, joint.face_mm
    film = film_range(bead, gap) if bead is not None and gap is not None else None
    return BeadSums(
        bead_mm=bead,
        gap_mm=gap,
        face_mm=face,
        temperature_c=job.temperature_c,
        humidity_percent=job.humidity_percent,
        film_mm=film,
        face_bead_mm=bead_range(face, gap) if face is not None and gap is not None else None,
        ml_per_m=None if bead is None else volume_range(bead),
        ml=_whole(bead, joint.length_mm),
        allowed_share=_allowed(bead, rule),
        through_h=None if film is None else _through(film, job, face),
        waits=tuple(_waits(job, rule, first_run_at)) if rule is not None else (),
    )


def _whole(bead_mm: float | None, length_mm: float | None) -> Range | None:
    return None if bead_mm is None or length_mm is None else volume_range(bead_mm, length_mm)


def _allowed(bead_mm: float | None, rule: SealingRule | None) -> Range | None:
    if bead_mm is None or rule is None or rule.bead_min_mm is None or rule.bead_max_mm is None:
        return None
    least, most = (volume_share(bead_mm, each) for each in (rule.bead_min_mm, rule.bead_max_mm))
    return Range(least, (least * most) ** 0.5, most)


def _through(film: Range, job: SealingJob, face_mm: float | None) -> Range:
    """Return when the film is cured through; no film is wider than the face it lies on."""
    if face_mm is not None:
        film = Range(*(min(each, face_mm) for each in (film.least, film.likely, film.most)))
    return through_h(film, job.temperature_c, job.humidity_percent)


def _waits(job: SealingJob, rule: SealingRule, first_run_at: datetime | None) -> Iterator[Wait]:
    laid, closed = job.bead_laid_at, job.closed_at
    cured_from = closed or job.done_at
    skin_min = rule.skin_time_min if rule.closing is not Closing.WHILE_WET else None
    asked = (
        (WaitKind.OPEN, _hours_of(rule.open_time_min), _between(laid, closed)),
        (WaitKind.SKIN, _hours_of(skin_min), _between(laid, closed)),
        (WaitKind.FILLING, rule.cure_before_filling_h, _between(cured_from, job.filled_at)),
        (WaitKind.RUNNING, rule.cure_before_running_h, _between(cured_from, first_run_at)),
    )
    for kind, rule_h, actual_h in asked:
        if rule_h is not None:
            yield Wait(kind, rule_h, _here(rule_h, job), actual_h)


def _here(rule_h: float, job: SealingJob) -> Range | None:
    if job.temperature_c is None:
        return None
    try:
        return time_here(rule_h, job.temperature_c, job.humidity_percent)
    except BadInput:  # beyond the rule of thumb: then nothing is claimed
        return None


def _hours_of(minutes: float | None) -> float | None:
    return None if minutes is None else minutes / 60


def _between(start: datetime | None, end: datetime | None) -> float | None:
    if start is None or end is None or end < start:
        return None
    return (end - start) / timedelta(hours=1)
