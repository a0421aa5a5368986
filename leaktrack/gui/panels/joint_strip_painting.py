"""How the parts of a joint strip are drawn."""

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from leaktrack.gui.look.grade_badge import badge_size
from leaktrack.gui.look.theme import GAP, RING_PX, Tone, grade_color
from leaktrack.gui.panels.bead_band_painting import BeadBandPainter, hatch
from leaktrack.gui.panels.joint_strip_layout import StripScale, complement, label_step, spread
from leaktrack.gui.panels.joint_strip_words import row_detail, row_name
from leaktrack.gui.panels.strip_pictures import StripPictures
from leaktrack.model.bead_audit import BeadDefectKind
from leaktrack.model.joint_strip import JointStrip, StripMark, StripRow
from leaktrack.model.leak import wetness
from leaktrack.model.strip_words import WITHIN
from leaktrack.model.words import word

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_CAP_PX = 3.0
_BOLT_PX = 4.0
_GROUND_ALPHA = 0.8  # of the ground behind words, so that they read over a column


class StripPainter:
    """Draws one strip with a painter, at one scale."""

    def __init__(
        self,
        painter: QPainter,
        strip: JointStrip,
        scale: StripScale,
        label_width: int,
        pictures: StripPictures | None = None,
    ) -> None:
        self._painter = painter
        self._strip = strip
        self._scale = scale
        self._label_width = label_width
        self._pictures = pictures or StripPictures()
        self._bands = BeadBandPainter(painter, strip, scale, self._pictures)

    def paint_axis(self, area: QRectF) -> None:
        """Draw the joint as a flange seen from above: its two edges and its numbered bolts."""
        painter = self._painter
        middle = area.bottom() - 7
        left, right = self._scale.x(self._strip.first), self._scale.x(self._strip.last)
        painter.setPen(QPen(self._pictures.color(Tone.BORDER), 1))
        edges = [QLineF(left - 9, y, right + 9, y) for y in (middle - 5, middle + 5)]
        painter.drawLines(edges)
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

    def paint_row(self, rect: QRectF, row: StripRow) -> None:
        """Draw an inspection's ground, or a sealing job as a break in time with its bead."""
        if row.inspection is None:
            self._paint_seal(rect, row)
            return
        self._paint_name(rect, row_name(row), Tone.QUIET)
        whole = self._band(rect, self._strip.first, self._strip.last)
        painter = self._painter
        painter.fillRect(whole, self._pictures.color(Tone.BASE))
        for start, end in complement(self._strip, row.seen):
            # Hatched as well as grey: nobody looked here, which is not the same as dry.
            hatch(painter, self._band(rect, start, end), self._pictures)
        painter.setPen(QPen(self._pictures.color(Tone.HAIRLINE), 1))
        xs = (self._scale.x(bolt.station) for bolt in self._strip.bolts)
        painter.drawLines([QLineF(x, whole.top(), x, whole.bottom()) for x in xs])
        painter.setPen(QPen(self._pictures.color(Tone.BORDER), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(whole)

    def paint_faults(self, rect: QRectF, job_row: StripRow) -> None:
        """Draw where the bead is broken or thin as columns over the rows of its seal."""
        painter = self._painter
        ground = self._pictures.color(Tone.ATTENTION_SOFT)
        edge = QPen(self._pictures.color(Tone.ATTENTION), 1, Qt.PenStyle.DotLine)
        for bead in job_row.beads:
            for fault in bead.faults:
                if fault.kind is BeadDefectKind.THICK:
                    continue
                for start, end in self._strip.pieces(fault.start, fault.end):
                    left, right = self._scale.x(start), self._scale.x(end)
                    column = QRectF(left, rect.top(), max(right - left, 2.0), rect.height())
                    painter.fillRect(column, ground)
                    painter.setPen(edge)
                    painter.drawLine(QLineF(column.topLeft(), column.bottomLeft()))
                    painter.drawLine(QLineF(column.topRight(), column.bottomRight()))

    def paint_marks(self, rect: QRectF, row: StripRow) -> None:
        """Draw an inspection's wet stretches, sources and grades."""
        marks = row.shown_marks
        for mark in marks:
            self._paint_wet(rect, mark)
        size = badge_size(self._painter.fontMetrics().height() - 3)
        height = min(size.height(), rect.height() - 6)
        width = height * size.width() / size.height()
        xs = [self._scale.x(self._strip.wrapped(mark.station)) for mark in marks]
        order = sorted(range(len(marks)), key=lambda place: xs[place])
        right = self._scale.left_px + self._scale.width_px + width / 2
        lefts = spread([xs[place] for place in order], width, right)
        for place in order:
            self._paint_source(rect, xs[place], marks[place])
        top = rect.center().y() - height / 2 - 1
        device = self._painter.device()
        ratio = device.devicePixelRatio() if device is not None else 1.0
        for left, place in zip(lefts, order, strict=True):
            badge = self._pictures.badge(marks[place].grade, QSizeF(width, height), ratio)
            self._painter.drawPixmap(QPointF(left, top), badge)
        self._paint_grade_words(rect, [marks[place] for place in order], lefts, width)

    def _paint_grade_words(
        self, rect: QRectF, marks: list[StripMark], lefts: list[float], width: float
    ) -> None:
        """Write leak and grade beside each badge, where the next thing leaves room for it."""
        painter = self._painter
        painter.setPen(self._pictures.color(Tone.TEXT))
        wet = [
            (self._scale.x(start), self._scale.x(end))
            for mark in marks
            for start, end in self._strip.pieces(mark.wet_from, mark.wet_to)
        ]
        metrics = painter.fontMetrics()
        ground = QColor(self._pictures.color(Tone.BASE))
        ground.setAlphaF(_GROUND_ALPHA)
        for place, (mark, left) in enumerate(zip(marks, lefts, strict=True)):
            start = left + width
            start = max([start, *(end for low, end in wet if low <= start <= end)]) + 4
            ahead = [*lefts[place + 1 :], *(low for low, _ in wet if low > start), self._right]
            for words in (f"leak {mark.leak_number}, {word(mark.grade)}", word(mark.grade)):
                needed = metrics.horizontalAdvance(words) + 4
                if start + needed <= min(ahead):
                    box = QRectF(start, rect.top(), needed, rect.height())
                    painter.fillRect(box.adjusted(-2, 5, 0, -5), ground)
                    painter.drawText(box, _LEFT, words)
                    break

    def paint_cursor(self, rect: QRectF, station: float, *, has_focus: bool) -> None:
        """Draw where the cursor stands: a bracket around one place of one row."""
        painter = self._painter
        x = self._scale.x(station)
        pen = QPen(self._pictures.color(Tone.ACCENT), RING_PX if has_focus else 1)
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
        painter.setBrush(self._pictures.color(Tone.ACCENT))
        painter.drawPolygon(head)
        if has_focus:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(2, 1, -2, -1), 4, 4)

    def footage_rect(self, rect: QRectF, row: StripRow) -> QRectF | None:
        """Return where the sign of a seal's footage lies in its row; None where it has none."""
        return footage_rect(rect, row, self._label_width)

    def _paint_seal(self, rect: QRectF, row: StripRow) -> None:
        painter = self._painter
        footage = self.footage_rect(rect, row)
        room = self._label_width - (footage.width() if footage is not None else 0)
        detail = row_detail(row)
        if row.beads and detail:
            line = painter.fontMetrics().height()
            upper = QRectF(rect.left(), rect.center().y() - line - 1, rect.width(), line)
            self._paint_name(upper, row_name(row), Tone.ACCENT, room)
            self._paint_name(upper.translated(0, line + 2), detail, Tone.QUIET, room)
        else:
            self._paint_name(rect, row_name(row), Tone.ACCENT, room)
        if footage is not None:
            self._paint_footage_sign(footage)
        if row.beads:
            self._bands.paint(rect, row)
            self._paint_untightened(rect.top() + _BOLT_PX + 1, row)
            return
        middle = rect.center().y()
        left, right = self._scale.x(self._strip.first), self._scale.x(self._strip.last)
        painter.setPen(QPen(self._pictures.color(Tone.ACCENT), 1.4, Qt.PenStyle.DashLine))
        painter.drawLine(QLineF(left, middle, right, middle))
        if detail:
            width = painter.fontMetrics().horizontalAdvance(detail) + 2 * GAP
            box = QRectF(left + GAP, rect.top() + 2, min(width, right - left), rect.height() - 4)
            painter.fillRect(box, self._pictures.color(Tone.WINDOW))
            painter.setPen(self._pictures.color(Tone.ACCENT))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, detail)
        self._paint_untightened(middle, row)

    def _paint_untightened(self, y: float, row: StripRow) -> None:
        """Draw a struck ring at each bolt that no recorded tightening names."""
        painter = self._painter
        painter.setPen(QPen(self._pictures.color(Tone.ATTENTION), 1.6))
        painter.setBrush(self._pictures.color(Tone.BASE))
        for number in row.untightened:
            x = self._scale.x(float(number))
            painter.drawEllipse(QPointF(x, y), _BOLT_PX, _BOLT_PX)
            reach = _BOLT_PX + 2
            painter.drawLine(QLineF(x - reach, y + reach, x + reach, y - reach))

    def _paint_name(self, rect: QRectF, name: str, tone: Tone, width: float | None = None) -> None:
        painter = self._painter
        room = self._label_width if width is None else width
        painter.setPen(self._pictures.color(tone))
        text = painter.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, round(room))
        painter.drawText(QRectF(GAP, rect.top(), room, rect.height()), _LEFT, text)

    def _paint_footage_sign(self, box: QRectF) -> None:
        """Draw a triangle that points to the right in a frame."""
        painter = self._painter
        middle = box.center()
        frame = QRectF(middle.x() - 9, middle.y() - 9, 18, 18)
        painter.setPen(QPen(self._pictures.color(Tone.ACCENT), 1.2))
        painter.setBrush(self._pictures.color(Tone.BASE))
        painter.drawRoundedRect(frame, 3, 3)
        painter.setBrush(self._pictures.color(Tone.ACCENT))
        corners = [(-3.5, -5), (5, 0), (-3.5, 5)]
        painter.drawPolygon(
            QPolygonF([QPointF(middle.x() + dx, middle.y() + dy) for dx, dy in corners])
        )

    def _paint_bolt(self, x: float, y: float) -> None:
        painter = self._painter
        painter.setPen(QPen(self._pictures.color(Tone.TEXT), 1.2))
        painter.setBrush(self._pictures.color(Tone.BASE))
        painter.drawEllipse(QPointF(x, y), 3.2, 3.2)

    def _paint_number(self, number: str, station: float, axis_y: float) -> None:
        painter = self._painter
        painter.setPen(self._pictures.color(Tone.TEXT))
        height = painter.fontMetrics().height()
        place = QRectF(self._scale.x(station) - 20, axis_y - 5 - height, 40, height)
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, number)

    def _band(self, rect: QRectF, start: float, end: float) -> QRectF:
        left, right = self._scale.x(start), self._scale.x(end)
        return QRectF(left, rect.top() + 2, max(right - left, 1.0), rect.height() - 4)

    def _paint_wet(self, rect: QRectF, mark: StripMark) -> None:
        if mark.wet_to <= mark.wet_from or not wetness(mark.grade):
            return
        self._painter.setPen(QPen(self._pictures.color(Tone.TEXT), 1))
        self._painter.setBrush(grade_color(mark.grade))
        for start, end in self._strip.pieces(mark.wet_from, mark.wet_to):
            band = self._band(rect, start, end).adjusted(0, 3, 0, -3)
            self._painter.drawRoundedRect(band, 2, 2)

    def _paint_source(self, rect: QRectF, x: float, mark: StripMark) -> None:
        """Draw the source as a tick, and below it how far to each side it may lie."""
        painter = self._painter
        painter.setPen(QPen(self._pictures.color(Tone.TEXT), 2))
        painter.drawLine(QLineF(x, rect.top() + 1, x, rect.bottom() - 1))
        if mark.sigma is None:
            return
        reach = WITHIN * mark.sigma * self._scale.width_px
        reach /= max(self._strip.last - self._strip.first, 1e-9)
        y = rect.bottom() - 2
        ends = (max(x - reach, self._scale.left_px), min(x + reach, self._right))
        painter.setPen(QPen(self._pictures.color(Tone.TEXT), 1.4))
        caps = [QLineF(end, y - _CAP_PX, end, y + 1) for end in ends]
        painter.drawLines([QLineF(ends[0], y, ends[1], y), *caps])

    @property
    def _right(self) -> float:
        return self._scale.left_px + self._scale.width_px


def footage_rect(rect: QRectF, row: StripRow, label_width: int) -> QRectF | None:
    """Return where the sign of a seal's footage lies in its row; None where it has none."""
    if not row.spans:
        return None
    side = min(rect.height(), 44.0)
    return QRectF(GAP + label_width - side, rect.center().y() - side / 2, side, side)
