"""Fields whose answer is chosen rather than typed."""

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox

from leaktrack.gui.fields import Field


class CalmComboBox(QComboBox):
    """A drop-down list that does not turn under the wheel while a page is scrolled."""

    def __init__(self) -> None:
        super().__init__()
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

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
