"""What the bars of a schedule say."""

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.numbers import number_text
from leaktrack.model.redo_problem import Schedule
from leaktrack.model.redo_sentences import work_words
from leaktrack.model.work_sheet import CLOCK_H, DatedSlot, WorkSheet

_tr = partial(QCoreApplication.translate, "schedule_words")
_SAME_H = 1e-6


def hours_words(hours: float) -> str:
    """Return hours as people read them.

    >>> hours_words(1.5)
    '1.5 h'
    """
    return f"{number_text(hours, 2)} h"


def moment_words(hours: float, day_hours: float, *, is_end: bool = False) -> str:
    """Return a time as the day and the hours since that day's morning.

    Args:
        hours: From the first morning.
        day_hours: Of work in a day.
        is_end: Whether something ends then: midnight belongs to the day before.

    >>> moment_words(1.5, 8.0), moment_words(26.0, 8.0), moment_words(20.0, 8.0)
    ('day 1, after 1.5 h', 'day 2, after 2 h', 'the night after day 1')
    """
    day = int((hours - _SAME_H if is_end and hours > 0 else hours + _SAME_H) // CLOCK_H)
    rest = hours - day * CLOCK_H
    if rest > day_hours + _SAME_H:
        return _tr("the night after day %d") % (day + 1)
    return _tr("day {day}, after {hours}").format(day=day + 1, hours=hours_words(rest))


def slot_words(one: DatedSlot, names: Mapping[str, str], day_hours: float) -> str:
    """Return what is done, from when to when, and by whom.

    >>> from leaktrack.model.redo_problem import Slot, WorkKind
    >>> slot = Slot("a", WorkKind.TAKE_OFF, 1, 0, 1.5)
    >>> slot_words(DatedSlot(slot, ((0, 1.5),)), {"a": "Take off the intake"}, 8.0)
    'Take off the intake, from day 1, after 0 h, to day 1, after 1.5 h (1.5 h), person 1'
    """
    text = _tr("{name}, from {start}, to {end} ({hours})").format(
        name=work_words(one.slot.kind, names.get(one.slot.id, one.slot.id)),
        start=moment_words(one.begin_h, day_hours),
        end=moment_words(one.end_h, day_hours, is_end=True),
        hours=hours_words(one.slot.end_h - one.slot.start_h),
    )
    worker = one.slot.worker
    who = _tr("nobody is needed") if worker is None else _tr("person %d") % worker
    return f"{text}, {who}"


def ready_words(sheet: WorkSheet) -> str:
    """Return when the engine is ready."""
    return moment_words(sheet.ready_h, sheet.day_hours, is_end=True)


def order_words(schedule: Schedule) -> str:
    """Return how long all of it takes without nights, and how good that is."""
    return _tr("Without nights: {hours}; {proof}.").format(
        hours=hours_words(schedule.ready_h), proof=proof_words(schedule)
    )


def proof_words(schedule: Schedule) -> str:
    """Return whether it could be ready sooner, for hours that follow each other without a night."""
    gap = schedule.ready_h - schedule.least_h
    if gap <= _SAME_H:
        return _tr("no order takes less")
    return _tr("at most %s longer than the best order") % hours_words(gap)
