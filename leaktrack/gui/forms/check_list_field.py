"""A field with a tick for each of several things."""

from collections.abc import Hashable, Mapping
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QSizePolicy, QVBoxLayout, QWidget

from leaktrack.gui.forms.fields import Field
from leaktrack.gui.look.panels import TonedLabel


class CheckListField(Field):
    """Any number of answers; the value is the tuple of those that are ticked, in their order.

    Args:
        label: What people call the fact.
        empty_text: Stands where there is nothing to tick.
    """

    def __init__(self, label: str, empty_text: str = "") -> None:
        self._place = QWidget()
        self._rows = QVBoxLayout(self._place)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(0)
        self._empty = TonedLabel(empty_text)
        self._rows.addWidget(self._empty)
        self.boxes: dict[Any, QCheckBox] = {}
        super().__init__(label, self._place)

    def set_choices(self, choices: Mapping[Hashable, str]) -> None:
        """Offer these; boxes that are there already stay."""
        if {key: box.text() for key, box in self.boxes.items()} == dict(choices):
            return
        for box in self.boxes.values():
            self._rows.removeWidget(box)
            box.hide()
            box.deleteLater()
        self.boxes = {}
        for key, text in choices.items():
            box = QCheckBox(text.replace("&", "&&"))
            box.setAccessibleName(f"{self.name}: {text}")
            box.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
            box.clicked.connect(self._on_clicked)
            self.boxes[key] = box
            self._rows.addWidget(box)
        self._empty.setVisible(not choices)
        if self.boxes:
            self._place.setFocusProxy(next(iter(self.boxes.values())))
            self._place.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._display(self._stored)

    @property
    def ticked(self) -> tuple[Any, ...]:
        """What is ticked now."""
        return tuple(key for key, box in self.boxes.items() if box.isChecked())

    def _on_clicked(self) -> None:
        self._answer(self.ticked)

    def _display(self, value: Any) -> None:
        for key, box in self.boxes.items():
            box.setChecked(key in (value or ()))

    def _is_being_changed(self) -> bool:
        return set(self.ticked) != set(self._stored or ())
