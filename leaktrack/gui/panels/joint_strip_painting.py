"""How the parts of a joint strip are drawn."""

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from leaktrack.gui.look.grade_badge import badge_size, paint_grade
from leaktrack.gui.look.theme import GAP, RING_PX, Tone, color, grade_color
from leaktrack.gui.panels.joint_strip_layout import StripScale, label_step, row_name
from leaktrack.model.joint_strip import JointStrip, StripMark, StripRow

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class StripPainter:
    """Draws one strip with a painter, at one scale."""

    def __init__(
        self, painter: QPainter, strip: JointStrip, scale: StripScale, label_width: int
    ) -> None:
        self._painter = painter
        self._strip = strip
        self._scale = scale
        self._label_width = label_width

    def paint_axis(self, area: QRectF, axis_height: int) -> None:
        """Draw the joint as a flange seen from above: its two edges and its numbered bolts."""
        painter = self._painter
        middle = axis_height - 7
        left, right = self._scale.x(self._strip.first), self._scale.x(self._strip.last)
        painter.setPen(QPen(color(Tone.BORDER), 1))
        for y in (middle - 5, middle + 5):
            painter.drawLine(QLineF(left - 9, y, right + 9, y))
        step = label_step(
            len(self._strip.bolts),
            self._scale.width_px,
            painter.fontMetrics().horizontalAdvance("00") + 6,
        )
        for bolt in self._strip.bolts:
            self._paint_bolt(self._scale.x(bolt.station), middle)
            if (bolt.number - 1) % step == 0:
                self._paint_number(str(bolt.number), bolt.station, middle)
        if self._strip.joint.is_closed and self._strip.bolts:
            self._paint_bolt(right, middle)
            self._paint_number(str(self._strip.bolts[0].number), self._strip.last, middle)
        self._paint_guides(QRectF(left, axis_height, right - left, area.height() - axis_height))

    def paint_row(self, rect: QRectF, row: StripRow) -> None:
        """Draw an inspection with what it saw, or a sealing job as a break in time."""
        if row.inspection is None:
            self._paint_break(rect, row)
            return
        painter = self._painter
        painter.setPen(color(Tone.QUIET))
        label = QRectF(GAP, rect.top(), self._label_width, rect.height())
        name = painter.fontMetrics().elidedText(
            row_name(row), Qt.TextElideMode.ElideRight, self._label_width
        )
        painter.drawText(label, _LEFT, name)
        self._paint_unseen(rect)
        for start, end in row.seen:
            self._paint_seen(rect, start, end)
        for mark in row.marks:
            self._paint_wet(rect, mark)
        for mark in row.marks:
            self._paint_source(rect, mark)

    def paint_cursor(self, rect: QRectF, station: float, *, has_focus: bool) -> None:
        """Draw where the cursor stands: a bracket around one place of one row."""
        painter = self._painter
        x = self._scale.x(station)
        pen = QPen(color(Tone.ACCENT), RING_PX if has_focus else 1)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawLine(QLineF(x, rect.top() + 1, x, rect.bottom() - 1))
        head = QPolygonF(
            [
                QPointF(x - 4, rect.top() - 1),
                QPointF(x + 4, rect.top() - 1),
                QPointF(x, rect.top() + 4),
            ]
        )
        painter.setBrush(color(Tone.ACCENT))
        painter.drawPolygon(head)
        if has_focus:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(2, 1, -2, -1), 4, 4)

    def _paint_bolt(self, x: float, y: float) -> None:
        painter = self._painter
        painter.setPen(QPen(color(Tone.TEXT), 1.2))
        painter.setBrush(color(Tone.BASE))
        painter.drawEllipse(QPointF(x, y), 3.2, 3.2)

    def _paint_number(self, number: str, station: float, axis_y: float) -> None:
        painter = self._painter
        painter.setPen(color(Tone.TEXT))
        height = painter.fontMetrics().height()
        place = QRectF(self._scale.x(station) - 20, axis_y - 5 - height, 40, height)
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, number)

    def _paint_guides(self, rect: QRectF) -> None:
        painter = self._painter
        painter.setPen(QPen(color(Tone.HAIRLINE), 1))
        for bolt in self._strip.bolts:
            x = self._scale.x(bolt.station)
            painter.drawLine(QLineF(x, rect.top(), x, rect.bottom()))

    def _band(self, rect: QRectF, start: float, end: float) -> QRectF:
        start, end = max(start, self._strip.first), min(end, self._strip.last)
        left, right = self._scale.x(start), self._scale.x(end)
        return QRectF(left, rect.top() + 3, max(right - left, 1.0), rect.height() - 6)

    def _paint_unseen(self, rect: QRectF) -> None:
        # Hatched as well as grey: nobody looked here, which is not the same as dry.
        whole = self._band(rect, self._strip.first, self._strip.last)
        self._painter.fillRect(whole, color(Tone.UNSEEN))
        self._painter.setPen(Qt.PenStyle.NoPen)
        hatch = color(Tone.BORDER)
        hatch.setAlphaF(0.55)
        self._painter.setBrush(hatch)
        self._painter.save()
        self._painter.setClipRect(whole)
        self._painter.setPen(QPen(hatch, 1))
        x = whole.left() - whole.height()
        while x < whole.right():
            self._painter.drawLine(QLineF(x, whole.bottom(), x + whole.height(), whole.top()))
            x += 7
        self._painter.restore()

    def _paint_seen(self, rect: QRectF, start: float, end: float) -> None:
        band = self._band(rect, start, end)
        self._painter.fillRect(band, color(Tone.BASE))
        self._painter.setPen(QPen(color(Tone.BORDER), 1))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.drawRect(band)

    def _paint_wet(self, rect: QRectF, mark: StripMark) -> None:
        if mark.wet_to <= mark.wet_from:
            return
        band = self._band(rect, mark.wet_from, mark.wet_to).adjusted(0, 2, 0, -2)
        self._painter.setPen(QPen(color(Tone.TEXT), 1))
        self._painter.setBrush(grade_color(mark.grade))
        self._painter.drawRoundedRect(band, 2, 2)

    def _paint_source(self, rect: QRectF, mark: StripMark) -> None:
        painter = self._painter
        x = self._scale.x(mark.station)
        painter.setPen(QPen(color(Tone.TEXT), 2))
        painter.drawLine(QLineF(x, rect.top() + 1, x, rect.bottom() - 1))
        size = badge_size(painter.fontMetrics().height() - 3)
        height = min(size.height(), rect.height() - 4)
        width = height * size.width() / size.height()
        top = rect.center().y() - height / 2
        paint_grade(painter, QRectF(x - width / 2, top, width, height), mark.grade)

    def _paint_break(self, rect: QRectF, row: StripRow) -> None:
        painter = self._painter
        middle = rect.center().y()
        painter.setPen(color(Tone.ACCENT))
        name = row_name(row)
        room = QRectF(GAP, rect.top(), self._label_width, rect.height())
        painter.drawText(room, _LEFT, name)
        pen = QPen(color(Tone.ACCENT), 1.4, Qt.PenStyle.DashLine)
        painter.setPen(pen)
        left = self._scale.x(self._strip.first)
        painter.drawLine(QLineF(left, middle, self._scale.x(self._strip.last), middle))
