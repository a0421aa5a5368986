"""A list of small records below each other, each with its fields: rounds, parts, bolts."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import Field
from leaktrack.gui.look.panels import Heading, TonedLabel, icon_button, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.record import Edit

_TABLE_CELL = 16
"""Characters that a cell needs."""

MakeFields = Callable[[], dict[str, Field]]


class RowList(QWidget):
    """Edits a whole list; each answer, each row that comes or goes is one undoable step.

    Args:
        session: The session.
        title: Heads the list.
        make_fields: Makes the fields of one row, by the names in the record.
        build: Builds the edit that leaves exactly these records; refuses with BadInput.
        new: Makes the record of a fresh row from those there are; None: rows never come or go.
        row_name: What a row is called, such as "Round 1".
        add_text: On the button that adds a row.
        empty_text: Stands where there is no row.
        is_table: Whether labels stand above the first row alone.
    """

    def __init__(
        self,
        session: Session,
        title: str,
        make_fields: MakeFields,
        build: Callable[[Sequence[Any]], Edit],
        row_name: Callable[[int, Any], str],
        *,
        new: Callable[[Sequence[Any]], Any] | None = None,
        add_text: str = "",
        empty_text: str = "",
        is_table: bool = False,
    ) -> None:
        super().__init__()
        self._session = session
        self._title = title
        self._make_fields = make_fields
        self._build = build
        self._row_name = row_name
        self._new = new
        self._is_table = is_table
        self._records: tuple[Any, ...] = ()
        self._owner: UUID | None = None
        self.rows: list[dict[str, Field]] = []
        self.remove_buttons: list[QToolButton] = []
        self._empty = TonedLabel(empty_text)
        self.add_button = push_button(add_text, self.add_row, icon_name="add")
        self._area = QVBoxLayout()
        self._area.setSpacing(GAP)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        column.addWidget(Heading(title, 3))
        column.addWidget(self._empty)
        column.addLayout(self._area)
        column.addWidget(self.add_button)
        self.add_button.setVisible(new is not None)

    @property
    def records(self) -> tuple[Any, ...]:
        """The records shown."""
        return self._records

    def show_records(self, records: Sequence[Any], owner: UUID) -> None:
        """Show the records of an owner; rows stay where only their values changed."""
        is_same = owner == self._owner and [each.id for each in records] == [
            each.id for each in self._records
        ]
        self._records, self._owner = tuple(records), owner
        if not is_same:
            self._rebuild()
        is_locked = self._session.project.is_read_only
        for record, fields in zip(self._records, self.rows, strict=True):
            for name, field in fields.items():
                field.set_value(getattr(record, name))
                field.lock(is_locked)
        self.add_button.setEnabled(not is_locked)
        self._empty.setVisible(not self._records and bool(self._empty.text()))

    def add_row(self) -> None:
        """Add a row and give the keyboard to its first field."""
        if self._new is None:
            return
        self._do(self.tr("Add to %s") % self._title, (*self._records, self._new(self._records)))
        if self.rows:
            next(iter(self.rows[-1].values())).editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def remove_row(self, place: int) -> None:
        """Take a row away."""
        rest = (*self._records[:place], *self._records[place + 1 :])
        self._do(self.tr("Remove %s") % self._row_name(place, self._records[place]), rest)
        self.add_button.setFocus(Qt.FocusReason.OtherFocusReason)

    def _rebuild(self) -> None:
        while (item := self._area.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        self.rows, self.remove_buttons = [], []
        for place, record in enumerate(self._records):
            fields = self._make_fields()
            self.rows.append(fields)
            self._area.addWidget(self._row(place, self._row_name(place, record), fields))

    def _row(self, place: int, name: str, fields: Mapping[str, Field]) -> QWidget:
        row = QWidget()
        title = TonedLabel(name)
        title.setMinimumWidth(self.fontMetrics().averageCharWidth() * 10)
        cells = FieldGrid(
            tuple(fields.values()), cell_characters=_TABLE_CELL, is_table=self._is_table
        )
        for column, field in fields.items():
            field.editor.setAccessibleName(f"{name}: {field.name}")
            field.label.setVisible(field.has_label and (not self._is_table or place == 0))
            field.answered.connect(partial(self._on_answered, place, column))
        box = QHBoxLayout() if self._is_table else QVBoxLayout()
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(GAP if self._is_table else 0)
        row.setLayout(box)
        if self._is_table:
            box.addWidget(title, 0, Qt.AlignmentFlag.AlignBottom)
            box.addWidget(cells, 1)
            return row
        head = QHBoxLayout()
        head.addWidget(title, 1)
        if self._new is not None:
            head.addWidget(self._remove_button(place, name))
        box.addLayout(head)
        box.addWidget(cells)
        return row

    def _remove_button(self, place: int, name: str) -> QToolButton:
        remove = icon_button("remove", self.tr("Remove %s") % name, partial(self.remove_row, place))
        remove.setEnabled(not self._session.project.is_read_only)
        self.remove_buttons.append(remove)
        return remove

    def _on_answered(self, place: int, column: str, value: Any) -> None:
        record = self._records[place]
        changed = list(self._records)
        changed[place] = replace(record, **{column: value})
        field = self.rows[place][column]
        label = self.tr("Change %s") % f"{self._row_name(place, record)}: {field.name}"
        self._do(label, changed, field)

    def _do(self, label: str, records: Sequence[Any], field: Field | None = None) -> None:
        try:
            edit = self._build(records)
        except BadInput as error:
            if field is None:
                self._session.report(error)
            else:
                field.complain(str(error))
        except LeakTrackError as error:
            self._session.report(error)
        else:
            self._session.do(label, edit)
