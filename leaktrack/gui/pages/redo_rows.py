"""Tasks and access steps as rows that can be ticked off and opened."""

import html
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S


@dataclass(frozen=True, slots=True)
class RowText:
    """One row in words.

    Attributes:
        number: Before the name, where the order counts.
        done_text: Beside the tick: "Done" for a task, "Off" for a step.
    """

    record_id: UUID
    name: str
    detail: str
    reason: str = ""
    number: str = ""
    is_done: bool = False
    done_text: str = ""


class RedoRow(Card):
    """One task or step: tick, name, what it costs, why."""

    def __init__(self, text: RowText, *, is_locked: bool) -> None:
        super().__init__()
        self.text = text
        self.tick = QCheckBox(text.done_text)
        self.tick.setAccessibleName(f"{text.done_text}: {text.name}")
        self.tick.setChecked(text.is_done)
        self.tick.setEnabled(not is_locked)
        self.edit_button = QPushButton()
        name = html.escape(" ".join(part for part in (text.number, text.name) if part))
        title = QLabel(f"<b><s>{name}</s></b>" if text.is_done else f"<b>{name}</b>")
        title.setTextFormat(Qt.TextFormat.RichText)
        words = QVBoxLayout()
        words.setSpacing(GAP_S)
        words.addWidget(title)
        title.setWordWrap(True)
        if text.reason:
            words.addWidget(_wrapped(QLabel(text.reason)))
        words.addWidget(TonedLabel(text.detail))
        self._line = QHBoxLayout()
        self._line.setSpacing(GAP)
        self._line.addLayout(words, 1)
        self._line.addWidget(self.tick, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addLayout(self._line)

    def add_edit_button(self, button: QPushButton) -> None:
        """Put the button that opens the record at the end."""
        self.edit_button = button
        button.setAccessibleName(f"{button.text().replace('&', '')}: {self.text.name}")
        self._line.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)


class RedoRows(QWidget):
    """A heading with rows below; the keyboard stays on its row when they are built anew."""

    ticked = Signal(object, bool)
    """This record (UUID) is done, or is not."""
    opened = Signal(object)
    """Edit this record (UUID)."""

    def __init__(self, title: str, empty_text: str = "") -> None:
        super().__init__()
        self.rows: list[RedoRow] = []
        self.heading = Heading(title, 2)
        self._empty = TonedLabel(empty_text)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(GAP)
        self._column.addWidget(self.heading)
        self._column.addWidget(self._empty)

    def show_rows(self, texts: Sequence[RowText], *, is_locked: bool) -> None:
        """Show these rows; nothing hides the list, unless it says what belongs here."""
        self.setVisible(bool(texts) or bool(self._empty.text()))
        self._empty.setVisible(not texts and bool(self._empty.text()))
        if [row.text for row in self.rows] == list(texts):
            return
        focused = self._focused()
        for row in self.rows:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows = []
        for text in texts:
            row = self._made(text, is_locked=is_locked)
            self.rows.append(row)
            self._column.addWidget(row)
        self._focus_again(focused)

    def row(self, record_id: UUID) -> RedoRow | None:
        """Return the row of a record."""
        return next((row for row in self.rows if row.text.record_id == record_id), None)

    def _made(self, text: RowText, *, is_locked: bool) -> RedoRow:
        row = RedoRow(text, is_locked=is_locked)
        row.tick.clicked.connect(lambda is_done: self.ticked.emit(text.record_id, is_done))
        edit = push_button(
            self.tr("Edit"), lambda: self.opened.emit(text.record_id), icon_name="edit"
        )
        row.add_edit_button(edit)
        return row

    def _focused(self) -> tuple[UUID, bool] | None:
        widget = QApplication.focusWidget()
        for row in self.rows:
            if widget is not None and widget in (row.tick, row.edit_button):
                return row.text.record_id, widget is row.tick
        return None

    def _focus_again(self, focused: tuple[UUID, bool] | None) -> None:
        row = self.row(focused[0]) if focused is not None else None
        if focused is not None and row is not None:
            (row.tick if focused[1] else row.edit_button).setFocus()


def _wrapped(label: QLabel) -> QLabel:
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
