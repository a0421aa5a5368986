"""The table of marks beside a photo: the twin of what is drawn, for keys and screen readers."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from leaktrack.gui.item_models.marks_model import (
    GRADE_ROLE,
    KEY_ROLE,
    MarkColumn,
    MarkRow,
    MarksModel,
)
from leaktrack.gui.look.grade_badge import badge_size, paint_grade
from leaktrack.gui.look.theme import GAP, GAP_S, Tone, color
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.words import word

Index = QModelIndex | QPersistentModelIndex


class GradeDelegate(QStyledItemDelegate):
    """Draws a grade's cell: badge and word."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one cell."""
        grade = index.data(GRADE_ROLE)
        if not isinstance(grade, SeepageGrade):
            super().paint(painter, option, index)
            return
        option = QStyleOptionViewItem(option)
        self.initStyleOption(option, index)
        text, option.text = word(grade), ""
        style = option.widget.style()
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, option, painter, option.widget)
        badge = badge_size(option.fontMetrics.height())
        top = option.rect.top() + (option.rect.height() - badge.height()) / 2
        box = QRectF(option.rect.left() + GAP_S, top, badge.width(), badge.height())
        paint_grade(painter, box, grade)
        painter.save()
        painter.setPen(color(Tone.TEXT))
        rest = option.rect.adjusted(badge.width() + GAP_S + GAP, 0, 0, 0)
        flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(rest, flags, text)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return room for badge and word."""
        size = super().sizeHint(option, index)
        badge = badge_size(option.fontMetrics.height())
        return QSize(size.width() + badge.width() + GAP, max(size.height(), badge.height() + GAP_S))


class MarksList(QTableView):
    """One row per mark and per proposal. Enter shows the mark in the photo."""

    mark_chosen = Signal(object)
    """The row of this key (UUID) is the current one now; None: no row is."""
    shown = Signal(object)
    """Bring the mark with this key (UUID) into view."""

    def __init__(self, smallest_row_px: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.marks = MarksModel(self)
        self._is_told = False
        self.setModel(self.marks)
        self.setItemDelegateForColumn(MarkColumn.GRADE, GradeDelegate(self))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setAlternatingRowColors(False)
        self.setAccessibleName(self.tr("Marks in this photo"))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(smallest_row_px)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        header.setHighlightSections(False)
        header.setAccessibleName(self.tr("Columns"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.selectionModel().currentRowChanged.connect(self._on_current_changed)

    @property
    def current_key(self) -> UUID | None:
        """The mark, or the leak of the proposal, of the current row."""
        index = self.currentIndex()
        return index.data(KEY_ROLE) if index.isValid() else None

    def set_rows(self, rows: Sequence[MarkRow], current: UUID | None) -> None:
        """Show these rows, with this one as the current one."""
        self._is_told = True
        self.marks.set_rows(rows)
        self._is_told = False
        self.select_key(current)

    def select_key(self, key: UUID | None) -> None:
        """Make a row the current one without telling anybody; None: no row."""
        row = self.marks.row_of(key)
        self._is_told = True
        if row is None:
            self.selectionModel().clear()
        else:
            self.setCurrentIndex(self.marks.index(row, 0))
        self._is_told = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Show the mark in the photo with Enter; no jumping by typed letters."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.current_key is not None:
                self.shown.emit(self.current_key)
            return
        super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Do nothing: digits and letters give grades here."""

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        if not self._is_told:
            self.mark_chosen.emit(current.data(KEY_ROLE) if current.isValid() else None)
