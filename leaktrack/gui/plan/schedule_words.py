"""What the bars of a schedule say."""

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.numbers import number_text
from leaktrack.model.redo_problem import Schedule, Slot
from leaktrack.model.words import word

_tr = partial(QCoreApplication.translate, "schedule_words")
_SAME_H = 1e-6


def hours_words(hours: float) -> str:
    """Return hours as people read them.

    >>> hours_words(1.5)
    '1.5 h'
    """
    return f"{number_text(hours, 2)} h"


def slot_words(slot: Slot, names: Mapping[str, str]) -> str:
    """Return what is done, from when to when, and by whom.

    >>> from leaktrack.model.redo_problem import WorkKind
    >>> slot_words(Slot("a", WorkKind.TAKE_OFF, 1, 0, 1.5), {"a": "Intake"})
    'Take off: Intake, from 0 h to 1.5 h (1.5 h), person 1'
    """
    kind = word(slot.kind)
    text = _tr("{kind}: {name}, from {start} to {end} ({hours})").format(
        kind=kind[:1].upper() + kind[1:],
        name=names.get(slot.id, slot.id),
        start=hours_words(slot.start_h),
        end=hours_words(slot.end_h),
        hours=hours_words(slot.end_h - slot.start_h),
    )
    who = _tr("nobody is needed") if slot.worker is None else _tr("person %d") % slot.worker
    return f"{text}, {who}"


def proof_words(schedule: Schedule) -> str:
    """Return whether it could be ready sooner."""
    gap = schedule.ready_h - schedule.least_h
    if gap <= _SAME_H:
        return _tr("proven soonest")
    return _tr("at most %s later than the best order") % hours_words(gap)
