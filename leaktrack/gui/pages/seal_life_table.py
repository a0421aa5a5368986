"""The table of how long seals of each kind, material and rule stay dry."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel

from leaktrack.gui.look.whole_table import WholeTable
from leaktrack.model.seal_life import GroupLife
from leaktrack.model.seal_life_words import hours_figure_words, percent_words


class SealLifeTable(WholeTable):
    """One row for each group; the current one is charted."""

    group_chosen = Signal(object)
    """The row of this GroupLife is the current one."""

    def __init__(self, smallest_row_px: int) -> None:
        cells = QStandardItemModel(0, 5)
        super().__init__(cells, smallest_row_px, narrow=(1,))
        self._cells = cells
        self._groups: tuple[GroupLife, ...] = ()
        self.setAccessibleName(self.tr("How long seals stay dry"))
        self._cells.setHorizontalHeaderLabels(
            [
                self.tr("Seals"),
                self.tr("Leaked"),
                self.tr("Still dry half way"),
                self.tr("Still dry at the end"),
                self.tr("Half leak within"),
            ]
        )
        self.selectionModel().currentRowChanged.connect(self._on_current_changed)

    def show_groups(self, groups: Sequence[GroupLife]) -> None:
        """Show these groups; the first is taken in hand."""
        self._groups = ()  # so that nothing is chosen while the rows come and go
        self._cells.setRowCount(len(groups))
        for row, group in enumerate(groups):
            for column, text in enumerate(_cells(group)):
                self._cells.setItem(row, column, QStandardItem(text))
        if groups:
            self.setCurrentIndex(self._cells.index(0, 0))
        self._groups = tuple(groups)
        self.group_chosen.emit(groups[0] if groups else None)
        self.fit_rows()

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        if 0 <= current.row() < len(self._groups):
            self.group_chosen.emit(self._groups[current.row()])


def _cells(group: GroupLife) -> tuple[str, ...]:
    name = group.name if group.by == "all" else f"{group.by}: {group.name}"
    middle, end = group.shares[len(group.shares) // 2 - 1], group.shares[-1]
    shares = [
        f"{percent_words(one.steps)} at {one.hours:.3g} h" if one.steps else "not known"
        for one in (middle, end)
    ]
    law = hours_figure_words(group.law.median_h) if group.law else "too few leaks"
    return (name, f"{group.leaked} of {group.jobs}", *shares, law)
