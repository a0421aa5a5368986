"""The facts still to be asked for, one question at a time: answer it, or say that nobody knows."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import Field
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button


class AskCard(Card):
    """Asks for what is missing in the record of a form; hidden when nothing is.

    Args:
        form: Whose record is asked about; it takes the answers.
        missing: Names of the facts that are neither given nor marked unknown.
        make_field: Makes the field for a fact, by its name.
    """

    def __init__(
        self,
        form: RecordForm,
        missing: Callable[[Any], tuple[str, ...]],
        make_field: Callable[[str], Field],
    ) -> None:
        super().__init__("attention")
        self._form = form
        self._missing = missing
        self._make_field = make_field
        self._names: tuple[str, ...] = ()
        self._later: list[str] = []
        self.field: Field | None = None
        self.name = ""
        self.heading = Heading("", 2)
        self._place = QVBoxLayout()
        self.unknown_button = push_button(self.tr("&Nobody knows"), self._on_unknown)
        self.later_button = push_button(self.tr("As&k later"), self._on_later)
        self.all_button = push_button(
            self.tr("Nobod&y knows any of these"), self._on_all_unknown, is_quiet=True
        )
        self._build_layout()
        self.hide()

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the facts still to be asked for."""
        return self._names

    def show_missing(self) -> None:
        """Ask the next question about the record that the form shows now."""
        had_focus = self._has_focus()
        self._names = self._missing(self._form.record)
        self._later = [name for name in self._later if name in self._names]
        is_locked = self._form.fields and all(
            not each.editor.isEnabled() for each in self._form.fields.values()
        )
        self.setVisible(bool(self._names) and not is_locked)
        if not self._names:
            return
        count = len(self._names)
        self.heading.setText(
            self.tr("Still to be asked: one fact")
            if count == 1
            else self.tr("Still to be asked: %d facts") % count
        )
        self.later_button.setEnabled(count > 1)
        self.all_button.setEnabled(count > 1)
        fresh = [name for name in self._names if name not in self._later]
        self._ask((fresh or self._later)[0])
        if had_focus and self.field is not None:
            self.field.editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def _ask(self, name: str) -> None:
        if name == self.name and self.field is not None:
            return
        if self.field is not None:
            self._place.removeWidget(self.field)
            self.field.hide()
            self.field.deleteLater()
        self.name = name
        self.field = self._make_field(name)
        self.field.set_value(None)
        self.field.answered.connect(self._on_answered)
        self._place.addWidget(self.field)
        # The keyboard goes through the question before its buttons.
        QWidget.setTabOrder(self.field.editor, self.unknown_button)

    def _on_answered(self, value: Any) -> None:
        if self.field is not None:
            self._form.answer(self.name, value, self.field)

    def _on_unknown(self) -> None:
        self._form.mark_unknown((self.name,))

    def _on_all_unknown(self) -> None:
        self._form.mark_unknown(self._names)

    def _on_later(self) -> None:
        self._later = [name for name in self._later if name != self.name] + [self.name]
        self.show_missing()

    def _has_focus(self) -> bool:
        focused = QApplication.focusWidget()
        return focused is not None and self.isAncestorOf(focused)

    def _build_layout(self) -> None:
        self.rows.addWidget(self.heading)
        self.rows.addWidget(
            TonedLabel(self.tr("What you leave open is asked for again. Nothing is made up."))
        )
        self.rows.addLayout(self._place)
        buttons = FieldGrid(
            (self.unknown_button, self.later_button, self.all_button), cell_characters=22
        )
        row = QHBoxLayout()
        row.addWidget(buttons, 1)
        self.rows.addLayout(row)
