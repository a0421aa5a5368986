"""A table of leaks: how each was, how it is, and what that means."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from uuid import UUID

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from leaktrack.gui.look.theme import icon
from leaktrack.model.comparison import Change, LeakChange, Sighting
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.units import in_units, with_sigma
from leaktrack.model.words import grade_words, word

Index = QModelIndex | QPersistentModelIndex

ICONS = {
    Change.NEW: "new",
    Change.GROWING: "up",
    Change.STEADY: "minus",
    Change.SHRINKING: "down",
    Change.GONE: "good",
    Change.STILL_DRY: "good",
    Change.NOT_SEEN: "not_seen",
}


class ChangeColumn(IntEnum):
    """What stands in which column."""

    LEAK = 0
    BEFORE = 1
    AFTER = 2
    CHANGE = 3


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One leak with the name of its zone."""

    change: LeakChange
    zone_name: str


class ChangesModel(QAbstractTableModel):
    """One row per leak, by its number."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[ChangeRow, ...] = ()

    def set_rows(self, rows: Sequence[ChangeRow]) -> None:
        """Show these rows."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def row(self, place: int) -> ChangeRow:
        """Return one row."""
        return self._rows[place]

    def row_of(self, leak_id: UUID | None) -> int | None:
        """Return where a leak stands."""
        ids = [row.change.leak.id for row in self._rows]
        return ids.index(leak_id) if leak_id in ids else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many leaks there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(ChangeColumn)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return a column's heading."""
        if orientation is Qt.Orientation.Vertical or role != Qt.ItemDataRole.DisplayRole:
            return None
        headings = {
            ChangeColumn.LEAK: self.tr("Leak"),
            ChangeColumn.BEFORE: self.tr("Before"),
            ChangeColumn.AFTER: self.tr("After"),
            ChangeColumn.CHANGE: self.tr("Change"),
        }
        return headings[ChangeColumn(section)]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what stands in a cell, or how it is read out."""
        row = self._rows[index.row()]
        column = ChangeColumn(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(row, column)
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return self._sentence(row)
        if role == Qt.ItemDataRole.DecorationRole and column is ChangeColumn.CHANGE:
            return icon(ICONS[row.change.change])
        return None

    def _text(self, row: ChangeRow, column: ChangeColumn) -> str:
        change = row.change
        if column is ChangeColumn.LEAK:
            return str(change.leak.number)
        if column is ChangeColumn.CHANGE:
            return word(change.change)
        return self._sighting_text(
            change.before if column is ChangeColumn.BEFORE else change.after, "\n"
        )

    def _sighting_text(self, sighting: Sighting, separator: str) -> str:
        if sighting.grade is SeepageGrade.NOT_SEEN and sighting.nothing_noticed:
            return self.tr("nothing noticed")
        words = [grade_words(sighting.grade)]
        if sighting.area_mm2 is not None:
            words.append(with_sigma(sighting.area_mm2, sighting.area_sigma_mm2, "mm²"))
            if sighting.extent_mm is not None:
                words.append(with_sigma(sighting.extent_mm, sighting.extent_sigma_mm, "mm"))
        elif sighting.area_px is not None:
            words.append(self.tr("– %s (no scale)") % in_units(0.0, "mm²")[1])
        return separator.join(words)

    def _sentence(self, row: ChangeRow) -> str:
        change = row.change
        return self.tr("Leak {number}, {zone}: {change}; before {before}, after {after}").format(
            number=change.leak.number,
            zone=row.zone_name,
            change=word(change.change),
            before=self._sighting_text(change.before, ", "),
            after=self._sighting_text(change.after, ", "),
        )
