"""The table of leaks of a comparison."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent

from leaktrack.gui.item_models.changes_model import ChangeColumn, ChangeRow, ChangesModel
from leaktrack.gui.look.whole_table import WholeTable


class ChangesTable(WholeTable):
    """Choosing a row takes its leak in hand; Enter shows it in the photo."""

    leak_chosen = Signal(object)
    """The row of this LeakChange is the current one."""
    shown = Signal(object)
    """Bring the leak of this LeakChange into view."""

    def __init__(self, smallest_row_px: int) -> None:
        model = ChangesModel()
        super().__init__(model, smallest_row_px, (ChangeColumn.LEAK, ChangeColumn.CHANGE))
        self.changes = model
        self._is_told = False
        self.setAccessibleName(self.tr("Leaks, before and after"))
        self.selectionModel().currentRowChanged.connect(self._on_current_changed)
        self.clicked.connect(self._on_clicked)

    def set_rows(self, rows: Sequence[ChangeRow], current: UUID | None) -> None:
        """Show these rows, with the one of this leak as the current one."""
        self._is_told = True
        self.changes.set_rows(rows)
        place = self.changes.row_of(current)
        if place is not None:
            self.setCurrentIndex(self.changes.index(place, 0))
        self._is_told = False
        self.fit_rows()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Show the current leak with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._on_clicked(self.currentIndex())
            return
        super().keyPressEvent(event)

    def _on_clicked(self, index: QModelIndex) -> None:
        self.shown.emit(self.changes.row(index.row()).change)

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        if current.isValid() and not self._is_told:
            self.leak_chosen.emit(self.changes.row(current.row()).change)
