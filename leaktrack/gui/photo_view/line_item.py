"""The line of a joint on the photo, with its numbered bolts."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath
from PySide6.QtWidgets import QApplication, QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.photo_view.strokes import chalk, ink, path_through, ring, stroke
from leaktrack.model.engine import JointLine, LinePoint
from leaktrack.model.shapes import PointPx

_DOT_PX = 3.0
_MARGIN_PX = 16.0


class LineItem(QGraphicsItem):
    """The drawing of one joint line, in the photo's pixels; dashed while nobody has kept it."""

    def __init__(self, line: JointLine, color: QColor, *, is_carried: bool = False) -> None:
        super().__init__()
        self.line = line
        self.is_carried = is_carried
        self._color = color
        self._path = path_through(line.path, is_closed=False)
        self._screen_px = 1.0
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        for point in line.points:
            if point.bolt_number is not None:
                BoltItem(point, self)

    @property
    def bolt_places(self) -> list[PointPx]:
        """Where the numbers of bolts are drawn."""
        return [
            point.head or point.at for point in self.line.points if point.bolt_number is not None
        ]

    def set_screen_px(self, screen_px: float) -> None:
        """Note how large a screen px is in px of the photo."""
        self.prepareGeometryChange()
        self._screen_px = screen_px

    def boundingRect(self) -> QRectF:
        """Return the frame of line and bolts."""
        box = self._path.boundingRect()
        for point in self.line.points:
            if point.head is not None:
                box = box.united(QRectF(point.head.x, point.head.y, 1, 1))
        margin = _MARGIN_PX * self._screen_px
        return box.adjusted(-margin, -margin, margin, margin)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Draw the line, and a stroke from it to each bolt's head."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        stroke(painter, self._path, self._color, is_dashed=self.is_carried)
        for point in self.line.points:
            if point.head is not None:
                link = QPainterPath(QPointF(point.at.x, point.at.y))
                link.lineTo(point.head.x, point.head.y)
                stroke(painter, link, self._color, width_px=1.0, is_dashed=True)
                ring(painter, point.head, 2 * _DOT_PX * self._screen_px, self._color)


class BoltItem(QGraphicsItem):
    """A bolt's number in a small disc that keeps its size on screen."""

    def __init__(self, point: LinePoint, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        at = point.head or point.at
        self._text = str(point.bolt_number)
        self._font = QFont(QApplication.font())
        metrics = QFontMetricsF(self._font)
        side = max(metrics.height(), metrics.horizontalAdvance(self._text) + 6)
        self._disc = QRectF(-side / 2, -side / 2, side, side)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setPos(at.x, at.y)

    def boundingRect(self) -> QRectF:
        """Return the disc's frame."""
        return self._disc.adjusted(-2, -2, 2, 2)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Draw the number."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._font)
        painter.setPen(ink())
        painter.setBrush(chalk())
        painter.drawEllipse(self._disc)
        painter.drawText(self._disc, Qt.AlignmentFlag.AlignCenter, self._text)
