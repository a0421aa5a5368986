"""Draw what a tool has so far, and the keyboard's crosshair."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPainterPath
from PySide6.QtWidgets import QApplication, QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.look.theme import Tone, color
from leaktrack.gui.photo_view.strokes import chalk, ink, path_through, stroke
from leaktrack.gui.photo_view.tool import Sketch

SKETCH_Z, CROSSHAIR_Z = 10.0, 11.0
_HANDLE_PX = 5.0
_MARGIN_PX = 60.0
"""Room for the labels beside the outermost handles."""


class SketchItem(QGraphicsItem):
    """The unfinished drawing of a tool, in the photo's pixels."""

    def __init__(self) -> None:
        super().__init__()
        self.setZValue(SKETCH_Z)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self._sketch = Sketch()
        self._screen_px = 1.0
        self._box = QRectF()

    def show_sketch(self, sketch: Sketch, screen_px: float) -> None:
        """Draw this, at a zoom where a screen px is so many px of the photo."""
        self.prepareGeometryChange()
        self._sketch, self._screen_px = sketch, screen_px
        points = [*sketch.path, *(handle.at for handle in sketch.handles)]
        box = path_through(points, is_closed=False).boundingRect()
        margin = _MARGIN_PX * screen_px
        self._box = box.adjusted(-margin, -margin, margin, margin) if points else QRectF()
        self.update()

    def boundingRect(self) -> QRectF:
        """Return the frame of line, handles and labels."""
        return self._box

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Draw the line, then its handles."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        stroke(painter, path_through(self._sketch.path, is_closed=self._sketch.is_closed))
        # Handles and labels keep their size on screen: go on in screen px from here.
        transform = painter.worldTransform()
        painter.resetTransform()
        painter.setFont(QFont(QApplication.font()))
        for handle in self._sketch.handles:
            at = transform.map(QPointF(handle.at.x, handle.at.y))
            painter.setPen(ink())
            painter.setBrush(color(Tone.ACCENT) if handle.is_active else chalk())
            painter.drawEllipse(at, _HANDLE_PX, _HANDLE_PX)
            if handle.label:
                _label(painter, at, handle.label)


def _label(painter: QPainter, at: QPointF, text: str) -> None:
    metrics = painter.fontMetrics()
    box = QRectF(at.x() + 9, at.y() - metrics.height() - 3, 0, metrics.height())
    box.setWidth(metrics.horizontalAdvance(text) + 6)
    painter.setBrush(chalk())
    painter.drawRoundedRect(box, 3, 3)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


class CrosshairItem(QGraphicsItem):
    """The keyboard's pointer; keeps its size on screen."""

    _ARM_PX = 16.0
    _GAP_PX = 4.0

    def __init__(self) -> None:
        super().__init__()
        self.setZValue(CROSSHAIR_Z)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.hide()

    def boundingRect(self) -> QRectF:
        """Return the crosshair's frame."""
        reach = self._ARM_PX + 4
        return QRectF(-reach, -reach, 2 * reach, 2 * reach)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Draw four arms that leave the middle free."""
        path = QPainterPath()
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            path.moveTo(dx * self._GAP_PX, dy * self._GAP_PX)
            path.lineTo(dx * self._ARM_PX, dy * self._ARM_PX)
        stroke(painter, path, width_px=2.0)
