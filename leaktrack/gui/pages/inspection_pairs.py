"""Which two inspections are compared, and whether they were made alike."""

from collections.abc import Iterator, Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import QCoreApplication, QLocale

from leaktrack.gui.forms.numbers import number_text
from leaktrack.gui.forms.units import unit_of
from leaktrack.gui.session import Session
from leaktrack.model.inspection import Inspection
from leaktrack.model.logbook import EntryKind
from leaktrack.model.words import FACTS, word

_tr = partial(QCoreApplication.translate, "inspection_pairs")

_TOLERANCES = {
    "oil_c": 3.0,
    "ambient_c": 10.0,
    "minutes_since_shutdown": 15.0,
    "pitch_deg": 2.0,
    "roll_deg": 2.0,
    "crankcase_mmh2o": 10.0,
}
"""Differences up to these are taken as alike; own judgement, no source."""


def pair_in_hand(
    session: Session, inspections: Sequence[Inspection]
) -> tuple[Inspection, Inspection] | None:
    """Return the two inspections to compare, earlier first; None if there are not two.

    Two picked ones are compared; one with the one before it; else the newest two.
    """
    in_order = sorted(inspections, key=lambda one: one.looked_at)
    if len(in_order) < 2:
        return None
    ids = [one.id for one in in_order]
    places = sorted(ids.index(each) for each in _picked_ids(session) if each in ids)
    if len(set(places)) == 2:
        return in_order[places[0]], in_order[places[1]]
    later = max(1, places[0]) if places else len(in_order) - 1
    return in_order[later - 1], in_order[later]


def unlike(before: Inspection, after: Inspection, units: str) -> tuple[str, ...]:
    """Return what makes the two hard to compare, one sentence each; none where they are alike.

    Args:
        before: The earlier one.
        after: The later one.
        units: The user's choice, "metric" or "imperial".
    """
    return (
        *_number_sentences(before, after, units),
        *_choice_sentences(before, after),
        *_cleaning_sentences(before, after),
    )


def _picked_ids(session: Session) -> Iterator[UUID]:
    for entry in (session.earlier_entry, session.entry):
        if entry is not None and entry[0] is EntryKind.INSPECTION:
            yield entry[1]


def _number_sentences(before: Inspection, after: Inspection, units: str) -> Iterator[str]:
    for name, tolerance in _TOLERANCES.items():
        was, now = getattr(before, name), getattr(after, name)
        if was is not None and now is not None and abs(was - now) > tolerance:
            pair = (_capital(FACTS[name]), _shown(name, was, units), _shown(name, now, units))
            yield _tr("%s: %s then, %s now") % pair
    unknown = [one for one in (before.oil_c, after.oil_c) if one is None]
    if unknown:
        yield _tr("The oil temperature is not recorded for both; hot oil leaks faster than cold")


def _choice_sentences(before: Inspection, after: Inspection) -> Iterator[str]:
    if before.light is not after.light:
        was = word(before.light) if before.light else _tr("not recorded")
        now = word(after.light) if after.light else _tr("not recorded")
        yield _tr("Light: %s then, %s now") % (was, now)
    if before.airflow and after.airflow and before.airflow is not after.airflow:
        yield _tr("Air: %s then, %s now") % (word(before.airflow), word(after.airflow))
    if None not in (before.has_dye, after.has_dye) and before.has_dye != after.has_dye:
        yield _tr("Dye was in the oil at one of them only")
    if before.oil_grade and after.oil_grade and before.oil_grade != after.oil_grade:
        yield _tr("Oil: %s then, %s now") % (before.oil_grade, after.oil_grade)


def _cleaning_sentences(before: Inspection, after: Inspection) -> Iterator[str]:
    if after.cleaned_at is None:
        yield _tr("Whether the engine was cleaned in between is not recorded: old oil may be there")
    elif after.cleaned_at <= before.looked_at:
        yield _tr("Not cleaned in between: what was there then may still be there now")


def _shown(name: str, value: float, units: str) -> str:
    unit = unit_of(name, units)
    text = number_text(unit.shown(value), unit.decimals, QLocale().decimalPoint())
    return f"{text} {unit.symbol}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
