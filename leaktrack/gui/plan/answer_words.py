"""The plan in figures: how much of it, how long, ready when, for how much money, worth what."""

from dataclasses import dataclass
from functools import partial
from math import fsum

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.numbers import number_text
from leaktrack.gui.plan.schedule_words import hours_words, ready_words
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.redo_plan import RedoDecision
from leaktrack.model.redo_problem import SolvedState
from leaktrack.model.work_sheet import WorkSheet

_tr = partial(QCoreApplication.translate, "answer_words")
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class FigureWords:
    """One figure.

    Attributes:
        caption: What it is about.
        value: The figure itself.
        note: What it means, or where it stands.
    """

    caption: str
    value: str
    note: str = ""

    @property
    def sentence(self) -> str:
        """All of it as it is read out."""
        return f"{self.caption}: {self.value}" + (f", {self.note}" if self.note else "")


def answer_words(weighed: WeighedRedo, sheet: WorkSheet | None) -> tuple[FigureWords, ...]:
    """Return the figures of a teardown that can be done."""
    return (
        _done(weighed),
        _labour(weighed),
        _ready(weighed, sheet),
        _money(weighed),
        _worth(weighed),
    )


def hint_words(weighed: WeighedRedo) -> str:
    """Return what to do where nothing is chosen; empty where something is."""
    if weighed.answer.tasks:
        return ""
    if not weighed.tasks:
        return _tr("No task is open. Write one, or take one from what is wanted above.")
    return _tr(
        "Nothing is worth taking the engine apart for now: later costs no more than now. Say that "
        "a task must be done, and see what else is worth it then."
    )


def money_words(money: float) -> str:
    """Return an amount of money in the workshop's own currency.

    >>> money_words(-0.001), money_words(1240.5)
    ('0', '1240.5')
    """
    return number_text(money, 2 if abs(money) < 100 else 0 if money == round(money) else 1)


def alone_hours(weighed: WeighedRedo) -> float | None:
    """Return the labour if each chosen task were a teardown of its own; None where not known."""
    is_whole = not any(step.is_done for step in weighed.steps)
    hours = []
    for one in weighed.chosen:
        alone = one.why.alone_hours if one.why is not None else None
        if alone is None and is_whole:
            alone = one.benefit.later_hours  # nothing is off: later it is as much as now
        hours.append(alone)
    return None if None in hours else fsum(each for each in hours if each is not None)


def _done(weighed: WeighedRedo) -> FigureWords:
    answer = weighed.answer
    off = {str(step.id) for step in weighed.steps if step.is_done}
    count = sum(step not in off for step in answer.steps)
    note = _tr("%d steps come off") % count if count != 1 else _tr("1 step comes off")
    musts = sum(one.task.decision is RedoDecision.MUST for one in weighed.tasks)
    if musts:
        note = f"{note}; " + _tr("%d by your word") % musts
    value = _tr("%d of %d tasks") % (len(answer.tasks), len(weighed.tasks))
    return FigureWords(_tr("Redo"), value, note)


def _labour(weighed: WeighedRedo) -> FigureWords:
    hours = weighed.answer.labour_hours or 0.0
    alone = alone_hours(weighed)
    note = ""
    if alone is not None and len(weighed.answer.tasks) > 1:
        note = _tr("saves %s of %s") % (hours_words(alone - hours), hours_words(alone))
    return FigureWords(_tr("Labour"), hours_words(hours), note)


def _ready(weighed: WeighedRedo, sheet: WorkSheet | None) -> FigureWords:
    if sheet is None:
        return FigureWords(_tr("Engine ready"), "…", _tr("the order is being worked out"))
    if not sheet.slots:
        return FigureWords(_tr("Engine ready"), "–", _tr("nothing is to be done"))
    people = weighed.terms.workers
    who = _tr("%d people") % people if people != 1 else _tr("1 person")
    day = _tr("%s a day") % hours_words(sheet.day_hours)
    return FigureWords(_tr("Engine ready"), ready_words(sheet), f"{who}, {day}")


def _money(weighed: WeighedRedo) -> FigureWords:
    limit = weighed.terms.money_budget
    note = _tr("limit %s") % money_words(limit) if limit is not None else ""
    return FigureWords(_tr("Parts and fluids"), money_words(weighed.answer.money or 0.0), note)


def _worth(weighed: WeighedRedo) -> FigureWords:
    answer = weighed.answer
    value = answer.value or 0.0
    gap = (answer.most_value if answer.most_value is not None else value) - value
    if answer.state is SolvedState.OPTIMAL or gap <= _SAME:
        note = _tr("proven best choice")
    else:
        note = _tr("at most %s more is possible") % money_words(gap)
    return FigureWords(_tr("Worth beyond its cost"), money_words(value), note)
