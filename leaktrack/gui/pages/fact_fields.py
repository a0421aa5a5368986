"""The right field for each recorded fact, by the fact's name."""

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.forms.times import now
from leaktrack.gui.forms.units import Unit, unit_of
from leaktrack.gui.session import Session
from leaktrack.model.inspection import Airflow
from leaktrack.model.photo import Light
from leaktrack.model.sealing_job import BeadPlace
from leaktrack.model.words import FACTS, word

_TEXTS = frozenset({"load", "oil_grade", "cleaned_how", "done_by", "surface_work"})
_TIMES = frozenset({"cleaned_at", "bead_laid_at", "closed_at", "filled_at"})
_ENUMS: dict[str, tuple[Any, ...]] = {
    "airflow": tuple(Airflow),
    "light": tuple(Light),
    "bead_place": tuple(BeadPlace),
}


def today() -> date:
    """Return this day on this machine's clock."""
    return now().date()


def unit_for(session: Session, name: str) -> Callable[[], Unit]:
    """Return what tells a field's unit under the settings of the moment."""
    return lambda: unit_of(name, session.settings.units)


def fact_name(name: str) -> str:
    """Return a fact's name as it heads a field."""
    words = FACTS[name]
    return words[0].upper() + words[1:]


def yes_no() -> dict[bool, str]:
    """Return the two answers."""
    translate = partial(QCoreApplication.translate, "fact_fields")
    return {True: translate("yes"), False: translate("no")}


def fact_field(
    session: Session,
    name: str,
    *,
    day: Callable[[], date] = today,
    can_be_unknown: bool = True,
) -> Field:
    """Return a field for a fact of a run, an inspection or a sealing job.

    Args:
        session: The session; its settings tell the units.
        name: The fact's field name.
        day: Which day a time without a day belongs to.
        can_be_unknown: Whether it offers "nobody knows".
    """
    label = fact_name(name)
    if name in _TEXTS:
        return TextField(label, can_be_unknown=can_be_unknown)
    if name in _TIMES:
        return TimeField(label, day, can_be_unknown=can_be_unknown)
    if name in _ENUMS:
        choices = {member: word(member) for member in _ENUMS[name]}
        return ChoiceField(label, choices, can_be_unknown=can_be_unknown)
    if name == "has_dye":
        return ChoiceField(label, yes_no(), can_be_unknown=can_be_unknown)
    return NumberField(label, unit_for(session, name), can_be_unknown=can_be_unknown)
