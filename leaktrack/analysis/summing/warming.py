"""How much of the change between two looks would heat and running time alone make?"""

from collections.abc import Sequence
from datetime import datetime

from leaktrack.analysis.summing.thinning import Oil, oil_of
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import HeatFactor, HeatGap, LookConditions, Range
from leaktrack.model.inspection import Inspection, TestRun

# A thermometer in the oil reads this far off, either way, and the oil at the leak is no nearer to
# it. Own judgement.
THERMOMETER_C = 2.0


def conditions(
    inspection: Inspection, earlier: Sequence[Inspection], runs: Sequence[TestRun]
) -> LookConditions:
    """Return what an inspection's flow of oil depends on.

    The engine ran since the last wipe for as long as the runs since then took, where all of them
    have their minutes. Else the engine's hours tell it, if it was wiped after an earlier look whose
    hours are known and no run lies between that look and the wipe.

    Args:
        inspection: The look.
        earlier: Looks before it, oldest first.
        runs: Of the engine, in any order.
    """
    wipes = [one.cleaned_at for one in (*earlier, inspection) if one.cleaned_at is not None]
    wiped_at = max((each for each in wipes if each <= inspection.looked_at), default=None)
    until = [run for run in runs if run.started_at <= inspection.looked_at]
    since = [run for run in until if wiped_at is None or run.started_at >= wiped_at]
    last = _last_run(inspection, runs)
    grade = inspection.oil_grade or (last.oil_grade if last is not None else "")
    return LookConditions(
        inspection.oil_c,
        _mean_c(since) or (last.oil_c if last is not None else None),
        grade.strip(),
        _hours_since(wiped_at, inspection, earlier, since, runs),
        wiped_at is not None,
    )


def heat_factor(before: LookConditions, after: LookConditions) -> HeatFactor:
    """Return what temperature and running time alone would make of a leak.

    Oil leaks through the same gap under the same pressure in inverse proportion to its viscosity,
    and what came out since the last wipe is in proportion to the running time. That the gap itself
    widens with heat is not counted.
    """
    missing: list[HeatGap] = []
    oil = _oil(before, after, missing)
    rate = run_rate = None
    try:
        if oil is not None and before.oil_c is not None and after.oil_c is not None:
            rate = _faster(oil, before.oil_c, after.oil_c)
        if oil is not None and before.run_c is not None and after.run_c is not None:
            run_rate = _faster(oil, before.run_c, after.run_c)
    except BadInput:
        missing.append(HeatGap.OUTSIDE_LIMITS)
    hours = _times_as_long(before, after, missing)
    by = run_rate or rate
    if by is None:
        missing = [*_missing_temperatures(before, after), *missing]
    made = None if by is None or hours is None else by.times(hours)
    return HeatFactor(before, after, rate, run_rate, hours, made, tuple(missing))


def _faster(oil: Oil, before_c: float, after_c: float) -> Range:
    """Return how many times as fast it leaks, with what the thermometer leaves open."""
    off = THERMOMETER_C
    return Range(
        oil.faster(before_c + off, after_c - off).least,
        oil.faster(before_c, after_c).likely,
        oil.faster(before_c - off, after_c + off).most,
    )


def _missing_temperatures(before: LookConditions, after: LookConditions) -> list[HeatGap]:
    pairs = (
        (before, HeatGap.OIL_TEMPERATURE_BEFORE),
        (after, HeatGap.OIL_TEMPERATURE_AFTER),
    )
    by_look = [gap for one, gap in pairs if one.oil_c is None]
    by_run = [gap for one, gap in pairs if one.run_c is None]
    return [] if not by_look or not by_run else by_look


def _oil(before: LookConditions, after: LookConditions, missing: list[HeatGap]) -> Oil | None:
    grades = [each for each in (before.oil_grade, after.oil_grade) if each]
    if not grades:
        missing.append(HeatGap.OIL_GRADE)
        return None
    try:
        oils = [oil_of(each) for each in grades]
    except BadInput:
        missing.append(HeatGap.OIL_GRADE_UNREADABLE)
        return None
    if len({each.name for each in oils}) > 1:
        missing.append(HeatGap.OTHER_OIL)
        return None
    return oils[0]


def _times_as_long(
    before: LookConditions, after: LookConditions, missing: list[HeatGap]
) -> float | None:
    was, now = before.hours_since_wipe, after.hours_since_wipe
    if was is None:
        missing.append(HeatGap.RUN_TIME_BEFORE)
    elif was == 0:
        missing.append(HeatGap.NOT_RUN_BEFORE)
    if now is None:
        missing.append(HeatGap.RUN_TIME_AFTER)
    elif now == 0:
        missing.append(HeatGap.NOT_RUN_AFTER)
    return None if not was or not now else now / was


def _last_run(inspection: Inspection, runs: Sequence[TestRun]) -> TestRun | None:
    own = [run for run in runs if run.id == inspection.test_run_id]
    before = sorted(
        (run for run in runs if run.started_at <= inspection.looked_at),
        key=lambda run: run.started_at,
    )
    # A baseline comes before any run: none of them has warmed its oil.
    known = own or before
    return known[-1] if known else None


def _mean_c(runs: Sequence[TestRun]) -> float | None:
    pairs = [(run.oil_c, run.minutes) for run in runs]
    known = [(oil_c, minutes) for oil_c, minutes in pairs if oil_c is not None and minutes]
    if not known or len(known) < len(pairs):
        return None
    return sum(oil_c * minutes for oil_c, minutes in known) / sum(each for _, each in known)


def _hours_since(
    wiped_at: datetime | None,
    inspection: Inspection,
    earlier: Sequence[Inspection],
    since: Sequence[TestRun],
    runs: Sequence[TestRun],
) -> float | None:
    minutes = [run.minutes for run in since]
    if runs and None not in minutes:
        return sum(each for each in minutes if each is not None) / 60
    if inspection.engine_hours is None or wiped_at is None:
        return inspection.engine_hours
    looks = [one for one in earlier if one.looked_at <= wiped_at]
    if not looks or looks[-1].engine_hours is None:
        return None
    if any(looks[-1].looked_at <= run.started_at < wiped_at for run in runs):
        return None
    return max(0.0, inspection.engine_hours - looks[-1].engine_hours)
