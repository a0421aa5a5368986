"""The table of leaks of a comparison."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QEvent, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from leaktrack.gui.item_models.changes_model import ChangeColumn, ChangeRow, ChangesModel
from leaktrack.gui.look.theme import GAP_S


class ChangesTable(QTableView):
    """Choosing a row takes its leak in hand; Enter shows it in the photo."""

    leak_chosen = Signal(object)
    """The row of this LeakChange is the current one."""
    shown = Signal(object)
    """Bring the leak of this LeakChange into view."""

    def __init__(self, smallest_row_px: int) -> None:
        super().__init__()
        self.changes = ChangesModel(self)
        self._is_told = False
        self.setModel(self.changes)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.setAccessibleName(self.tr("Leaks, before and after"))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(smallest_row_px)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        for column in (ChangeColumn.LEAK, ChangeColumn.CHANGE):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        header.setHighlightSections(False)
        header.setAccessibleName(self.tr("Columns"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
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
        self._fit_rows()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Show the current leak with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._on_clicked(self.currentIndex())
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Make rows as high as their words need at this width."""
        super().resizeEvent(event)
        self._fit_rows()

    def changeEvent(self, event: QEvent) -> None:
        """Make rows as high as their words need at this size."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit_rows()

    def _fit_rows(self) -> None:
        self.resizeRowsToContents()
        rows = self.verticalHeader().length()
        around = 2 * self.frameWidth() + 2 * GAP_S
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + rows + around)

    def _on_clicked(self, index: QModelIndex) -> None:
        self.shown.emit(self.changes.row(index.row()).change)

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        if current.isValid() and not self._is_told:
            self.leak_chosen.emit(self.changes.row(current.row()).change)
