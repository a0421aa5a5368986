"""A table that is shown whole: it never scrolls by itself, the page around it does."""

from collections.abc import Iterable

from PySide6.QtCore import QAbstractItemModel, QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from leaktrack.gui.look.theme import GAP_S


class WholeTable(QTableView):
    """Rows are as high as their words need, and the table is as high as its rows.

    Args:
        model: What it shows, with its columns.
        smallest_row_px: A row must be hit with the finger of a glove.
        narrow: Columns as wide as their words; the others share what is left.
    """

    def __init__(
        self, model: QAbstractItemModel, smallest_row_px: int, narrow: Iterable[int]
    ) -> None:
        super().__init__()
        model.setParent(self)
        self.setModel(model)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(smallest_row_px)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        for column in narrow:
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        header.setHighlightSections(False)
        header.setAccessibleName(self.tr("Columns"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

    def fit_rows(self) -> None:
        """Give rows and table the height that their words need at this width and size."""
        self.resizeRowsToContents()
        around = 2 * self.frameWidth() + 2 * GAP_S
        rows = self.verticalHeader().length()
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + rows + around)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the rows to the new width."""
        super().resizeEvent(event)
        self.fit_rows()

    def changeEvent(self, event: QEvent) -> None:
        """Fit the rows to another size of text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.fit_rows()
