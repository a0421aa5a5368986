"""The logbook's entries as a list: filtered by words and kinds, two inspections tickable."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from PySide6.QtCore import (
    QAbstractListModel,
    QDateTime,
    QLocale,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from leaktrack.model.logbook import EntryKind, LogbookEntry
from leaktrack.model.words import grade_words, word

ENTRY_ROLE = Qt.ItemDataRole.UserRole
"""The LogbookEntry of a row."""
STARTS_DAY_ROLE = Qt.ItemDataRole.UserRole + 1
"""Whether the row above is of another day."""

Index = QModelIndex | QPersistentModelIndex
EntryKey = tuple[EntryKind, UUID]


def local_time(at: datetime) -> QDateTime:
    """Return a moment by the clock on the wall here."""
    return QDateTime.fromSecsSinceEpoch(int(at.timestamp()))


def entry_sentence(entry: LogbookEntry) -> str:
    """Return an entry as one sentence, for screen readers and tooltips."""
    when = "" if entry.at is None else QLocale().toString(local_time(entry.at).date())
    parts = [word(entry.kind).capitalize(), when, entry.title, entry.detail]
    if entry.grade is not None:
        parts.append(f"worst grade {grade_words(entry.grade)}")
    if entry.needs_attention:
        parts.append("needs attention")
    return ", ".join(part for part in parts if part)


def is_wanted(entry: LogbookEntry, text: str, kinds: frozenset[EntryKind]) -> bool:
    """Return whether an entry passes the filter: any of the kinds, and every word somewhere.

    Args:
        entry: The entry.
        text: Words, whatever their case.
        kinds: The kinds wanted; none chosen means all of them.
    """
    if kinds and entry.kind not in kinds:
        return False
    haystack = entry_sentence(entry).casefold()
    return all(each in haystack for each in text.casefold().split())


class LogbookModel(QAbstractListModel):
    """Entries of the logbook, newest first, as far as they pass the filter."""

    ticks_changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[LogbookEntry, ...] = ()
        self._shown: tuple[LogbookEntry, ...] = ()
        self._text = ""
        self._kinds: frozenset[EntryKind] = frozenset()
        self._ticked: tuple[EntryKey, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there are no entries at all, filter or not."""
        return not self._all

    @property
    def ticked(self) -> tuple[EntryKey, ...]:
        """The inspections ticked for comparing, at most two, earlier tick first."""
        return self._ticked

    def set_entries(self, entries: Sequence[LogbookEntry]) -> bool:
        """Show other entries; return whether they are others."""
        if self._all == tuple(entries):
            return False
        self._all = tuple(entries)
        self._refresh()
        return True

    def set_filter(self, text: str, kinds: frozenset[EntryKind]) -> None:
        """Show only what passes."""
        self._text, self._kinds = text, kinds
        self._refresh()

    def set_ticked(self, ticked: tuple[EntryKey, ...]) -> None:
        """Tick these entries alone."""
        if ticked != self._ticked:
            self._ticked = ticked
            self._repaint_all()

    def toggle(self, key: EntryKey) -> None:
        """Tick or untick an entry. A third tick takes the place of the first."""
        if key in self._ticked:
            self._ticked = tuple(each for each in self._ticked if each != key)
        else:
            self._ticked = (*self._ticked, key)[-2:]
        self._repaint_all()
        self.ticks_changed.emit()

    def entry(self, index: Index) -> LogbookEntry:
        """Return the entry of a row."""
        return self._shown[index.row()]

    def in_time_order(self, keys: Sequence[EntryKey]) -> tuple[EntryKey, ...]:
        """Return keys of entries, oldest first, whether shown or not."""
        order = [(each.kind, each.record_id) for each in reversed(self._all)]
        return tuple(key for key in order if key in keys)

    def index_of(self, key: EntryKey) -> QModelIndex:
        """Return the row of an entry; an invalid index where it is not shown."""
        for row, each in enumerate(self._shown):
            if (each.kind, each.record_id) == key:
                return self.index(row)
        return QModelIndex()

    def rowCount(self, parent: Index | None = None) -> int:
        """Return how many entries are shown."""
        return 0 if parent is not None and parent.isValid() else len(self._shown)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a row: inspections can be ticked."""
        flags = super().flags(index)
        if index.isValid() and self.entry(index).kind is EntryKind.INSPECTION:
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a view asks for."""
        if not index.isValid():
            return None
        entry = self.entry(index)
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return entry.title
            case Qt.ItemDataRole.AccessibleTextRole | Qt.ItemDataRole.ToolTipRole:
                return entry_sentence(entry)
            case Qt.ItemDataRole.CheckStateRole if entry.kind is EntryKind.INSPECTION:
                is_ticked = (entry.kind, entry.record_id) in self._ticked
                return Qt.CheckState.Checked if is_ticked else Qt.CheckState.Unchecked
            case _ if role == ENTRY_ROLE:
                return entry
            case _ if role == STARTS_DAY_ROLE:
                return self._starts_day(index.row())
        return None

    def setData(self, index: Index, _value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Tick or untick a row."""
        if role != Qt.ItemDataRole.CheckStateRole or not index.isValid():
            return False
        entry = self.entry(index)
        self.toggle((entry.kind, entry.record_id))
        return True

    def _starts_day(self, row: int) -> bool:
        if row == 0:
            return True
        here, above = self._shown[row].at, self._shown[row - 1].at
        if here is None or above is None:
            return here is not above
        return here.astimezone().date() != above.astimezone().date()

    def _refresh(self) -> None:
        self.beginResetModel()
        self._shown = tuple(each for each in self._all if is_wanted(each, self._text, self._kinds))
        self.endResetModel()

    def _repaint_all(self) -> None:
        if self._shown:
            self.dataChanged.emit(self.index(0), self.index(len(self._shown) - 1))
