"""A list of photos with small pictures; it answers at once and opens no file itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from uuid import UUID

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.session import Session
from leaktrack.model.photo import Photo

Index = QModelIndex | QPersistentModelIndex


class PhotoRole(IntEnum):
    """What else can be asked of a photo's row."""

    PHOTO_ID = Qt.ItemDataRole.UserRole
    DETAIL = Qt.ItemDataRole.UserRole + 1
    IS_UNREADABLE = Qt.ItemDataRole.UserRole + 2
    NEEDS_ATTENTION = Qt.ItemDataRole.UserRole + 3


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """One photo of the list.

    Attributes:
        title: What people call it here.
        detail: Where it belongs, or what is missing.
        needs_attention: Something is missing.
    """

    photo: Photo
    title: str
    detail: str = ""
    needs_attention: bool = False


class PhotosModel(QAbstractListModel):
    """Photos in the order given."""

    def __init__(self, session: Session, side_px: int, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.thumbnails = Thumbnails(session, side_px, self)
        self.thumbnails.ready.connect(self._on_ready)
        self._rows: tuple[PhotoRow, ...] = ()
        self._row_of: dict[UUID, int] = {}

    def set_rows(self, rows: Sequence[PhotoRow]) -> None:
        """Show these photos; where only texts changed, the selection stays."""
        rows = tuple(rows)
        if [row.photo.id for row in rows] == [row.photo.id for row in self._rows]:
            self._rows = rows
            if rows:
                self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self._rows = rows
        self._row_of = {row.photo.id: number for number, row in enumerate(rows)}
        self.endResetModel()

    @property
    def rows(self) -> tuple[PhotoRow, ...]:
        """The photos shown."""
        return self._rows

    def index_of(self, photo_id: UUID) -> QModelIndex:
        """Return a photo's index; an invalid one if it is not in the list."""
        row = self._row_of.get(photo_id)
        return QModelIndex() if row is None else self.index(row)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's signature
        """Return how many photos there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return one thing about one photo."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.DecorationRole:
            return self.thumbnails.get(row.photo.id)
        if role == PhotoRole.IS_UNREADABLE:
            return self.thumbnails.is_unreadable(row.photo.id)
        return _texts(row).get(role)

    def _on_ready(self, photo_id: UUID) -> None:
        index = self.index_of(photo_id)
        if index.isValid():
            self.dataChanged.emit(index, index, [Qt.ItemDataRole.DecorationRole])


def _texts(row: PhotoRow) -> dict[int, object]:
    sentence = f"{row.title}, {row.detail}" if row.detail else row.title
    return {
        Qt.ItemDataRole.DisplayRole: row.title,
        Qt.ItemDataRole.ToolTipRole: f"{sentence}\n{row.photo.original_name}",
        Qt.ItemDataRole.AccessibleTextRole: sentence,
        PhotoRole.PHOTO_ID: row.photo.id,
        PhotoRole.DETAIL: row.detail,
        PhotoRole.NEEDS_ATTENTION: row.needs_attention,
    }
