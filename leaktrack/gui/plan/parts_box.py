"""What to have at hand: single-use parts and fluids first, each with what it is for."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.plan.answer_words import money_words
from leaktrack.model.work_sheet import NeededPart

_ROW_PADDING_PX = 2 * GAP_S


class PartsBox(QWidget):
    """A table of parts for the plan as it stands."""

    def __init__(self) -> None:
        super().__init__()
        self.sum = TonedLabel("", Tone.TEXT)
        self.empty = TonedLabel(
            self.tr(
                "No parts are written down for what is chosen. Edit a task or a step and name its "
                "parts: they are listed here, added up."
            )
        )
        self.table = QTableWidget(0, 4)
        self.table.setHorizontalHeaderLabels(
            [self.tr("Count"), self.tr("Part or fluid"), self.tr("New each time"), self.tr("For")]
        )
        self.table.setAccessibleName(self.tr("Parts and fluids"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.setWordWrap(True)
        self.table.verticalHeader().hide()
        header = self.table.horizontalHeader()
        header.setHighlightSections(False)
        header.setAccessibleName(self.tr("Columns"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        for column in (1, 3):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        for each in (self.sum, self.empty, self.table):
            rows.addWidget(each)

    def show_parts(self, lines: Sequence[NeededPart], cost: float) -> None:
        """Show what the chosen work takes, and what all of it costs."""
        money = money_words(cost)
        self.sum.setText(self.tr("Parts and fluids of what is chosen cost %s.") % money)
        self.empty.setVisible(not lines)
        self.table.setVisible(bool(lines))
        self.table.setRowCount(len(lines))
        for row, line in enumerate(lines):
            for column, text in enumerate(self._cells(line)):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                self.table.setItem(row, column, item)
        self._fit()

    def _cells(self, line: NeededPart) -> tuple[str, ...]:
        part = line.part
        single = self.tr("yes") if part.is_single_use else self.tr("no")
        return (str(part.count), part.name, single, ", ".join(line.taken_by))

    def _fit(self) -> None:
        self.table.resizeRowsToContents()
        header = self.table.horizontalHeader().sizeHint().height()
        height = header + self.table.verticalHeader().length() + 2 * self.table.frameWidth()
        self.table.setFixedHeight(height + _ROW_PADDING_PX)
