"""A bead's width along its joint, with what is allowed, its defects and what was not seen."""

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from leaktrack.gui.look.theme import GAP, GAP_S, RING_PX, Tone, color
from leaktrack.model.bead_audit import BeadAudit, BeadDefect, BeadDefectKind
from leaktrack.model.units import rough
from leaktrack.model.words import station_words, word

_HEIGHT_EM = 9.0
_TICKS = 5
_HATCH_PX = 6
_KEY_STEP = 1 / 60  # of the path


class BeadChart(QWidget):
    """Widths from the start of the path to its end; hover, arrow keys and clicks tell a place."""

    place_chosen = Signal(float)
    """Show this place along the path, in the audit's unit."""

    def __init__(self) -> None:
        super().__init__()
        self._audit: BeadAudit | None = None
        self._top_width = 1.0
        self._cursor: float | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Width of the bead along the joint"))

    def show_audit(self, audit: BeadAudit | None) -> None:
        """Show another bead."""
        self._audit = audit if audit is not None and audit.points else None
        self._top_width = _top_width(self._audit) if self._audit is not None else 1.0
        self._cursor = None
        self.setVisible(self._audit is not None)
        self.update()

    @property
    def cursor_place(self) -> float | None:
        """The place in hand, along the path."""
        return self._cursor

    def take(self, along: float) -> None:
        """Take a place in hand, and say what is there."""
        if self._audit is None:
            return
        first, last = self._span()
        self._cursor = min(max(along, first), last)
        self.setAccessibleDescription(self.words_at(self._cursor))
        self.place_chosen.emit(self._cursor)
        self.update()

    def words_at(self, along: float) -> str:
        """Return what was measured at a place."""
        audit = self._audit
        if audit is None:
            return ""
        point = min(audit.points, key=lambda each: abs(each.along - along))
        parts = [rough(along, audit.unit)]
        if point.station is not None:
            parts.append(station_words(point.station))
        parts += [
            self.tr("not read: %s") % each.reason
            for each in audit.unread
            if each.start <= along <= each.end
        ]
        if point.is_read:
            parts.append(self.tr("%s wide") % rough(point.width, audit.unit, 1))
        parts += [word(each.kind) for each in audit.defects if each.start <= along <= each.end]
        return ", ".join(parts)

    def sizeHint(self) -> QSize:
        """Return a height that grows with the text."""
        return QSize(360, round(_HEIGHT_EM * self.fontMetrics().height()))

    def minimumSizeHint(self) -> QSize:
        """Return what is still legible."""
        return QSize(180, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the chart."""
        del event
        audit = self._audit
        if audit is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = self._area()
        painter.fillRect(area, color(Tone.BASE))
        self._paint_allowed(painter, audit, area)
        for stretch in audit.unread:
            self._paint_unread(painter, stretch.start, stretch.end, area)
        self._paint_axes(painter, audit, area)
        self._paint_widths(painter, audit, area)
        for defect in audit.defects:
            self._paint_defect(painter, defect, area)
        if self._cursor is not None:
            x = self._x(self._cursor, area)
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX))
            painter.drawLine(QLineF(x, area.top(), x, area.bottom()))
        if self.hasFocus():
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Say what is under the pointer."""
        if self._audit is not None:
            words = self.words_at(self._along(event.position().x()))
            QToolTip.showText(event.globalPosition().toPoint(), words, self)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the place under the pointer in hand."""
        if self._audit is not None and event.button() is Qt.MouseButton.LeftButton:
            self.take(self._along(event.position().x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk along the bead with the arrow keys, Home and End."""
        if self._audit is None:
            super().keyPressEvent(event)
            return
        first, last = self._span()
        here = first if self._cursor is None else self._cursor
        step = (last - first) * _KEY_STEP
        places = {
            Qt.Key.Key_Left: here - step,
            Qt.Key.Key_Right: here + step,
            Qt.Key.Key_Home: first,
            Qt.Key.Key_End: last,
        }
        place = places.get(Qt.Key(event.key()))
        if place is None:
            super().keyPressEvent(event)
        else:
            self.take(place)

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self.updateGeometry()

    def _paint_allowed(self, painter: QPainter, audit: BeadAudit, area: QRectF) -> None:
        if audit.narrowest is None or audit.widest is None:
            return
        top, bottom = self._y(audit.widest, area), self._y(audit.narrowest, area)
        painter.fillRect(QRectF(area.left(), top, area.width(), bottom - top), color(Tone.RAISED))
        painter.setPen(QPen(color(Tone.QUIET), 1, Qt.PenStyle.DashLine))
        for y in (top, bottom):
            painter.drawLine(QLineF(area.left(), y, area.right(), y))

    def _paint_unread(self, painter: QPainter, start: float, end: float, area: QRectF) -> None:
        left, right = self._x(start, area), self._x(end, area)
        band = QRectF(left, area.top(), max(right - left, 2.0), area.height())
        painter.fillRect(band, color(Tone.UNSEEN))
        painter.save()
        painter.setClipRect(band)
        painter.setPen(QPen(color(Tone.BORDER), 1))
        reach = area.height()
        x = band.left() - reach
        while x < band.right():
            painter.drawLine(QLineF(x, band.bottom(), x + reach, band.top()))
            x += _HATCH_PX
        painter.restore()

    def _paint_axes(self, painter: QPainter, audit: BeadAudit, area: QRectF) -> None:
        painter.setPen(QPen(color(Tone.BORDER), 1))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        painter.drawLine(area.topLeft(), area.bottomLeft())
        painter.setPen(color(Tone.TEXT))
        line = self.fontMetrics().height()
        for value in (0.0, audit.narrowest, audit.widest):
            if value is not None:
                y = self._y(value, area)
                box = QRectF(0, y - line / 2, area.left() - GAP_S, line)
                shown = rough(value, audit.unit, 1).rpartition(" ")[0]
                painter.drawText(box, Qt.AlignmentFlag.AlignRight, shown)
        first, last = self._span()
        for index in range(_TICKS):
            along = first + (last - first) * index / (_TICKS - 1)
            x = self._x(along, area)
            painter.drawLine(QLineF(x, area.bottom(), x, area.bottom() + 3))
            width = 2 * self.fontMetrics().horizontalAdvance("bolt 00.0")
            left = min(max(x - width / 2, 0.0), self.width() - width)
            alignment = Qt.AlignmentFlag.AlignHCenter
            if index == 0:
                left, alignment = x, Qt.AlignmentFlag.AlignLeft
            elif index == _TICKS - 1:
                left, alignment = x - width, Qt.AlignmentFlag.AlignRight
            box = QRectF(left, area.bottom() + GAP_S, width, line)
            painter.drawText(box, alignment, self._tick_words(audit, along))

    def _tick_words(self, audit: BeadAudit, along: float) -> str:
        point = min(audit.points, key=lambda each: abs(each.along - along))
        if point.station is not None:
            return station_words(point.station)
        return rough(along, audit.unit)

    def _paint_widths(self, painter: QPainter, audit: BeadAudit, area: QRectF) -> None:
        painter.setPen(QPen(color(Tone.TEXT), 1.6))
        run: list[QPointF] = []
        for point in audit.points:
            if point.is_read:
                run.append(QPointF(self._x(point.along, area), self._y(point.width, area)))
            elif run:
                painter.drawPolyline(QPolygonF(run))
                run = []
        painter.drawPolyline(QPolygonF(run))

    def _paint_defect(self, painter: QPainter, defect: BeadDefect, area: QRectF) -> None:
        left, right = self._x(defect.start, area), self._x(defect.end, area)
        is_gap = defect.kind is BeadDefectKind.GAP
        tone = color(Tone.PROBLEM if is_gap else Tone.ATTENTION)
        painter.setPen(QPen(tone, 2))
        y = area.top() - GAP_S
        painter.drawLine(QLineF(left, y, right, y))
        for x in (left, right):
            painter.drawLine(QLineF(x, y - 3, x, y + 3))
        text = word(defect.kind)
        width = self.fontMetrics().horizontalAdvance(text)
        middle = min(max((left + right) / 2, area.left() + width / 2), area.right() - width / 2)
        line = self.fontMetrics().height()
        painter.setPen(color(Tone.TEXT))
        painter.drawText(
            QRectF(middle - width, y - line - GAP_S, 2 * width, line),
            Qt.AlignmentFlag.AlignHCenter,
            text,
        )

    def _area(self) -> QRectF:
        metrics = self.fontMetrics()
        left = metrics.horizontalAdvance("0.000") + GAP
        top, bottom = metrics.height() + 2 * GAP, metrics.height() + GAP
        return QRectF(left, top, self.width() - left - GAP, self.height() - top - bottom)

    def _span(self) -> tuple[float, float]:
        assert self._audit is not None
        points = self._audit.points
        return points[0].along, max(points[-1].along, points[0].along + 1e-6)

    def _x(self, along: float, area: QRectF) -> float:
        first, last = self._span()
        share = min(max((along - first) / (last - first), 0.0), 1.0)
        return area.left() + share * area.width()

    def _along(self, x: float) -> float:
        area = self._area()
        first, last = self._span()
        return first + min(max((x - area.left()) / area.width(), 0.0), 1.0) * (last - first)

    def _y(self, width: float, area: QRectF) -> float:
        return area.bottom() - min(width / self._top_width, 1.0) * area.height()


def _top_width(audit: BeadAudit) -> float:
    """Return the width at the top of the chart, in the audit's unit."""
    widths = [point.width for point in audit.points if point.is_read]
    return 1.1 * max([*widths, audit.widest or 0.0, 1e-6])
