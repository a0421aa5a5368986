"""A drop-down list of records by name, with further answers such as "any" on top."""

from collections.abc import Mapping
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QWidget

Choice = UUID | str | None


class ChoiceBox(QComboBox):
    """Chooses one record, or one of the fixed answers, which have texts as keys."""

    chosen = Signal(object)
    """The person chose this one (a UUID, or a fixed answer's key)."""

    def __init__(self, name: str, fixed: Mapping[str, str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fixed = dict(fixed)
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(14)
        self.activated.connect(lambda _index: self.chosen.emit(self.choice))
        self.set_names({})

    @property
    def choice(self) -> Choice:
        """The key of what is chosen."""
        key: Choice = self.currentData()
        return key

    @property
    def record_id(self) -> UUID | None:
        """The record chosen; None where a fixed answer is."""
        key = self.currentData()
        return key if isinstance(key, UUID) else None

    def set_names(self, names: Mapping[UUID, str]) -> None:
        """Offer these records; what was chosen stays chosen if it is still there."""
        kept = self.choice
        with QSignalBlocker(self):
            self.clear()
            for key, text in self._fixed.items():
                self.addItem(text, key)
            for record_id, text in names.items():
                self.addItem(text, record_id)
            self.choose(kept)

    def choose(self, key: Choice) -> None:
        """Show a choice made elsewhere; the first one if it is not offered."""
        # Not findData: it compares by Qt's rules, which do not know UUIDs.
        keys = [self.itemData(index) for index in range(self.count())]
        self.setCurrentIndex(keys.index(key) if key in keys else 0)
