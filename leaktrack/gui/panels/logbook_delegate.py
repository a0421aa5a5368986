"""How an entry of the logbook looks: a ledger line with the date in its margin."""

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QLocale,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from leaktrack.gui.item_models.logbook_model import ENTRY_ROLE, STARTS_DAY_ROLE, local_time
from leaktrack.gui.look.grade_badge import badge_size, paint_grade
from leaktrack.gui.look.theme import GAP, GAP_S, Tone, color
from leaktrack.gui.look.tinted_icon import paint_icon
from leaktrack.model.logbook import EntryKind, LogbookEntry
from leaktrack.model.words import word

Index = QModelIndex | QPersistentModelIndex

KIND_ICONS = {
    EntryKind.SEALING_JOB: "sealing_job",
    EntryKind.TEST_RUN: "test_run",
    EntryKind.INSPECTION: "inspection",
    EntryKind.CHECK: "check",
    EntryKind.REDO_PLAN: "redo_plan",
}

_SMALL_TARGET_PX = 30

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_CENTRE = Qt.AlignmentFlag.AlignCenter


class LogbookDelegate(QStyledItemDelegate):
    """Draws entries, and lets the tick at the right of an inspection be clicked."""

    def __init__(self, target_px: int) -> None:
        super().__init__()
        self.target_px = target_px

    def sizeHint(self, option: QStyleOptionViewItem, _index: Index) -> QSize:
        """Return room for three lines of text."""
        line = QFontMetrics(option.font).height()
        return QSize(180, max(3 * line + 2 * GAP, self.target_px + GAP))

    @property
    def _has_tick_column(self) -> bool:
        """Whether ticks are so large that they need a column of their own."""
        return self.target_px > _SMALL_TARGET_PX

    def tick_rect(self, row: QRect) -> QRect:
        """Return where a row's tick can be hit."""
        side = max(self.target_px, 24)
        top = row.center().y() - side // 2 if self._has_tick_column else row.top() + 1
        return QRect(row.right() - side - 2, top, side, side)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one entry."""
        entry: LogbookEntry = index.data(ENTRY_ROLE)
        row, font = option.rect, QFont(option.font)
        painter.save()
        painter.setFont(font)
        self._paint_ground(painter, option, index)
        margin = QRect(row.left(), row.top(), margin_width(QFontMetrics(font)), row.height())
        _paint_margin(painter, margin, entry, starts_day=bool(index.data(STARTS_DAY_ROLE)))
        right = self.target_px + GAP if self._has_tick_column else GAP
        content = row.adjusted(margin.width() + GAP, GAP - 2, -right, -GAP)
        _paint_lines(painter, content, entry)
        if index.data(Qt.ItemDataRole.CheckStateRole) is not None:
            self._paint_tick(painter, row, index)
        painter.restore()

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: Index,
    ) -> bool:
        """Toggle the tick on a click on it, or on the space bar."""
        if not index.flags() & Qt.ItemFlag.ItemIsUserCheckable:
            return False
        if isinstance(event, QKeyEvent):
            is_wanted = event.type() is QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Space
        else:
            is_wanted = (
                isinstance(event, QMouseEvent)
                and event.type() is QEvent.Type.MouseButtonRelease
                and self.tick_rect(option.rect).contains(event.position().toPoint())
            )
        return is_wanted and model.setData(index, None, Qt.ItemDataRole.CheckStateRole)

    def _paint_ground(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        is_ticked = index.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
        is_selected = bool(option.state & QStyle.StateFlag.State_Selected)
        row = option.rect
        if is_selected or is_ticked:
            painter.fillRect(row, color(Tone.ACCENT_SOFT))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(row, color(Tone.WINDOW))
        if is_selected:
            painter.fillRect(row.left(), row.top(), 3, row.height(), color(Tone.ACCENT))

    def _paint_tick(self, painter: QPainter, row: QRect, index: Index) -> None:
        hit = self.tick_rect(row)
        side = 22 if self._has_tick_column else 15
        box = QRectF(0, 0, side, side)
        box.moveCenter(QRectF(hit).center())
        is_ticked = index.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(color(Tone.ACCENT if is_ticked else Tone.BORDER), 1))
        painter.setBrush(color(Tone.ACCENT) if is_ticked else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box.adjusted(0.5, 0.5, -0.5, -0.5), 3, 3)
        if is_ticked:
            paint_icon(painter, box, "confirm", color(Tone.ON_ACCENT))


def margin_width(metrics: QFontMetrics) -> int:
    """Return how wide the date's margin is."""
    return max(metrics.horizontalAdvance("00 MMM"), 44)


def _small(font: QFont) -> QFont:
    small = QFont(font)
    small.setPointSizeF(max(7.0, font.pointSizeF() * 0.86))
    return small


def _paint_margin(
    painter: QPainter, margin: QRect, entry: LogbookEntry, *, starts_day: bool
) -> None:
    painter.setPen(QPen(color(Tone.HAIRLINE), 1))
    right = margin.right()
    painter.drawLine(right, margin.top(), right, margin.bottom())
    painter.drawLine(right - 2, margin.top(), right - 2, margin.bottom())
    own = painter.font()
    line = QFontMetrics(own).height()
    top = margin.top() + GAP - 3
    if starts_day:
        painter.drawLine(margin.left(), margin.top(), margin.right() + 4000, margin.top())
    if entry.at is None:
        _write(painter, QRect(margin.left(), top, right - 4, line), "–", Tone.QUIET)
        return
    local, words = local_time(entry.at), QLocale()
    if starts_day:
        large = QFont(own)
        large.setPointSizeF(own.pointSizeF() * 1.35)
        large.setWeight(QFont.Weight.DemiBold)
        day_height = QFontMetrics(large).height()
        painter.setFont(large)
        _write(
            painter,
            QRect(margin.left(), top - 1, margin.width() - 3, day_height),
            str(local.date().day()),
        )
        top += day_height - 2
        painter.setFont(_small(own))
        month = words.toString(local.date(), "MMM yy")
        _write(painter, QRect(margin.left(), top, margin.width() - 3, line), month, Tone.QUIET)
        top += line - 1
    painter.setFont(_small(own))
    clock = words.toString(local.time(), "HH:mm")
    _write(painter, QRect(margin.left(), top, margin.width() - 3, line), clock, Tone.QUIET)
    painter.setFont(own)


def _write(painter: QPainter, rect: QRect, text: str, tone: Tone = Tone.TEXT) -> None:
    painter.setPen(color(tone))
    painter.drawText(rect, _CENTRE, text)


def _paint_lines(painter: QPainter, rect: QRect, entry: LogbookEntry) -> None:
    own = QFont(painter.font())
    line = QFontMetrics(own).height()
    side = line - 1
    small = _small(own)
    paint_icon(
        painter,
        QRectF(rect.left(), rect.top(), side, side),
        KIND_ICONS[entry.kind],
        color(Tone.QUIET),
    )
    left = rect.left() + side + GAP_S
    small.setCapitalization(QFont.Capitalization.AllUppercase)
    small.setLetterSpacing(QFont.SpacingType.PercentageSpacing, 106)
    painter.setFont(small)
    painter.setPen(color(Tone.QUIET))
    kind = word(entry.kind)
    painter.drawText(QRect(left, rect.top(), rect.width() - side, line), _LEFT, kind)
    if entry.needs_attention:
        after = left + QFontMetrics(small).horizontalAdvance(kind.upper()) + GAP
        paint_icon(
            painter, QRectF(after, rect.top(), side, side), "attention", color(Tone.ATTENTION)
        )
    room = rect.width()
    if entry.grade is not None:
        badge = badge_size(line)
        room -= badge.width() + GAP_S
        top = rect.top() + 2 * line - badge.height() / 2
        place = QRectF(rect.right() - badge.width(), top, badge.width(), badge.height())
        paint_grade(painter, place, entry.grade)
    _paint_title(painter, QRect(rect.left(), rect.top() + line, room, line), entry.title, own)
    painter.setFont(own)
    painter.setPen(color(Tone.QUIET))
    detail = QRect(rect.left(), rect.top() + 2 * line, room, line)
    painter.drawText(detail, _LEFT, _elided(own, entry.detail, room))


def _paint_title(painter: QPainter, rect: QRect, title: str, own: QFont) -> None:
    bold = QFont(own)
    bold.setWeight(QFont.Weight.DemiBold)
    painter.setFont(bold)
    painter.setPen(color(Tone.TEXT))
    painter.drawText(rect, _LEFT, _elided(bold, title, rect.width()))


def _elided(font: QFont, text: str, width: int) -> str:
    return QFontMetrics(font).elidedText(text, Qt.TextElideMode.ElideRight, width)
