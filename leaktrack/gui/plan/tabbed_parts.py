"""Parts of a page of which one is shown at a time; the page is only as high as that one."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QTabBar, QVBoxLayout, QWidget

from leaktrack.gui.look.theme import GAP


class TabbedParts(QWidget):
    """A bar of names over the part shown.

    Args:
        name: Of the bar, for screen readers.
        beside: Stands at the end of the bar.
    """

    shown = Signal(str)
    """The part with this key is shown now."""

    def __init__(self, name: str, beside: QWidget) -> None:
        super().__init__()
        self._parts: dict[str, QWidget] = {}
        self.bar = QTabBar()
        self.bar.setExpanding(False)
        self.bar.setDrawBase(False)
        self.bar.setUsesScrollButtons(True)
        self.bar.setAccessibleName(name)
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(GAP)
        line = QHBoxLayout()
        line.addWidget(self.bar)
        line.addWidget(beside, 1)
        self._rows.addLayout(line)
        self._rows.addStretch(0)
        self.bar.currentChanged.connect(self._on_changed)

    @property
    def key(self) -> str:
        """Key of the part shown."""
        return list(self._parts)[self.bar.currentIndex()] if self._parts else ""

    def add_part(self, key: str, title: str, part: QWidget, *, is_filling: bool = False) -> None:
        """Add a part at the end; one that fills takes all the height there is."""
        self._parts[key] = part
        self._rows.insertWidget(self._rows.count() - 1, part, 1 if is_filling else 0)
        self.bar.addTab(title)
        part.setVisible(key == self.key)

    def show_part(self, key: str) -> None:
        """Show another part."""
        self.bar.setCurrentIndex(list(self._parts).index(key))

    def _on_changed(self, place: int) -> None:
        for number, (key, part) in enumerate(self._parts.items()):
            part.setVisible(number == place)
            if number == place:
                self.shown.emit(key)
