"""The schedule as bars: who does what when, and what cures by itself meanwhile."""

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QSizePolicy, QToolTip

from leaktrack.gui.look.theme import GAP, GAP_S, RING_PX, Tone, color
from leaktrack.gui.plan.schedule_keys import neighbour
from leaktrack.gui.plan.schedule_layout import Clock, Lane, TimeScale, lanes
from leaktrack.gui.plan.schedule_painting import (
    lane_name,
    paint_axis,
    paint_bar,
    paint_ready,
    paint_ring,
)
from leaktrack.gui.plan.schedule_words import slot_words
from leaktrack.model.work_sheet import CLOCK_H, DatedSlot, WorkSheet

_LANE_LINES = 1.7
_ZOOM_STEP = 1.5
_LARGEST_ZOOM = 64.0
_WIDEST_NAMES = 0.3
_TAIL_PX = 24.0  # behind the end, for the line that says when the engine is ready


class ScheduleChart(QAbstractScrollArea):
    """Zoomed with Ctrl and the wheel or plus and minus; arrow keys go from bar to bar."""

    slot_taken = Signal(object)
    """This DatedSlot is in hand now; None for none."""

    def __init__(self) -> None:
        super().__init__()
        self._sheet: WorkSheet | None = None
        self._lanes: tuple[Lane, ...] = ()
        self._names: Mapping[str, str] = {}
        self._zoom = 1.0
        self._taken: DatedSlot | None = None
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.viewport().setMouseTracking(True)
        self.viewport().setAutoFillBackground(False)
        self.setAccessibleName(self.tr("Schedule"))

    @property
    def lanes(self) -> tuple[Lane, ...]:
        """The lanes shown."""
        return self._lanes

    @property
    def taken(self) -> DatedSlot | None:
        """The bar in hand."""
        return self._taken

    @property
    def zoom(self) -> float:
        """How much wider than the chart all of it is."""
        return self._zoom

    def show_sheet(self, sheet: WorkSheet | None, workers: int, names: Mapping[str, str]) -> None:
        """Show who does what when; the bar in hand stays in hand if it is there still.

        Args:
            sheet: What to show; None for nothing.
            workers: How many people there are.
            names: Of tasks and steps, by their id.
        """
        self._sheet, self._names = sheet, names
        self._lanes = lanes(sheet.slots, workers) if sheet is not None else ()
        taken = self._taken
        same = [
            one
            for lane in self._lanes
            for one in lane.slots
            if taken is not None
            and (one.slot.id, one.slot.kind) == (taken.slot.id, taken.slot.kind)
        ]
        self.take(same[0] if same else None)
        self._fit()
        self.viewport().update()

    def take(self, slot: DatedSlot | None) -> None:
        """Take a bar in hand, and bring it into view."""
        self._taken = slot
        self.setAccessibleDescription(self.words_of(slot) if slot is not None else "")
        if slot is not None:
            self._reveal(slot)
        self.viewport().update()
        self.slot_taken.emit(slot)

    def words_of(self, slot: DatedSlot) -> str:
        """Return what a bar says."""
        return slot_words(slot, self._names, self._clock.day_hours)

    def zoom_by(self, factor: float, x: float | None = None) -> None:
        """Make hours wider or narrower; what lies at x, or in the middle, stays there."""
        at = self._area().center().x() if x is None else x
        bar = self.horizontalScrollBar()
        along = (at - self._area().left() + bar.value()) / self._zoom
        self._zoom = min(max(self._zoom * factor, 1.0), _LARGEST_ZOOM)
        self._fit()
        bar.setValue(round(along * self._zoom - (at - self._area().left())))
        self.viewport().update()

    def zoom_in(self) -> None:
        """Make hours wider."""
        self.zoom_by(_ZOOM_STEP)

    def zoom_out(self) -> None:
        """Make hours narrower."""
        self.zoom_by(1 / _ZOOM_STEP)

    def show_all(self) -> None:
        """Show all of it at once."""
        self.zoom_by(1 / self._zoom)

    def bar_at(self, point: QPointF) -> DatedSlot | None:
        """Return the bar that lies at a place of the viewport."""
        for row, lane in enumerate(self._lanes):
            for slot in lane.slots:
                if any(bar.contains(point) for bar in self.bars_of(row, slot)):
                    return slot
        return None

    def bars_of(self, row: int, slot: DatedSlot) -> list[QRectF]:
        """Return where a piece of work lies in the viewport: a bar for each day."""
        scale, line = self._scale(), self.fontMetrics().height()
        top = line + GAP_S + row * _LANE_LINES * line
        height = _LANE_LINES * line - 4
        edges = [(scale.x(begin), scale.x(end)) for begin, end in slot.spans if end > begin]
        return [QRectF(left, top + 2, max(right - left, 2.0), height) for left, right in edges]

    def sizeHint(self) -> QSize:
        """Return room for all lanes."""
        line = self.fontMetrics().height()
        bar = self.horizontalScrollBar().sizeHint().height()
        height = line + 2 * GAP_S + max(len(self._lanes), 1) * _LANE_LINES * line + bar
        return QSize(420, round(height) + 2 * self.frameWidth())

    def minimumSizeHint(self) -> QSize:
        """Return the same height, and the least width that still tells bars apart."""
        return QSize(240, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the room there is."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom with Ctrl, scroll along with Shift; a plain wheel is the page's."""
        turn = event.angleDelta().y() or event.angleDelta().x()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(_ZOOM_STEP ** (turn / 120), event.position().x())
        elif event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            bar = self.horizontalScrollBar()
            bar.setValue(bar.value() - turn)
        else:
            event.ignore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the bar below the mouse in hand."""
        if event.button() is Qt.MouseButton.LeftButton:
            self.take(self.bar_at(event.position()))

    def viewportEvent(self, event: QEvent) -> bool:
        """Say what is below the mouse."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            slot = self.bar_at(QPointF(event.pos()))
            text = self.words_of(slot) if slot is not None else ""
            QToolTip.showText(event.globalPos(), text, self.viewport())
            return True
        return super().viewportEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from bar to bar with the arrow keys, Home and End; zoom with plus and minus."""
        key = Qt.Key(event.key())
        zooms = {
            Qt.Key.Key_Plus: self.zoom_in,
            Qt.Key.Key_Minus: self.zoom_out,
            Qt.Key.Key_0: self.show_all,
        }
        if key in zooms:
            zooms[key]()
            return
        slot = neighbour(self._lanes, self._taken, key)
        if slot is not None:
            self.take(slot)
        elif key not in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the chart."""
        del event
        if self._sheet is None:
            return
        painter = QPainter(self.viewport())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        area, scale = self._area(), self._scale()
        painter.setClipRect(area.adjusted(-2, 0, 2, 0))
        paint_axis(painter, area, scale, self._sheet.ready_h)
        paint_ready(painter, area, scale.x(self._sheet.ready_h))
        for row, lane in enumerate(self._lanes):
            for slot in lane.slots:
                for bar in self.bars_of(row, slot):
                    if bar.right() >= area.left() and bar.left() <= area.right():
                        name = self._names.get(slot.slot.id, slot.slot.id)
                        paint_bar(painter, bar, slot.slot.kind, name)
                        if slot == self._taken:
                            paint_ring(painter, bar)
        painter.setClipping(False)
        self._paint_names(painter)
        if self.hasFocus():
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1, 1, -1, -1))

    def _paint_names(self, painter: QPainter) -> None:
        line = self.fontMetrics().height()
        width = self._area().left() - 2 * GAP
        painter.setPen(color(Tone.QUIET))
        for row, lane in enumerate(self._lanes):
            if row and lane.worker is None and self._lanes[row - 1].worker is None:
                continue
            top = line + GAP_S + row * _LANE_LINES * line
            text = self.fontMetrics().elidedText(
                lane_name(lane), Qt.TextElideMode.ElideRight, int(width)
            )
            box = QRectF(GAP_S, top, width, _LANE_LINES * line)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)

    def _reveal(self, slot: DatedSlot) -> None:
        area, scale, bar = self._area(), self._scale(), self.horizontalScrollBar()
        left, right = scale.x(slot.begin_h), scale.x(slot.end_h)
        if left < area.left() or right - left > area.width():
            bar.setValue(round(bar.value() + left - area.left()))
        elif right > area.right():
            bar.setValue(round(bar.value() + right - area.right()))

    def _fit(self) -> None:
        self.updateGeometry()
        area = self._area()
        bar = self.horizontalScrollBar()
        bar.setPageStep(max(1, round(area.width())))
        bar.setSingleStep(max(1, round(area.width() / 10)))
        bar.setRange(0, round(area.width() * (self._zoom - 1)))

    def _area(self) -> QRectF:
        """Return where the bars lie, beside the names of the lanes."""
        room = QRectF(self.viewport().rect())
        metrics = self.fontMetrics()
        widest = max(
            (metrics.horizontalAdvance(lane_name(lane)) for lane in self._lanes), default=0
        )
        names = min(widest + 3 * GAP, room.width() * _WIDEST_NAMES)
        return room.adjusted(names, 0, -GAP_S, 0)

    @property
    def _clock(self) -> Clock:
        return Clock(self._sheet.day_hours if self._sheet is not None else CLOCK_H)

    def _scale(self) -> TimeScale:
        area, clock = self._area(), self._clock
        length = clock.place(self._sheet.ready_h) if self._sheet is not None else 0.0
        width = max(area.width() - _TAIL_PX, 1.0)
        left = area.left() - self.horizontalScrollBar().value()
        return TimeScale(clock, left, width * self._zoom / max(length, 1e-6))
