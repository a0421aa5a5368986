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
from leaktrack.gui.plan.schedule_layout import Lane, TimeScale, lanes
from leaktrack.gui.plan.schedule_painting import (
    lane_name,
    paint_axis,
    paint_bar,
    paint_ready,
    paint_ring,
)
from leaktrack.gui.plan.schedule_words import slot_words
from leaktrack.model.redo_problem import Schedule, Slot

_LANE_LINES = 1.7
_ZOOM_STEP = 1.5
_LARGEST_ZOOM = 64.0
_WIDEST_NAMES = 0.3
_TAIL_PX = 24.0  # behind the end, for the line that says when the engine is ready


class ScheduleChart(QAbstractScrollArea):
    """Zoomed with Ctrl and the wheel or plus and minus; arrow keys go from bar to bar."""

    slot_taken = Signal(object)
    """This Slot is in hand now; None for none."""

    def __init__(self) -> None:
        super().__init__()
        self._schedule: Schedule | None = None
        self._lanes: tuple[Lane, ...] = ()
        self._names: Mapping[str, str] = {}
        self._zoom = 1.0
        self._taken: Slot | None = None
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
    def taken(self) -> Slot | None:
        """The bar in hand."""
        return self._taken

    @property
    def zoom(self) -> float:
        """How much wider than the chart all of it is."""
        return self._zoom

    def show_schedule(
        self, schedule: Schedule | None, workers: int, names: Mapping[str, str]
    ) -> None:
        """Show a schedule; the bar in hand stays in hand if it is there still.

        Args:
            schedule: What to show; None for nothing.
            workers: How many people there are.
            names: Of tasks and steps, by their id.
        """
        self._schedule, self._names = schedule, names
        self._lanes = lanes(schedule, workers) if schedule is not None else ()
        taken = self._taken
        same = [
            slot
            for lane in self._lanes
            for slot in lane.slots
            if taken is not None and (slot.id, slot.kind) == (taken.id, taken.kind)
        ]
        self.take(same[0] if same else None)
        self._fit()
        self.viewport().update()

    def take(self, slot: Slot | None) -> None:
        """Take a bar in hand, and bring it into view."""
        self._taken = slot
        self.setAccessibleDescription(self.words_of(slot) if slot is not None else "")
        if slot is not None:
            self._reveal(slot)
        self.viewport().update()
        self.slot_taken.emit(slot)

    def words_of(self, slot: Slot) -> str:
        """Return what a bar says."""
        return slot_words(slot, self._names)

    def zoom_by(self, factor: float, x: float | None = None) -> None:
        """Make hours wider or narrower; what lies at x, or in the middle, stays there."""
        before = self._scale()
        at = self._area().center().x() if x is None else x
        hours = before.hours(at)
        self._zoom = min(max(self._zoom * factor, 1.0), _LARGEST_ZOOM)
        self._fit()
        bar = self.horizontalScrollBar()
        bar.setValue(round(bar.value() + self._scale().x(hours) - at))
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

    def bar_at(self, point: QPointF) -> Slot | None:
        """Return the bar that lies at a place of the viewport."""
        for row, lane in enumerate(self._lanes):
            for slot in lane.slots:
                if self.bar_of(row, slot).contains(point):
                    return slot
        return None

    def bar_of(self, row: int, slot: Slot) -> QRectF:
        """Return where a bar lies in the viewport."""
        scale, line = self._scale(), self.fontMetrics().height()
        top = line + GAP_S + row * _LANE_LINES * line
        left = scale.x(slot.start_h)
        width = max(scale.x(slot.end_h) - left, 2.0)
        return QRectF(left, top + 2, width, _LANE_LINES * line - 4)

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
        slot = self._neighbour(key)
        if slot is not None:
            self.take(slot)
        elif key not in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the chart."""
        del event
        if self._schedule is None:
            return
        painter = QPainter(self.viewport())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        area, scale = self._area(), self._scale()
        painter.setClipRect(area.adjusted(-2, 0, 2, 0))
        paint_axis(painter, area, scale, self._schedule.ready_h)
        paint_ready(painter, area, scale.x(self._schedule.ready_h))
        for row, lane in enumerate(self._lanes):
            for slot in lane.slots:
                bar = self.bar_of(row, slot)
                if bar.right() >= area.left() and bar.left() <= area.right():
                    paint_bar(painter, bar, slot.kind, self._names.get(slot.id, slot.id))
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

    def _neighbour(self, key: Qt.Key) -> Slot | None:
        """Return the bar that a key leads to."""
        every = [(row, slot) for row, lane in enumerate(self._lanes) for slot in lane.slots]
        if not every:
            return None
        here = next((one for one in every if one[1] == self._taken), None)
        if here is None or key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            order = sorted(every, key=lambda one: (one[1].start_h, one[0]))
            moves = (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down)
            if key in (*moves, Qt.Key.Key_Home):
                return order[0][1]
            return order[-1][1] if key is Qt.Key.Key_End else None
        row, slot = here
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            own = self._lanes[row].slots
            place = own.index(slot) + (1 if key is Qt.Key.Key_Right else -1)
            return own[place] if 0 <= place < len(own) else None
        rows = (
            range(row + 1, len(self._lanes)) if key is Qt.Key.Key_Down else range(row - 1, -1, -1)
        )
        if key not in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            return None
        middle = (slot.start_h + slot.end_h) / 2
        other = next((each for each in rows if self._lanes[each].slots), None)
        if other is None:
            return None
        return min(
            self._lanes[other].slots, key=lambda one: abs(one.start_h + one.end_h - 2 * middle)
        )

    def _reveal(self, slot: Slot) -> None:
        area, scale, bar = self._area(), self._scale(), self.horizontalScrollBar()
        left, right = scale.x(slot.start_h), scale.x(slot.end_h)
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

    def _scale(self) -> TimeScale:
        area = self._area()
        hours = max(self._schedule.ready_h if self._schedule is not None else 0.0, 1e-6)
        width = max(area.width() - _TAIL_PX, 1.0)
        return TimeScale(
            area.left() - self.horizontalScrollBar().value(), width * self._zoom / hours
        )
