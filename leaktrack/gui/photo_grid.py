"""Photos as a grid or a strip of small pictures, smooth with thousands of them."""

from uuid import UUID

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from leaktrack.gui.item_models.photos_model import PhotoRole, PhotosModel
from leaktrack.gui.look.theme import GAP, GAP_S, RING_PX, Tone, color

THUMBNAIL_PX = 160
_LINES = 2


class PhotoDelegate(QStyledItemDelegate):
    """Draws a photo's cell: its picture or a quiet ground, its title, its detail."""

    def __init__(self, side_px: int, parent: QWidget) -> None:
        super().__init__(parent)
        self._side_px = side_px

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the one size that all cells have."""
        del index
        line = QFontMetrics(option.font).height()
        return QSize(self._side_px + 2 * GAP, round(self._side_px * 0.75) + _LINES * line + 3 * GAP)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw one cell."""
        painter.save()
        rect: QRect = option.rect.adjusted(GAP_S, GAP_S, -GAP_S, -GAP_S)
        state: QStyle.StateFlag = option.state
        metrics = QFontMetrics(option.font)
        self._paint_ground(painter, rect, state)
        text_height = _LINES * metrics.height()
        picture = rect.adjusted(GAP_S, GAP_S, -GAP_S, -text_height - GAP)
        self._paint_picture(painter, picture, index)
        text = QRect(
            rect.left() + GAP_S, picture.bottom() + GAP_S, rect.width() - GAP, metrics.height()
        )
        palette: QPalette = option.palette
        painter.setPen(palette.color(QPalette.ColorRole.Text))
        self._paint_line(painter, metrics, text, str(index.data()))
        needs_attention = bool(index.data(PhotoRole.NEEDS_ATTENTION))
        painter.setPen(color(Tone.ATTENTION if needs_attention else Tone.QUIET))
        text.translate(0, metrics.height())
        self._paint_line(painter, metrics, text, str(index.data(PhotoRole.DETAIL)))
        painter.restore()

    def _paint_ground(self, painter: QPainter, rect: QRect, state: QStyle.StateFlag) -> None:
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, color(Tone.ACCENT_SOFT))
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX))
            painter.drawRect(rect)
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX, Qt.PenStyle.DotLine))
            painter.drawRect(rect.adjusted(-2, -2, 2, 2))

    def _paint_picture(
        self, painter: QPainter, rect: QRect, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        picture = index.data(Qt.ItemDataRole.DecorationRole)
        if isinstance(picture, QPixmap):
            size = (
                picture.deviceIndependentSize()
                .toSize()
                .scaled(rect.size(), Qt.AspectRatioMode.KeepAspectRatio)
            )
            target = QRect(rect.topLeft(), size)
            target.moveCenter(rect.center())
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawPixmap(target, picture)
            return
        painter.fillRect(rect, color(Tone.UNSEEN))
        if index.data(PhotoRole.IS_UNREADABLE):
            painter.setPen(color(Tone.PROBLEM))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(rect, flags, self.tr("The file is missing or damaged"))

    def _paint_line(self, painter: QPainter, metrics: QFontMetrics, rect: QRect, text: str) -> None:
        short = metrics.elidedText(text, Qt.TextElideMode.ElideMiddle, rect.width())
        painter.drawText(rect, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter, short)


class PhotoGrid(QListView):
    """A grid of photos. Enter or a double-click opens one, Delete asks to remove the selected."""

    opened = Signal(object)
    """Open this photo (UUID)."""
    photo_selected = Signal(object)
    """The current photo is this one now (UUID), or none."""
    removal_wanted = Signal(object)
    """Remove these photos (tuple of UUID)."""
    selection_changed = Signal()
    """Another set of photos is selected."""

    def __init__(self, model: PhotosModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._photos = model
        self.setModel(model)
        self.setItemDelegate(PhotoDelegate(model.thumbnails.side_px, self))
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setUniformItemSizes(True)
        self.setLayoutMode(QListView.LayoutMode.Batched)
        self.setBatchSize(500)
        self.setMovement(QListView.Movement.Static)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setAccessibleName(self.tr("Photos"))
        selection = self.selectionModel()
        selection.currentChanged.connect(self._on_current_changed)
        selection.selectionChanged.connect(lambda *_: self.selection_changed.emit())
        self.verticalScrollBar().valueChanged.connect(self._drop_stale_requests)

    @property
    def selected_ids(self) -> tuple[UUID, ...]:
        """The selected photos, in the order shown."""
        rows = sorted(index.row() for index in self.selectionModel().selectedIndexes())
        return tuple(self._photos.rows[row].photo.id for row in rows)

    @property
    def current_id(self) -> UUID | None:
        """The photo that the keyboard is on."""
        index = self.currentIndex()
        return self._photos.rows[index.row()].photo.id if index.isValid() else None

    def select_photo(self, photo_id: UUID | None) -> None:
        """Make a photo the current one and bring it into view; None takes the selection away."""
        index = QModelIndex() if photo_id is None else self._photos.index_of(photo_id)
        if not index.isValid():
            self.selectionModel().clear()
        elif index != self.currentIndex():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open with Enter, ask for removal with Delete."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current_id is not None:
            self.opened.emit(self.current_id)
        elif key == Qt.Key.Key_Delete and self.selected_ids:
            self.removal_wanted.emit(self.selected_ids)
        else:
            super().keyPressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the photo, whatever the desktop's habit of opening is."""
        index = self.indexAt(event.position().toPoint())
        if index.isValid():
            self.opened.emit(index.data(PhotoRole.PHOTO_ID))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw; pictures are made for the screen that the list is on."""
        self._photos.thumbnails.set_device_ratio(self.devicePixelRatioF())
        super().paintEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give each cell its share of the width, so that no ragged gap is left."""
        super().resizeEvent(event)
        cell = self.itemDelegate().sizeHint(self._option(), QModelIndex())
        columns = max(1, (self.viewport().width() - 2) // cell.width())
        self.setGridSize(QSize((self.viewport().width() - 2) // columns, cell.height()))

    def _option(self) -> QStyleOptionViewItem:
        option = QStyleOptionViewItem()
        self.initViewItemOption(option)
        return option

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        self.photo_selected.emit(current.data(PhotoRole.PHOTO_ID) if current.isValid() else None)

    def _drop_stale_requests(self) -> None:
        self._photos.thumbnails.keep_only(self._visible_ids())

    def _visible_ids(self) -> set[UUID]:
        # Cells have one size: what is visible follows from where the first and last corners fall.
        area = self.viewport().rect()
        cell = self.gridSize()
        if cell.isEmpty() or not self._photos.rows:
            return set()
        columns = max(1, area.width() // cell.width())
        first = self.verticalOffset() // cell.height() * columns
        last = ((self.verticalOffset() + area.height()) // cell.height() + 1) * columns
        return {row.photo.id for row in self._photos.rows[first:last]}
