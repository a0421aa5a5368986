"""One leak mark on the photo: its outline and the tick across the joint; its tag is a child."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.photo_view.drawn_mark import DrawnMark, Tick
from leaktrack.gui.photo_view.strokes import mark_color, path_through, stroke
from leaktrack.gui.photo_view.tag_item import TagItem
from leaktrack.model.shapes import PointPx

_TICK_PX = 9.0
_MARGIN_PX = 14.0
"""Nothing is drawn further than so many screen px from the mark's own points."""


class MarkItem(QGraphicsItem):
    """The drawing of one mark, in the photo's pixels. The view decides what is clicked."""

    def __init__(self, drawn: DrawnMark, tick: Tick | None = None) -> None:
        super().__init__()
        self.drawn = drawn
        self.tick = tick
        self._path = path_through(drawn.outline_px, is_closed=True)
        self._screen_px = 1.0
        self._is_selected = False
        self._bounds = self._wanted_bounds()  # Qt asks for it again and again at each frame
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.tag = TagItem(drawn, self)

    def set_screen_px(self, screen_px: float) -> None:
        """Note how large a screen px is in px of the photo."""
        self.prepareGeometryChange()
        self._screen_px = screen_px
        self._bounds = self._wanted_bounds()

    def set_selected(self, is_selected: bool) -> None:
        """Show whether it is the one in hand."""
        if is_selected != self._is_selected:
            self._is_selected = is_selected
            self.tag.set_selected(is_selected)
            self.update()

    def boundingRect(self) -> QRectF:
        """Return the frame of all that ``paint`` draws at the present zoom."""
        return self._bounds

    def _wanted_bounds(self) -> QRectF:
        box = self._path.boundingRect()
        points = [self.drawn.source_px, self.tick.at if self.tick else None]
        for point in points:
            if point is not None:
                box = box.united(QRectF(point.x - 0.5, point.y - 0.5, 1, 1))
        margin = _MARGIN_PX * self._screen_px
        return box.adjusted(-margin, -margin, margin, margin)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Draw outline, tick and source."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_color = mark_color(self.drawn.grade)
        width = 3.0 if self._is_selected else 1.5
        if self.drawn.outline_px:
            is_loose = self.drawn.is_proposal
            stroke(painter, self._path, paint_color, width_px=width, is_dashed=is_loose)
        if self.drawn.source_px is not None:
            self._paint_tick(painter, self.drawn.source_px)

    def _paint_tick(self, painter: QPainter, source: PointPx) -> None:
        if self.tick is None:
            return
        at, half = self.tick.at, _TICK_PX * self._screen_px
        across = QPointF(self.tick.across_x * half, self.tick.across_y * half)
        centre = QPointF(at.x, at.y)
        tick = QPainterPath(centre - across)
        tick.lineTo(centre + across)
        link = QPainterPath(QPointF(source.x, source.y))
        link.lineTo(centre)
        stroke(painter, link, is_dashed=True, width_px=1.0)
        stroke(painter, tick, width_px=2.5)
