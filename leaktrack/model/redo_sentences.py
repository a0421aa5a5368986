"""What a teardown's numbers mean, in sentences that all front ends and the report share."""

from collections.abc import Iterator
from datetime import tzinfo

from leaktrack.model.redo_benefit import WeighedTask
from leaktrack.model.redo_plan import RedoDecision, RedoPart
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import WorkEstimate
from leaktrack.model.work_sheet import StillCuring


def turns(one: WeighedTask) -> tuple[str, ...]:
    """Return at which chance and at which hour rates a task is chosen otherwise."""
    return tuple(_turns(one))


def _turns(one: WeighedTask) -> Iterator[str]:
    why, chance = one.why, one.worth_it_chance
    if why is None or one.task.decision is RedoDecision.MUST:
        return
    if one.task.decision is RedoDecision.NEVER:
        yield "never to be done, as settled"
    if chance is not None and why.is_chosen and chance > 0:
        yield f"done at a chance above {chance:.0%}"
    elif chance is not None and not why.is_chosen:
        would = f"would become worth it at a chance above {chance:.0%}"
        yield would if chance < 1 else "would not be worth it even if it were certain"
    if why.rates is not None:
        verb = "left" if why.is_chosen else "would be done"
        for side, at in (("below", why.rates.low), ("above", why.rates.high)):
            if at is not None:
                yield f"{verb} if the hour rate is {side} {at:.2f}"


def estimate_words(estimate: WorkEstimate) -> str:
    """Return how long a piece of work takes, and by how many recorded times.

    >>> estimate_words(WorkEstimate(2.5, 2.0, 12, 0.41)), estimate_words(WorkEstimate(2.0, 2.0))
    ('2.5 h ± 0.4, 12 recorded', '2 h')
    """
    if not estimate.count:
        return f"{estimate.hours:g} h"
    spread = "" if estimate.spread_h is None else f" ± {estimate.spread_h:.1f}"
    return f"{estimate.hours:g} h{spread}, {estimate.count} recorded"


def work_words(kind: WorkKind, name: str) -> str:
    """Return what is done of a step or task.

    >>> work_words(WorkKind.REFIT, "Take off the pan"), work_words(WorkKind.TASK, "Seal the pan")
    ('Put back: Take off the pan', 'Seal the pan')
    """
    match kind:
        case WorkKind.TAKE_OFF | WorkKind.TASK:
            return name
        case WorkKind.CURE:
            return f"Let cure: {name}"
        case WorkKind.REFIT:
            return f"Put back: {name}"


def part_words(part: RedoPart) -> str:
    """Return a part with its count.

    >>> part_words(RedoPart("cover bolt", 11)), part_words(RedoPart("sling", is_single_use=False))
    ('11 x cover bolt (new)', 'sling')
    """
    count = f"{part.count} x " if part.count > 1 else ""
    return f"{count}{part.name}{' (new)' if part.is_single_use else ''}"


def clock_words(hours: float) -> str:
    """Return hours since the morning.

    >>> clock_words(3.5)
    '+3:30'
    """
    minutes = round(hours * 60)
    return f"+{minutes // 60}:{minutes % 60:02d}"


def curing_words(one: StillCuring, zone: tzinfo | None = None) -> str:
    """Return until when something cures, by the clock of a zone or of this machine.

    >>> from datetime import UTC, datetime
    >>> until = datetime(2026, 4, 5, 9, 30, tzinfo=UTC)
    >>> curing_words(StillCuring("Seal the pan", until, blocks_refit=True), UTC)
    'Seal the pan cures until 2026-04-05 09:30; until then, what it needed off stays off.'
    """
    until = f"{one.until.astimezone(zone):%Y-%m-%d %H:%M}"
    stays = "; until then, what it needed off stays off" if one.blocks_refit else ""
    return f"{one.name} cures until {until}{stays}."
