"""The timeline below a player: a ruler, where the player stands, and rows of spans."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QBrush, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QSlider

from leaktrack.gui.footage.timeline_rows import (
    RowKind,
    Stretch,
    TimelineRow,
    stretches,
    tick_step,
)
from leaktrack.gui.look.theme import GAP, GAP_S, RING_PX, Tone, color
from leaktrack.model.chance import percent_words
from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.workflows.clips import time_code

_WIDEST_NAME = 0.28
_LEAST_SPAN_PX = 4.0
_HEAD_PX = 5.0
_STEP_MS, _PAGE_MS = 40, 1000


class Timeline(QSlider):
    """A slider over a sequence of clips, in milliseconds. The hand leads, the picture follows."""

    hovered = Signal(int, int)
    """The mouse is over this time, at this x."""
    left = Signal()
    """The mouse is no more over any time."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._sequence = FootageSequence()
        self._rows: tuple[TimelineRow, ...] = ()
        self.setSingleStep(_STEP_MS)
        self.setPageStep(_PAGE_MS)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Place in the footage"))

    @property
    def rows(self) -> tuple[TimelineRow, ...]:
        """The rows shown."""
        return self._rows

    @property
    def sequence(self) -> FootageSequence:
        """What the ruler runs over."""
        return self._sequence

    def show_sequence(self, sequence: FootageSequence) -> None:
        """Let the ruler run over these clips."""
        self._sequence = sequence
        self.setMaximum(sequence.duration_ms)
        self.update()

    def show_rows(self, rows: Sequence[TimelineRow]) -> None:
        """Show these rows of spans; those without a span in the sequence are left out."""
        self._rows = tuple(row for row in rows if stretches(row, self._sequence))
        self.setAccessibleDescription(". ".join(self._row_words(row) for row in self._rows))
        self._fit()
        self.update()

    def x_of(self, ms: int) -> float:
        """Return where a time lies."""
        room = self._room()
        return room.left() + room.width() * ms / max(1, self.maximum())

    def ms_at(self, x: float) -> int:
        """Return the time at x, kept within the sequence."""
        room = self._room()
        share = (x - room.left()) / max(1.0, room.width())
        return round(self.maximum() * min(1.0, max(0.0, share)))

    def sizeHint(self) -> QSize:
        """Return room for the ruler and all rows."""
        return QSize(360, round(self._ruler_px() + len(self._rows) * self._row_px()) + GAP_S)

    def minimumSizeHint(self) -> QSize:
        """Return the same height, and the least width that still tells places apart."""
        return QSize(200, self.sizeHint().height())

    def changeEvent(self, event: QEvent) -> None:
        """Make room for larger text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        """Make room for all rows."""
        super().showEvent(event)
        self._fit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go to the place below the mouse, and take the playhead in hand."""
        if event.button() is Qt.MouseButton.LeftButton and self.isEnabled():
            self.setSliderDown(True)
            self.setValue(self.ms_at(event.position().x()))
            event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the playhead in hand; tell what the mouse is over."""
        x = event.position().x()
        if self.isSliderDown():
            self.setValue(self.ms_at(x))
        if self._room().left() <= x <= self._room().right() and self.maximum() > 0:
            self.hovered.emit(self.ms_at(x), round(x))
        else:
            self.left.emit()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the playhead go."""
        if event.button() is Qt.MouseButton.LeftButton and self.isSliderDown():
            self.setSliderDown(False)

    def leaveEvent(self, event: QEvent) -> None:
        """Tell that the mouse is gone."""
        self.left.emit()
        super().leaveEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ruler, rows and playhead."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.maximum() > 0:
            self._paint_ruler(painter)
            for place, row in enumerate(self._rows):
                self._paint_row(painter, self._row_rect(place), row)
            self._paint_head(painter)
        if self.hasFocus():
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def _fit(self) -> None:
        # The style sheet gives every slider the least height of one without rows.
        self.setFixedHeight(self.sizeHint().height())

    def _room(self) -> QRectF:
        names = [self.fontMetrics().horizontalAdvance(row.name) for row in self._rows]
        name_px = min(max(names, default=0) + GAP, self.width() * _WIDEST_NAME) if names else 0.0
        left = GAP + name_px
        return QRectF(left, 0, max(1.0, self.width() - left - GAP), self.height())

    def _ruler_px(self) -> float:
        return self.fontMetrics().height() + 2.0 * _HEAD_PX + GAP_S

    def _row_px(self) -> float:
        return self.fontMetrics().height() + GAP_S

    def _row_rect(self, place: int) -> QRectF:
        room = self._room()
        top = self._ruler_px() + place * self._row_px()
        return QRectF(room.left(), top, room.width(), self._row_px())

    def _paint_ruler(self, painter: QPainter) -> None:
        room, metrics = self._room(), self.fontMetrics()
        groove = QRectF(room.left(), self._ruler_px() - 2 * _HEAD_PX, room.width(), _HEAD_PX)
        painter.fillRect(groove, color(Tone.HAIRLINE))
        step = tick_step(self.maximum(), room.width(), metrics.horizontalAdvance("0:00:00"))
        painter.setPen(color(Tone.QUIET))
        for ms in range(0, self.maximum() + 1, step):
            x, text = self.x_of(ms), time_code(ms)[:-4]
            width = metrics.horizontalAdvance(text)
            at_x = min(max(x - width / 2, room.left()), room.right() - width)
            painter.drawLine(QPointF(x, groove.top() - 2), QPointF(x, groove.bottom()))
            painter.drawText(QPointF(at_x, metrics.ascent() + 1), text)
        painter.setPen(QPen(color(Tone.TEXT), 1.5))
        for start_ms in self._sequence.starts_ms[1:]:
            x = self.x_of(start_ms)
            painter.drawLine(QPointF(x, groove.top() - 4), QPointF(x, self.height() - GAP_S))

    def _paint_row(self, painter: QPainter, rect: QRectF, row: TimelineRow) -> None:
        metrics = self.fontMetrics()
        name = metrics.elidedText(row.name, Qt.TextElideMode.ElideRight, round(rect.left() - GAP))
        painter.setPen(color(Tone.TEXT))
        painter.drawText(QPointF(GAP_S, rect.top() + metrics.ascent() + 2), name)
        painter.setPen(QPen(color(Tone.HAIRLINE), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        for each in stretches(row, self._sequence):
            left = self.x_of(each.start_ms)
            width = max(_LEAST_SPAN_PX, self.x_of(each.end_ms) - left)
            block = QRectF(left, rect.top() + 2, width, rect.height() - 5)
            self._paint_block(painter, block, row.kind, each)

    def _paint_block(
        self, painter: QPainter, block: QRectF, kind: RowKind, stretch: Stretch
    ) -> None:
        """Draw a span: found ones full with their chance, kept ones hatched, a marked one open."""
        accent = color(Tone.ACCENT)
        painter.setPen(QPen(accent, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if kind is RowKind.EVIDENCE:
            painter.fillRect(block, color(Tone.ACCENT_SOFT))
            painter.setBrush(QBrush(accent, Qt.BrushStyle.BDiagPattern))
            painter.drawRect(block)
        elif kind is RowKind.FOUND:
            painter.setBrush(accent)
            painter.drawRect(block)
            self._paint_chance(painter, block, stretch.chance)
        else:
            for x in (block.left(), block.right()):
                painter.drawLine(QPointF(x, block.top()), QPointF(x, block.bottom()))
            middle = block.center().y()
            painter.drawLine(QPointF(block.left(), middle), QPointF(block.right(), middle))

    def _paint_chance(self, painter: QPainter, block: QRectF, chance: float | None) -> None:
        if chance is None:
            return
        text = percent_words(chance)
        width = self.fontMetrics().horizontalAdvance(text) + GAP_S
        painter.setPen(color(Tone.ON_ACCENT))
        if width > block.width():  # beside the block then, on the window's own ground
            painter.setPen(color(Tone.TEXT))
            has_room = block.right() + width <= self.width()
            left = block.right() + GAP_S if has_room else block.left() - width
            block = QRectF(left, block.top(), width, block.height())
        painter.drawText(block, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_head(self, painter: QPainter) -> None:
        x = self.x_of(self.value())
        top = self._ruler_px() - 2 * _HEAD_PX
        painter.setPen(QPen(color(Tone.TEXT), 1.5))
        painter.drawLine(QPointF(x, top), QPointF(x, self.height() - GAP_S))
        painter.setBrush(color(Tone.TEXT))
        corners = (
            QPointF(x - _HEAD_PX, top - 1),
            QPointF(x + _HEAD_PX, top - 1),
            QPointF(x, top + _HEAD_PX + 1),
        )
        painter.drawPolygon(QPolygonF(corners))

    def _row_words(self, row: TimelineRow) -> str:
        told = []
        for each in stretches(row, self._sequence):
            chance = "" if each.chance is None else f", {percent_words(each.chance)}"
            told.append(f"{time_code(each.start_ms)} to {time_code(each.end_ms)}{chance}")
        return f"{row.name}: " + "; ".join(told)
