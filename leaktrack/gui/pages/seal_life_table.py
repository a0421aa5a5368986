"""The table of how long seals of each kind, material and rule stay dry."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from leaktrack.gui.look.theme import GAP_S
from leaktrack.model.seal_life import GroupLife
from leaktrack.model.seal_life_words import hours_figure_words, percent_words


class SealLifeTable(QTableWidget):
    """One row for each group; the current one is charted."""

    group_chosen = Signal(object)
    """The row of this GroupLife is the current one."""

    def __init__(self, smallest_row_px: int) -> None:
        super().__init__(0, 5)
        self._groups: tuple[GroupLife, ...] = ()
        self.setAccessibleName(self.tr("How long seals stay dry"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(smallest_row_px)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        header.setHighlightSections(False)
        header.setAccessibleName(self.tr("Columns"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.setHorizontalHeaderLabels(
            [
                self.tr("Seals"),
                self.tr("Leaked"),
                self.tr("Still dry half way"),
                self.tr("Still dry at the end"),
                self.tr("Half leak within"),
            ]
        )
        self.currentCellChanged.connect(self._on_current_changed)

    def show_groups(self, groups: Sequence[GroupLife]) -> None:
        """Show these groups; the first is taken in hand."""
        was_blocked = self.blockSignals(True)
        self._groups = tuple(groups)
        self.setRowCount(len(groups))
        for row, group in enumerate(groups):
            for column, text in enumerate(_cells(group)):
                self.setItem(row, column, QTableWidgetItem(text))
        self.blockSignals(was_blocked)
        if groups:
            self.setCurrentCell(0, 0)
        self.group_chosen.emit(groups[0] if groups else None)
        self._fit_rows()

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
        around = 2 * self.frameWidth() + 2 * GAP_S
        rows = self.verticalHeader().length()
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + rows + around)

    def _on_current_changed(self, row: int, _column: int, was: int, _was: int) -> None:
        if row != was and 0 <= row < len(self._groups):
            self.group_chosen.emit(self._groups[row])


def _cells(group: GroupLife) -> tuple[str, ...]:
    name = group.name if group.by == "all" else f"{group.by}: {group.name}"
    middle, end = group.shares[len(group.shares) // 2 - 1], group.shares[-1]
    shares = [
        f"{percent_words(one.steps)} at {one.hours:.3g} h" if one.steps else "not known"
        for one in (middle, end)
    ]
    law = hours_figure_words(group.law.median_h) if group.law else "too few leaks"
    return (name, f"{group.leaked} of {group.jobs}", *shares, law)
