"""A field for a few lines of text."""

from typing import Any

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QPlainTextEdit

from leaktrack.gui.forms.fields import Field
from leaktrack.gui.look.theme import GAP_S

_NOTE_LINES = 3


class _NoteEdit(QPlainTextEdit):
    left = Signal()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()


class NoteField(Field):
    """A few lines of text; taken when the person leaves it."""

    def __init__(self, label: str) -> None:
        self.text = _NoteEdit()
        self.text.setTabChangesFocus(True)
        super().__init__(label, self.text)
        height = self.text.fontMetrics().lineSpacing() * _NOTE_LINES + 4 * GAP_S
        self.text.setFixedHeight(height)
        self.text.left.connect(lambda: self._answer(self.text.toPlainText().strip()))

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for the same number of lines when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            height = self.fontMetrics().lineSpacing() * _NOTE_LINES + 4 * GAP_S
            self.text.setFixedHeight(height)

    def _display(self, value: Any) -> None:
        self.text.setPlainText(str(value or ""))

    def _is_being_changed(self) -> bool:
        return self.text.toPlainText().strip() != str(self._stored or "")
