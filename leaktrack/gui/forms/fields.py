"""Fields of forms: a label, an editor, "nobody knows", and a sentence where the input is wrong.

A field never changes anything itself: it tells what the person answered. What cannot be right stays
as it was typed, with a sentence below it, and nothing is told.
"""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QLocale, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.forms.numbers import number_text, parse_number
from leaktrack.gui.forms.units import Unit
from leaktrack.gui.look.panels import TonedLabel, icon_button
from leaktrack.gui.look.theme import GAP_S, Tone
from leaktrack.model.errors import BadInput


class Field(QWidget):
    """One fact: what is recorded of it, or that nobody knows it.

    Args:
        label: What people call the fact.
        editor: Where it is typed or chosen.
        can_be_unknown: Whether somebody may say that nobody knows it.
    """

    answered = Signal(object)
    """The person gave another value; None or "" where they emptied it."""
    unknown_changed = Signal(bool)
    """The person said that nobody knows it (True), or took that back."""

    def __init__(
        self, label: str, editor: QWidget, *, can_be_unknown: bool = False, has_label: bool = True
    ) -> None:
        super().__init__()
        self.name = label
        self.editor = editor
        self.label = QLabel(label)
        self.label.setWordWrap(True)
        self.label.setBuddy(editor)
        self.problem = TonedLabel("", Tone.PROBLEM)
        self.problem.hide()
        self.unknown_button = icon_button("unknown", "")
        self.unknown_button.setCheckable(True)
        self.unknown_button.clicked.connect(self._on_unknown_clicked)
        self.has_label = has_label
        self._stored: Any = None
        self._is_unknown = False
        self._is_locked = False
        self.row = QHBoxLayout()
        self.row.setContentsMargins(0, 0, 0, 0)
        self.row.setSpacing(GAP_S)
        self.row.addWidget(editor, 1)
        self.row.addWidget(self.unknown_button)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        rows.addWidget(self.label)
        rows.addLayout(self.row)
        rows.addWidget(self.problem)
        rows.addStretch(1)
        self.label.setVisible(has_label)
        self.unknown_button.setVisible(can_be_unknown)
        self._mnemonic = ""
        self.set_name(label)

    @property
    def stored(self) -> Any:
        """The value as it was last shown from the records."""
        return self._stored

    @property
    def is_unknown(self) -> bool:
        """Whether the records say that nobody knows it."""
        return self._is_unknown

    @property
    def complaint(self) -> str:
        """What is wrong with what was typed; empty if nothing is."""
        return self.problem.text()

    def set_name(self, name: str) -> None:
        """Call the field something else, in its label and for screen readers."""
        self.name = name
        self.editor.setAccessibleName(name)
        self.unknown_button.setAccessibleName(self.tr("Nobody knows: %s") % name)
        self.set_mnemonic(self._mnemonic)

    def set_mnemonic(self, letter: str) -> None:
        """Let Alt and a letter of the name lead to the editor; empty for none."""
        self._mnemonic = letter
        place = self.name.casefold().find(letter.casefold()) if letter else -1
        self._caption(self.name if place < 0 else f"{self.name[:place]}&{self.name[place:]}")

    def _caption(self, text: str) -> None:
        self.label.setText(text)

    def set_value(self, value: Any, *, is_unknown: bool = False) -> None:
        """Show what the records say. What is being typed, or was refused, stays."""
        is_same = (value, is_unknown) == (self._stored, self._is_unknown)
        if is_same and (self.complaint or self.editor.hasFocus()):
            return
        self._stored, self._is_unknown = value, is_unknown
        self.complain("")
        with QSignalBlocker(self.editor):
            self._display(value)
        self._display_unknown()

    def forget(self) -> None:
        """Drop what was typed and not taken."""
        self.complain("")
        with QSignalBlocker(self.editor):
            self._display(self._stored)

    def complain(self, sentence: str) -> None:
        """Mark what was typed as wrong; an empty sentence takes the mark away."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
        self.editor.setAccessibleDescription(sentence)

    def lock(self, is_locked: bool = True) -> None:
        """Let nobody change it: for looking only."""
        self._is_locked = is_locked
        self.editor.setEnabled(not is_locked)
        self._display_unknown()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Escape, which no editor has a use for, bring back what is recorded."""
        is_changed = bool(self.complaint) or self._is_being_changed()
        if event.key() == Qt.Key.Key_Escape and is_changed:
            self.forget()
            return
        super().keyPressEvent(event)

    def _answer(self, value: Any) -> None:
        """Tell the person's answer, if it is another one than the records have."""
        self.complain("")
        if value != self._stored:
            self.answered.emit(value)

    def _display(self, value: Any) -> None:
        raise NotImplementedError

    def _is_being_changed(self) -> bool:
        return False

    def _display_unknown(self) -> None:
        is_given = self._stored not in (None, "")
        self.unknown_button.setChecked(self._is_unknown)
        self.unknown_button.setEnabled(not is_given and not self._is_locked)
        self.unknown_button.setToolTip(
            self.tr("Somebody knows it after all") if self._is_unknown
            else self.tr("Empty the field first") if is_given
            else self.tr("Nobody knows this")
        )  # fmt: skip

    def _absent_words(self) -> str:
        if self._is_unknown:
            return self.tr("nobody knows")
        return self.tr("not recorded")

    def _on_unknown_clicked(self, is_unknown: bool) -> None:
        self.unknown_button.setChecked(self._is_unknown)  # the records decide what is shown
        self.forget()
        self.unknown_changed.emit(is_unknown)


class TextField(Field):
    """One line of text."""

    def __init__(self, label: str, *, can_be_unknown: bool = False, has_label: bool = True) -> None:
        self.line = QLineEdit()
        super().__init__(label, self.line, can_be_unknown=can_be_unknown, has_label=has_label)
        self.line.editingFinished.connect(self._on_finished)
        self.line.textEdited.connect(lambda _text: self.complain(""))

    def _read(self, text: str) -> Any:
        """Return what a text means; raise BadInput where it means nothing."""
        return " ".join(text.split())

    def _write(self, value: Any) -> str:
        return str(value or "")

    def _display(self, value: Any) -> None:
        self.line.setText(self._write(value))
        self.line.setCursorPosition(0)  # a long text shows how it begins
        self.line.setCursorPosition(0)
        self.line.setPlaceholderText(self._absent_words())

    def _display_unknown(self) -> None:
        super()._display_unknown()
        self.line.setPlaceholderText(self._absent_words())

    def _is_being_changed(self) -> bool:
        return self.line.text() != self._write(self._stored)

    def _on_finished(self) -> None:
        if not self._is_being_changed():
            self.complain("")
            return
        try:
            value = self._read(self.line.text())
        except BadInput as error:
            self.complain(str(error))
            return
        self._answer(value)


class NumberField(TextField):
    """A number with its unit; comma and point are both taken.

    Args:
        label: What people call the fact; the unit is written after it.
        unit: Asked whenever a value is shown, since people may change their units.
    """

    def __init__(
        self,
        label: str,
        unit: Callable[[], Unit] = lambda: Unit("", 6),
        *,
        can_be_unknown: bool = False,
        has_label: bool = True,
        is_whole: bool = False,
    ) -> None:
        self._unit_now = unit
        self._unit = unit()
        self._plain_name = label
        self._is_whole = is_whole
        super().__init__(self._name_with_unit(), can_be_unknown=can_be_unknown, has_label=has_label)

    def _name_with_unit(self) -> str:
        symbol = self._unit.symbol
        return f"{self._plain_name} ({symbol})" if symbol else self._plain_name

    def set_value(self, value: Any, *, is_unknown: bool = False) -> None:
        """Show a number, given in the unit of the records."""
        if self._unit_now() != self._unit:
            self._unit = self._unit_now()
            self.set_name(self._name_with_unit())
            self._stored = None
        super().set_value(value, is_unknown=is_unknown)

    def _read(self, text: str) -> Any:
        if not text.strip():
            return None
        shown = parse_number(self._without_unit(text), QLocale().decimalPoint())
        if not self._is_whole:
            return self._unit.stored(shown)
        if shown != round(shown):
            raise BadInput(f"'{text.strip()}' is no whole number. Type one without decimals.")
        return round(shown)

    def _without_unit(self, text: str) -> str:
        """Return what stands before the field's own unit; another unit stays, to be refused."""
        typed, symbol = text.strip(), self._unit.symbol
        has_unit = bool(symbol) and typed.casefold().endswith(symbol.casefold())
        number = typed[: -len(symbol)] if has_unit else typed
        return number if any(sign.isdigit() for sign in number) else typed

    def _write(self, value: Any) -> str:
        if value is None:
            return ""
        shown = self._unit.shown(float(value))
        return number_text(shown, self._unit.decimals, QLocale().decimalPoint())


def add_beside(field: Field, *buttons: QToolButton) -> None:
    """Put buttons between a field's editor and its "nobody knows"."""
    for button in buttons:
        field.row.insertWidget(field.row.count() - 1, button)
