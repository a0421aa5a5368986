"""Fields whose answer is chosen rather than typed."""

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox

from leaktrack.gui.forms.fields import Field

_OPENING_KEYS = frozenset(
    {
        Qt.Key.Key_Up,
        Qt.Key.Key_Down,
        Qt.Key.Key_Home,
        Qt.Key.Key_End,
        Qt.Key.Key_PageUp,
        Qt.Key.Key_PageDown,
    }
)

_COMMAND_KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier


class CalmComboBox(QComboBox):
    """A drop-down list that changes only once something is chosen from the open list.

    It does not turn under the wheel while a page is scrolled; arrow keys open it rather than going
    through all answers, each of which would be a step of its own.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the list where a closed one would change; letters search in it."""
        is_letter = event.text().isprintable() and event.text() not in ("", " ")
        is_plain = not event.modifiers() & _COMMAND_KEYS
        if is_plain and (Qt.Key(event.key()) in _OPENING_KEYS or is_letter):
            self.showPopup()
            if is_letter:
                self.view().keyboardSearch(event.text())
            return
        super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page."""
        event.ignore()


class ChoiceField(Field):
    """One of a few answers; "not recorded" stands on top of them unless one must be chosen."""

    def __init__(
        self,
        label: str,
        choices: Mapping[Any, str],
        *,
        is_required: bool = False,
        can_be_unknown: bool = False,
        has_label: bool = True,
        absent: str = "",
    ) -> None:
        self.box = CalmComboBox()
        super().__init__(label, self.box, can_be_unknown=can_be_unknown, has_label=has_label)
        self._is_required = is_required
        self._absent = absent
        self._keys: list[Any] = []
        self.set_choices(choices)
        self.box.activated.connect(lambda row: self._answer(self._keys[row]))

    def set_choices(self, choices: Mapping[Any, str]) -> None:
        """Offer these answers; what is recorded stays shown."""
        top = {} if self._is_required else {None: self._absent or self._absent_words()}
        offered = {**top, **choices}
        if list(offered) == self._keys and list(offered.values()) == self._texts():
            return
        self._keys = list(offered)
        with QSignalBlocker(self.box):
            self.box.clear()
            self.box.addItems(list(offered.values()))
            self._display(self._stored)

    def _texts(self) -> list[str]:
        return [self.box.itemText(row) for row in range(self.box.count())]

    def _display(self, value: Any) -> None:
        self.box.setCurrentIndex(self._keys.index(value) if value in self._keys else -1)

    def _display_unknown(self) -> None:
        super()._display_unknown()
        if not self._is_required and self._keys:
            self.box.setItemText(0, self._absent or self._absent_words())


class FlagField(Field):
    """Yes or no; the label is on the box itself."""

    def __init__(self, label: str) -> None:
        self.box = QCheckBox(label)
        super().__init__(label, self.box, has_label=False)
        self.box.clicked.connect(self._answer)

    def _caption(self, text: str) -> None:
        self.box.setText(text)

    def _display(self, value: Any) -> None:
        self.box.setChecked(bool(value))
