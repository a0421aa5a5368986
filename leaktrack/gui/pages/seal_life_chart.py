"""How many seals of a group are still dry, over the hours that they ran."""

from math import exp, isfinite

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP, GAP_S, RING_PX, Tone, color
from leaktrack.model.seal_life import GroupLife
from leaktrack.model.seal_life_words import percent_words

_HEIGHT_EM = 11.0
_POINTS = 80


class SealLifeChart(QWidget):
    """Steps: what was seen. Grey: where a fall lies, nobody knows. Dashes: the Weibull law.

    Upright bars are the 95 % intervals at four times. All of it is in the words beside it too.
    """

    def __init__(self) -> None:
        super().__init__()
        self._group: GroupLife | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Share of seals still dry over hours run"))

    def show_group(self, group: GroupLife | None) -> None:
        """Show another group."""
        self._group = group if group is not None and group.last_h > 0 else None
        self.setVisible(self._group is not None)
        if self._group is not None:
            told = [
                self.tr("after %s h: %s") % (f"{one.hours:.3g}", percent_words(one.steps))
                for one in self._group.shares
            ]
            self.setAccessibleDescription("; ".join(told))
        self.update()

    def sizeHint(self) -> QSize:
        """Return a height that grows with the text."""
        return QSize(360, round(_HEIGHT_EM * self.fontMetrics().height()))

    def minimumSizeHint(self) -> QSize:
        """Return what is still legible."""
        return QSize(200, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the chart."""
        del event
        group = self._group
        if group is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = self._area()
        painter.fillRect(area, color(Tone.BASE))
        self._paint_axes(painter, group, area)
        self._paint_steps(painter, group, area)
        self._paint_law(painter, group, area)
        painter.setPen(QPen(color(Tone.TEXT), RING_PX))
        for one in group.shares:
            if one.steps is None:
                continue
            x = self._x(one.hours, group, area)
            low, high = _y(one.steps.low, area), _y(one.steps.high, area)
            painter.drawLine(QLineF(x, low, x, high))
            for y in (low, high):
                painter.drawLine(QLineF(x - GAP_S, y, x + GAP_S, y))
        painter.end()

    def _area(self) -> QRectF:
        metrics = self.fontMetrics()
        left = metrics.horizontalAdvance("100 %") + GAP
        below = 2 * metrics.height() + GAP_S
        top = metrics.height() / 2
        return QRectF(left, top, self.width() - left - GAP * 2, self.height() - below - top)

    def _x(self, hours: float, group: GroupLife, area: QRectF) -> float:
        return area.left() + area.width() * min(1.0, hours / group.last_h)

    def _paint_axes(self, painter: QPainter, group: GroupLife, area: QRectF) -> None:
        metrics = self.fontMetrics()
        painter.setPen(color(Tone.QUIET))
        for share in (0.0, 0.5, 1.0):
            y = _y(share, area)
            words = QRectF(0, y - metrics.height() / 2, area.left() - GAP_S, metrics.height())
            painter.drawText(words, Qt.AlignmentFlag.AlignRight, f"{100 * share:.0f} %")
        below = area.bottom() + GAP_S
        for step in range(5):
            x = area.left() + area.width() * step / 4
            text = f"{group.last_h * step / 4:.3g}"
            wide = metrics.horizontalAdvance(text)
            at = min(max(0.0, x - wide / 2), self.width() - wide)
            painter.drawText(QPointF(at, below + metrics.ascent()), text)
        words = QRectF(area.left(), below + metrics.height(), area.width(), metrics.height())
        painter.drawText(
            words, Qt.AlignmentFlag.AlignHCenter, self.tr("hours run since it was sealed")
        )
        painter.setPen(QPen(color(Tone.HAIRLINE), 1))
        for step in range(5):
            x = area.left() + area.width() * step / 4
            painter.drawLine(QLineF(x, area.top(), x, area.bottom()))
        painter.setPen(QPen(color(Tone.BORDER), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(area)

    def _paint_steps(self, painter: QPainter, group: GroupLife, area: QRectF) -> None:
        share, at = 1.0, 0.0
        line = QPen(color(Tone.ACCENT), RING_PX)
        if group.curve is None:
            painter.setPen(line)
            painter.drawLine(QLineF(area.left(), area.top(), area.right(), area.top()))
            return
        for (start, end), mass in zip(group.curve.spans_h, group.curve.masses, strict=True):
            painter.setPen(line)
            left, right = self._x(at, group, area), self._x(start, group, area)
            painter.drawLine(QLineF(left, _y(share, area), right, _y(share, area)))
            if not isfinite(end) or start >= group.curve.known_until_h:
                return
            stop = self._x(end, group, area)
            fall = QRectF(
                right, _y(share, area), stop - right, _y(share - mass, area) - _y(share, area)
            )
            painter.fillRect(fall, color(Tone.HAIRLINE))
            share, at = share - mass, end
        painter.setPen(line)
        last = self._x(at, group, area)
        painter.drawLine(QLineF(last, _y(share, area), area.right(), _y(share, area)))

    def _paint_law(self, painter: QPainter, group: GroupLife, area: QRectF) -> None:
        if group.law is None:
            return
        points = []
        for step in range(_POINTS + 1):
            hours = group.last_h * step / _POINTS
            share = exp(-((hours / group.law.scale_h.value) ** group.law.shape.value))
            points.append(QPointF(self._x(hours, group, area), _y(share, area)))
        pen = QPen(color(Tone.TEXT), 1)
        pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.drawPolyline(QPolygonF(points))


def _y(share: float, area: QRectF) -> float:
    return area.bottom() - area.height() * min(1.0, max(0.0, share))
