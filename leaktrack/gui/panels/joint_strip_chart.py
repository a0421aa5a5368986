"""The drawn joint strip: bolts along the top, one row per inspection, seals as breaks."""

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from leaktrack.gui.look.theme import GAP
from leaktrack.gui.panels.joint_strip_layout import (
    StripScale,
    newest_first,
    next_mark_station,
    place_words,
    row_name,
)
from leaktrack.gui.panels.joint_strip_painting import StripPainter
from leaktrack.model.joint_strip import JointStrip, StripRow

_MARGIN_RIGHT = 18
_FINE_STEP = 0.1


class JointStripChart(QWidget):
    """The chart of one joint, with a cursor that mouse and keyboard move alike."""

    place_pointed_at = Signal(str)
    """What lies at the cursor or below the mouse, in words."""
    place_chosen = Signal(object, float)
    """A row (StripRow) and a station on it were clicked or entered."""

    def __init__(self, target_px: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._target_px = target_px
        self._strip: JointStrip | None = None
        self._rows: tuple[StripRow, ...] = ()
        self._row = 0
        self._station = 0.0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)
        self.setAccessibleName(self.tr("Joint strip"))

    @property
    def cursor_place(self) -> tuple[StripRow, float] | None:
        """Row and station of the cursor; None on an empty chart."""
        return (self._rows[self._row], self._station) if self._rows else None

    @property
    def slack(self) -> float:
        """How far beside a mark still means that mark, in bolt coordinates."""
        scale = self.scale()
        return self._target_px / 2 / max(scale.width_px, 1) * (scale.last - scale.first)

    def set_strip(self, strip: JointStrip | None) -> None:
        """Show another joint, or the same one with newer rows."""
        is_same = (
            strip is not None and self._strip is not None and strip.joint.id == self._strip.joint.id
        )
        self._strip = strip
        self._rows = newest_first(strip) if strip is not None else ()
        if not is_same:
            self._row, self._station = 0, strip.first if strip is not None else 0.0
        self._row = min(self._row, max(len(self._rows) - 1, 0))
        self.place_pointed_at.emit(self._cursor_words())
        self.setMinimumHeight(self.sizeHint().height())
        self.updateGeometry()
        self.update()

    def scale(self) -> StripScale:
        """Return how stations lie along the chart at its present width."""
        left = self._label_width() + 2 * GAP
        width = max(self.width() - left - _MARGIN_RIGHT, 1)
        if self._strip is None:
            return StripScale(0.0, 1.0, left, width)
        return StripScale(self._strip.first, self._strip.last, left, width)

    def row_rect(self, row: int) -> QRect:
        """Return where a row lies, across the whole chart."""
        height = self._row_height()
        return QRect(0, self._axis_height() + row * height, self.width(), height)

    def sizeHint(self) -> QSize:
        """Return room for the bolts and every row."""
        return QSize(480, self._axis_height() + max(len(self._rows), 1) * self._row_height() + 4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the chart."""
        if self._strip is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        drawing = StripPainter(painter, self._strip, self.scale(), self._label_width())
        area = QRectF(0, 0, self.width(), self.height())
        drawing.paint_axis(area, self._axis_height())
        for row, each in enumerate(self._rows):
            drawing.paint_row(QRectF(self.row_rect(row)), each)
        if self._rows:
            cursor = QRectF(self.row_rect(self._row))
            drawing.paint_cursor(cursor, self._station, has_focus=self.hasFocus())
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the cursor: along the joint, between rows, from mark to mark; Enter chooses."""
        if not self._rows or self._strip is None:
            super().keyPressEvent(event)
            return
        key, held = event.key(), event.modifiers()
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._move_along(1 if key == Qt.Key.Key_Right else -1, held)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._move_to(self._row + (1 if key == Qt.Key.Key_Down else -1), self._station)
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            is_home = key == Qt.Key.Key_Home
            self._move_to(self._row, self._strip.first if is_home else self._strip.last)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.place_chosen.emit(self._rows[self._row], self._station)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Move the cursor to the mouse and choose what is there."""
        if (place := self._place_below(event)) is not None:
            self._move_to(*place)
            self.place_chosen.emit(self._rows[self._row], self._station)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read out what lies below the mouse."""
        place = self._place_below(event)
        words = "" if place is None else self._words(*place)
        self.place_pointed_at.emit(words or self._cursor_words())
        QToolTip.showText(event.globalPosition().toPoint(), words, self)

    def leaveEvent(self, event: QEvent) -> None:
        """Read out the cursor again."""
        self.place_pointed_at.emit(self._cursor_words())
        super().leaveEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw everything anew: the scale has changed."""
        super().resizeEvent(event)
        self.update()

    def _move_along(self, direction: int, held: Qt.KeyboardModifier) -> None:
        if held & Qt.KeyboardModifier.ControlModifier:
            marks = self._rows[self._row].marks
            station = next_mark_station(marks, self._station, direction)
            self._move_to(self._row, self._station if station is None else station)
            return
        step = 1.0 if held & Qt.KeyboardModifier.ShiftModifier else self._fine_step()
        self._move_to(self._row, self._station + direction * step)

    def _fine_step(self) -> float:
        has_bolts = self._strip is not None and bool(self._strip.bolts)
        return _FINE_STEP if has_bolts else _FINE_STEP / 10

    def _move_to(self, row: int, station: float) -> None:
        if self._strip is None:
            return
        self._row = min(max(row, 0), len(self._rows) - 1)
        self._station = min(max(station, self._strip.first), self._strip.last)
        words = self._cursor_words()
        # Screen readers follow the description: the cursor has no widget of its own.
        self.setAccessibleDescription(words)
        self.place_pointed_at.emit(words)
        self.update()

    def _place_below(self, event: QMouseEvent) -> tuple[int, float] | None:
        at = event.position()
        row = int((at.y() - self._axis_height()) // self._row_height())
        if not 0 <= row < len(self._rows):
            return None
        return row, self.scale().station(at.x())

    def _cursor_words(self) -> str:
        return self._words(self._row, self._station) if self._rows else ""

    def _words(self, row: int, station: float) -> str:
        if self._strip is None:
            return ""
        return place_words(self._strip, self._rows[row], station, self.slack)

    def _row_height(self) -> int:
        return max(self.fontMetrics().height() + 6, self._target_px - 2)

    def _axis_height(self) -> int:
        return self.fontMetrics().height() + 12

    def _label_width(self) -> int:
        metrics = self.fontMetrics()
        widest = max((metrics.horizontalAdvance(row_name(row)) for row in self._rows), default=60)
        return min(widest + GAP, self.width() // 4)
