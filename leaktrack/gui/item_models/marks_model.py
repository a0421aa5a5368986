"""The marks of one photo as a table: what the drawing shows, for those who cannot see it."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from uuid import UUID

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from leaktrack.model.leak import Fluid, SeepageGrade
from leaktrack.model.words import grade_words, word

Index = QModelIndex | QPersistentModelIndex


class MarkColumn(IntEnum):
    """The columns, in order."""

    NUMBER = 0
    GRADE = 1
    FLUID = 2
    AREA = 3
    NOTE = 4


GRADE_ROLE = Qt.ItemDataRole.UserRole
KEY_ROLE = Qt.ItemDataRole.UserRole + 1


@dataclass(frozen=True, slots=True)
class MarkRow:
    """One mark, or a proposal for one.

    Attributes:
        key: Id of the mark; the key of a proposal.
        number: The leak's; None where no leak is known yet.
        grade: None for a proposal.
        label: What stands there instead for a proposal.
        area: Wet area in words.
        note: The mark's note; what a proposal asks for.
    """

    key: UUID
    number: int | None
    grade: SeepageGrade | None
    fluid: Fluid | None = None
    area: str = ""
    note: str = ""
    label: str = ""

    @property
    def is_proposal(self) -> bool:
        """Whether it waits for a person's word."""
        return self.grade is None


class MarksModel(QAbstractTableModel):
    """Marks first, then proposals, in the order given."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[MarkRow, ...] = ()

    @property
    def rows(self) -> tuple[MarkRow, ...]:
        """The rows shown."""
        return self._rows

    def set_rows(self, rows: Sequence[MarkRow]) -> None:
        """Show these rows."""
        rows = tuple(rows)
        if [row.key for row in rows] == [row.key for row in self._rows]:
            self._rows = rows
            if rows:
                last = self.index(len(rows) - 1, len(MarkColumn) - 1)
                self.dataChanged.emit(self.index(0, 0), last)
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def row_of(self, key: UUID | None) -> int | None:
        """Return the row of a mark or a proposal."""
        keys = [row.key for row in self._rows]
        return keys.index(key) if key in keys else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's signature
        """Return how many marks and proposals there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's signature
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(MarkColumn)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return one thing about one mark."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        column = MarkColumn(index.column())
        if role == GRADE_ROLE:
            return row.grade if column is MarkColumn.GRADE else None
        if role == KEY_ROLE:
            return row.key
        if role == Qt.ItemDataRole.AccessibleTextRole and column is MarkColumn.NUMBER:
            return self._sentence(row)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return self._cell(row, column)
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return the name of a column."""
        is_text = role == Qt.ItemDataRole.DisplayRole
        if not is_text or orientation is not Qt.Orientation.Horizontal:
            return None
        return {
            MarkColumn.NUMBER: self.tr("Leak"),
            MarkColumn.GRADE: self.tr("Grade"),
            MarkColumn.FLUID: self.tr("Fluid"),
            MarkColumn.AREA: self.tr("Area"),
            MarkColumn.NOTE: self.tr("Note"),
        }[MarkColumn(section)]

    def _cell(self, row: MarkRow, column: MarkColumn) -> str:
        if column is MarkColumn.NUMBER:
            return self.tr("new") if row.number is None else str(row.number)
        if column is MarkColumn.GRADE:
            return row.label if row.grade is None else grade_words(row.grade)
        if column is MarkColumn.FLUID:
            return "" if row.fluid is None else word(row.fluid)
        return row.area if column is MarkColumn.AREA else row.note

    def _sentence(self, row: MarkRow) -> str:
        cells = [self._cell(row, column) for column in list(MarkColumn)[1:]]
        known = row.number is not None
        name = self.tr("leak %d") % row.number if known else self.tr("new leak")
        return ", ".join([name, *(cell for cell in cells if cell)])
