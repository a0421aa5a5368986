"""A form for one record: each answer is one step that can be taken back."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import Field
from leaktrack.gui.look.panels import Heading
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.workflows.record_run import mark_unknown

Amend = Callable[[Any, Any], Edit]
"""Builds the edit that puts the second record in place of the first; refuses with BadInput."""


class RecordForm(QWidget):
    """Fields of one record in groups.

    Args:
        session: The session.
        amend: Builds the edit for a changed record.
    """

    def __init__(self, session: Session, amend: Amend) -> None:
        super().__init__()
        self._session = session
        self._amend = amend
        self._record: Any = None
        self.fields: dict[str, Field] = {}
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(GAP)

    @property
    def record(self) -> Any:
        """The record shown."""
        return self._record

    def add_group(
        self, title: str, fields: Mapping[str, Field], wide: Sequence[str] = ()
    ) -> QWidget:
        """Add fields by the names they have in the record; return what holds them.

        Args:
            title: Heads the group; empty for no heading.
            fields: In reading order.
            wide: Names of those that take a row of their own.
        """
        group = QWidget()
        rows = QVBoxLayout(group)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        if title:
            rows.addWidget(Heading(title, 3))
        for name, field in fields.items():
            self.fields[name] = field
            field.answered.connect(partial(self._on_answered, name))
            field.unknown_changed.connect(partial(self._on_unknown_changed, name))
        rows.addWidget(FieldGrid(tuple(fields.values()), tuple(fields[name] for name in wide)))
        self._rows.addWidget(group)
        return group

    def add_widget(self, widget: QWidget) -> None:
        """Put something else below the groups added so far."""
        self._rows.addWidget(widget)

    def show_record(self, record: Any) -> None:
        """Show a record; what is being typed into it stays if it is the same one."""
        is_other = self._record is None or self._record.id != record.id
        self._record = record
        unknown = getattr(record, "unknown_facts", ())
        for name, field in self.fields.items():
            if is_other:
                field.forget()
            field.set_value(getattr(record, name), is_unknown=name in unknown)
            field.lock(self._session.project.is_read_only)

    def answer(self, name: str, value: Any, field: Field) -> None:
        """Give a fact of the record a value; a refusal is written below the field."""
        before = self._record
        changed = {name: value}
        if hasattr(before, "unknown_facts"):  # whoever answers knows it now
            changed["unknown_facts"] = tuple(each for each in before.unknown_facts if each != name)
        self._do(self.tr("Change %s") % field.name, field, replace(before, **changed))

    def mark_unknown(self, names: Sequence[str]) -> None:
        """Note that nobody knows these facts."""
        try:
            edit = mark_unknown(self._session.project, self._record, names)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Mark as unknown"), edit)

    def _on_answered(self, name: str, value: Any) -> None:
        self.answer(name, value, self.fields[name])

    def _on_unknown_changed(self, name: str, is_unknown: bool) -> None:
        if is_unknown:
            self.mark_unknown((name,))
            return
        field = self.fields[name]
        rest = tuple(each for each in self._record.unknown_facts if each != name)
        after = replace(self._record, unknown_facts=rest)
        self._do(self.tr("Ask again for %s") % field.name, field, after)

    def _do(self, label: str, field: Field, after: Any) -> None:
        try:
            edit = self._amend(self._record, after)
        except BadInput as error:
            field.complain(str(error))
        except LeakTrackError as error:
            self._session.report(error)
        else:
            self._session.do(label, edit)
