"""Slanted stripes over the parts of a photo that nothing can be said about."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.photo_view.strokes import path_through, stroke
from leaktrack.model.shapes import Outline

_APART_PX = 18.0
"""Distance of the stripes on screen."""


class HatchItem(QGraphicsItem):
    """Stripes within some outlines; as far apart on screen at any zoom."""

    def __init__(self, outlines: Sequence[Outline]) -> None:
        super().__init__()
        self._path = QPainterPath()
        self._path.setFillRule(Qt.FillRule.WindingFill)
        for outline in outlines:
            self._path.addPath(path_through(outline, is_closed=True))
        self._screen_px = 1.0
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def set_screen_px(self, screen_px: float) -> None:
        """Note how large a screen px is in px of the photo."""
        if screen_px != self._screen_px:
            self._screen_px = screen_px
            self.update()

    def boundingRect(self) -> QRectF:
        """Return the frame of the outlines: nothing is drawn outside."""
        return self._path.boundingRect()

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,  # noqa: ARG002 - Qt's signature
    ) -> None:
        """Draw the stripes of the part that is to be drawn."""
        painter.setClipPath(self._path, Qt.ClipOperation.IntersectClip)
        stroke(painter, self._stripes(option.exposedRect & self.boundingRect()), width_px=1.0)

    def _stripes(self, part: QRectF) -> QPainterPath:
        apart, height = _APART_PX * self._screen_px, part.height()
        stripes = QPainterPath()
        # Each begins where x + y is a whole number of distances, whatever part is drawn.
        at = (part.left() + part.top()) // apart * apart
        while at < part.right() + part.bottom():
            stripes.moveTo(at - part.top(), part.top())
            stripes.lineTo(at - part.top() - height, part.bottom())
            at += apart
        return stripes
