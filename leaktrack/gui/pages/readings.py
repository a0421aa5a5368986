"""The list of readings of a run or an inspection."""

from collections.abc import Callable, Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.row_list import RowList
from leaktrack.gui.session import Session
from leaktrack.model.inspection import Reading
from leaktrack.model.record import Edit
from leaktrack.workflows.record_run import set_readings

_tr = partial(QCoreApplication.translate, "readings")


def run_readings(session: Session, run_id: Callable[[], UUID]) -> RowList:
    """Return the list of a run's readings; the run is asked for at each edit."""

    def build(readings: Sequence[Reading]) -> Edit:
        return set_readings(session.project, readings, test_run_id=run_id())

    return _list(session, build)


def inspection_readings(session: Session, inspection_id: Callable[[], UUID]) -> RowList:
    """Return the list of an inspection's readings; the inspection is asked for at each edit."""

    def build(readings: Sequence[Reading]) -> Edit:
        return set_readings(session.project, readings, inspection_id=inspection_id())

    return _list(session, build)


def _list(session: Session, build: Callable[..., Edit]) -> RowList:
    return RowList(
        session,
        _tr("Readings"),
        _fields,
        build,
        lambda place, reading: reading.name or _tr("Reading %d") % (place + 1),
        new=lambda readings: Reading(name=_fresh_name(readings), value=0.0),
        add_text=_tr("Add readin&g"),
        empty_text=_tr("Numbers read off an instrument, such as oil pressure at idle."),
    )


def _fresh_name(readings: Sequence[Reading]) -> str:
    return _tr("Reading %d") % (len(readings) + 1)


def _fields() -> dict[str, Field]:
    return {
        "name": TextField(_tr("What was read")),
        "value": NumberField(_tr("Value")),
        "unit": TextField(_tr("Unit")),
        "note": TextField(_tr("Remark")),
    }
