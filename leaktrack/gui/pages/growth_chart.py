"""A leak over running hours: what each look saw, wipes, and the trend with its interval."""

from collections.abc import Mapping
from uuid import UUID

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from leaktrack.gui.look.theme import (
    GAP,
    GAP_S,
    RING_PX,
    Tone,
    color,
    grade_color,
    text_color_on,
)
from leaktrack.model.growth import Growth, GrowthPoint, Measure
from leaktrack.model.growth_chart import ChartPoint, GrowthChart, growth_chart, ticks
from leaktrack.model.growth_words import point_words
from leaktrack.model.leak import wetness
from leaktrack.model.units import digits_of, in_units
from leaktrack.model.words import grade_words

_HEIGHT_EM = 12.0
_SYMBOLS = {Measure.AREA: "mm²", Measure.EXTENT: "mm", Measure.GRADE: ""}


class GrowthChartView(QWidget):
    """Hover tells a look, the arrow keys walk from look to look."""

    look_told = Signal(str)
    """The look in hand, in words; empty where none is."""

    def __init__(self) -> None:
        super().__init__()
        self._growth: Growth | None = None
        self._chart: GrowthChart | None = None
        self._names: Mapping[UUID, str] = {}
        self._cursor: int | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("The leak over running hours"))

    def show_growth(
        self, growth: Growth | None, measure: Measure, names: Mapping[UUID, str]
    ) -> None:
        """Show another leak or measure; without a figure to draw, the chart is hidden.

        Args:
            growth: Of the leak.
            measure: What is drawn.
            names: What each inspection is called.
        """
        self._growth, self._names = growth, names
        self._chart = None if growth is None else growth_chart(growth, measure)
        self._cursor = None
        self.setVisible(self._chart is not None)
        self.setAccessibleDescription("")
        self.look_told.emit("")
        self.update()

    @property
    def chart(self) -> GrowthChart | None:
        """What is drawn."""
        return self._chart

    def take(self, place: int) -> None:
        """Take a look in hand, by its place in the chart, and tell it."""
        if self._chart is None:
            return
        self._cursor = min(max(place, 0), len(self._chart.points) - 1)
        words = self.words_at(self._cursor)
        self.setAccessibleDescription(words)
        self.look_told.emit(words)
        self.update()

    def words_at(self, place: int) -> str:
        """Return what one look saw."""
        chart = self._chart
        if chart is None:
            return ""
        point = self._seen(chart.points[place])
        return point_words(point, self._names.get(point.inspection_id, ""))

    def sizeHint(self) -> QSize:
        """Return a height that grows with the text."""
        return QSize(320, round(_HEIGHT_EM * self.fontMetrics().height()))

    def minimumSizeHint(self) -> QSize:
        """Return what is still legible."""
        return QSize(180, self.sizeHint().height())

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self.updateGeometry()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Say what the look under the pointer saw."""
        place = self._place_near(event.position())
        words = "" if place is None else self.words_at(place)
        QToolTip.showText(event.globalPosition().toPoint(), words, self)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the look under the pointer in hand."""
        place = self._place_near(event.position())
        if place is not None and event.button() is Qt.MouseButton.LeftButton:
            self.take(place)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk from look to look with the arrow keys, Home and End."""
        chart = self._chart
        here = -1 if self._cursor is None else self._cursor
        last = 0 if chart is None else len(chart.points) - 1
        places = {
            Qt.Key.Key_Left: max(here - 1, 0),
            Qt.Key.Key_Right: here + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }
        place = places.get(Qt.Key(event.key()))
        if place is None or chart is None:
            super().keyPressEvent(event)
        else:
            self.take(place)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the chart."""
        del event
        chart = self._chart
        if chart is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = self._area()
        painter.fillRect(area, color(Tone.BASE))
        self._paint_trend(painter, chart, area)
        self._paint_axes(painter, chart, area)
        self._paint_wipes(painter, chart, area)
        self._paint_limit(painter, chart, area)
        self._paint_points(painter, chart, area)
        if self.hasFocus():
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def _paint_trend(self, painter: QPainter, chart: GrowthChart, area: QRectF) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(color(Tone.ACCENT_SOFT))
        painter.drawPolygon(QPolygonF([self._at(*each, area) for each in chart.band]))
        if chart.line:
            style = Qt.PenStyle.DashLine if chart.band else Qt.PenStyle.DotLine
            painter.setPen(QPen(color(Tone.ACCENT), 2, style))
            painter.drawLine(*(self._at(*each, area) for each in chart.line))

    def _paint_axes(self, painter: QPainter, chart: GrowthChart, area: QRectF) -> None:
        line = self.fontMetrics().height()
        symbol = _SYMBOLS[chart.measure]
        factor, unit = in_units(1.0, symbol)
        for shown in ticks(0.0, chart.highest * factor):
            y = self._at(chart.first_hours, shown / factor, area).y()
            painter.setPen(QPen(color(Tone.HAIRLINE), 1))
            painter.drawLine(QLineF(area.left(), y, area.right(), y))
            painter.setPen(color(Tone.TEXT))
            box = QRectF(0, y - line / 2, area.left() - GAP_S, line)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight, digits_of(shown))
        painter.setPen(color(Tone.QUIET))
        head = QRectF(GAP_S, 2, area.width(), line)
        name = unit or self.tr("grade")
        painter.drawText(head, Qt.AlignmentFlag.AlignLeft, name)
        painter.setPen(QPen(color(Tone.BORDER), 1))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        painter.drawLine(area.topLeft(), area.bottomLeft())
        for hours in ticks(chart.first_hours, chart.last_hours):
            x = self._at(hours, 0.0, area).x()
            painter.setPen(QPen(color(Tone.BORDER), 1))
            painter.drawLine(QLineF(x, area.bottom(), x, area.bottom() + 3))
            painter.setPen(color(Tone.TEXT))
            text = self.tr("%s h") % digits_of(hours)
            width = self.fontMetrics().horizontalAdvance(text)
            left = min(max(x - width / 2, 0.0), self.width() - width - 1.0)
            painter.drawText(QPointF(left, area.bottom() + line), text)

    def _paint_wipes(self, painter: QPainter, chart: GrowthChart, area: QRectF) -> None:
        metrics = self.fontMetrics()
        text = self.tr("wiped")
        for hours in chart.wipes:
            x = self._at(hours, 0.0, area).x()
            painter.setPen(QPen(color(Tone.QUIET), 1.4, Qt.PenStyle.DashDotLine))
            painter.drawLine(QLineF(x, area.top(), x, area.bottom()))
            painter.setPen(color(Tone.QUIET))
            left = min(x - metrics.horizontalAdvance(text) / 2, self.width() - 1.0)
            painter.drawText(QPointF(left, area.top() - GAP_S), text)

    def _paint_limit(self, painter: QPainter, chart: GrowthChart, area: QRectF) -> None:
        if chart.limit is None:
            return
        y = self._at(chart.first_hours, chart.limit.value, area).y()
        painter.setPen(QPen(color(Tone.ATTENTION), 1.4, Qt.PenStyle.DashLine))
        painter.drawLine(QLineF(area.left(), y, area.right(), y))
        painter.setPen(color(Tone.TEXT))
        text = self.tr("from here %s") % grade_words(chart.limit.grade)
        painter.drawText(QPointF(area.left() + GAP_S, y - GAP_S), text)

    def _paint_points(self, painter: QPainter, chart: GrowthChart, area: QRectF) -> None:
        painter.setPen(QPen(color(Tone.TEXT), 1.4))
        for run in chart.runs:
            painter.drawPolyline(QPolygonF([self._at(p.hours, p.value, area) for p in run]))
        for place, point in enumerate(chart.points):
            self._paint_point(painter, point, area, is_in_hand=place == self._cursor)

    def _paint_point(
        self, painter: QPainter, point: ChartPoint, area: QRectF, *, is_in_hand: bool
    ) -> None:
        at = self._at(point.hours, point.value, area)
        painter.setPen(QPen(color(Tone.TEXT), 1.4))
        if point.sigma:
            top = self._at(point.hours, point.value + point.sigma, area).y()
            low = self._at(point.hours, max(0.0, point.value - point.sigma), area).y()
            for line in (
                QLineF(at.x(), top, at.x(), low),
                QLineF(at.x() - 4, top, at.x() + 4, top),
                QLineF(at.x() - 4, low, at.x() + 4, low),
            ):
                painter.drawLine(line)
        ground = grade_color(point.grade)
        radius = self._radius()
        painter.setBrush(ground)
        painter.setPen(
            QPen(color(Tone.ACCENT if is_in_hand else Tone.TEXT), 3 if is_in_hand else 1.4)
        )
        painter.drawEllipse(at, radius, radius)
        painter.setPen(text_color_on(ground))
        box = QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(wetness(point.grade)))

    def _seen(self, point: ChartPoint) -> GrowthPoint:
        assert self._growth is not None  # it is drawn
        return next(
            each for each in self._growth.points if each.inspection_id == point.inspection_id
        )

    def _place_near(self, at: QPointF) -> int | None:
        if self._chart is None:
            return None
        area, reach = self._area(), 2.5 * self._radius()
        away = [
            QLineF(at, self._at(point.hours, point.value, area)).length()
            for point in self._chart.points
        ]
        nearest = min(range(len(away)), key=away.__getitem__)
        return nearest if away[nearest] <= reach else None

    def _radius(self) -> float:
        return 0.58 * self.fontMetrics().height()

    def _area(self) -> QRectF:
        metrics = self.fontMetrics()
        left = metrics.horizontalAdvance("00,000") + GAP
        top, bottom = metrics.height() + GAP + GAP_S, metrics.height() + GAP
        right = GAP + self._radius()
        return QRectF(left, top, self.width() - left - right, self.height() - top - bottom)

    def _at(self, hours: float, value: float, area: QRectF) -> QPointF:
        chart = self._chart
        assert chart is not None  # it is drawn
        # A little room before the first look and below dry ones, whose marks would lie on the axes.
        room = self._radius() + 2
        across = (hours - chart.first_hours) / (chart.last_hours - chart.first_hours)
        up = min(value / chart.highest, 1.05)
        return QPointF(
            area.left() + room + across * (area.width() - room),
            area.bottom() - room - up * (area.height() - room),
        )
