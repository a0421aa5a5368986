"""One leak mark on the photo: its outline, its source, the tick across the joint, its tag."""

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath
from PySide6.QtWidgets import QApplication, QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.grade_badge import paint_grade
from leaktrack.gui.photo_view.drawn_mark import DrawnMark, Tick
from leaktrack.gui.photo_view.strokes import chalk, ink, path_through, ring, stroke
from leaktrack.gui.theme import GAP_S, RING_PX, Tone, color, grade_color_on_photo
from leaktrack.model.shapes import PointPx
from leaktrack.model.words import word

_SOURCE_PX = 4.0
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
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.tag = TagItem(drawn, self)

    def set_screen_px(self, screen_px: float) -> None:
        """Note how large a screen px is in px of the photo."""
        self.prepareGeometryChange()
        self._screen_px = screen_px

    def set_selected(self, is_selected: bool) -> None:
        """Show whether it is the one in hand."""
        if is_selected != self._is_selected:
            self._is_selected = is_selected
            self.tag.set_selected(is_selected)
            self.update()

    def boundingRect(self) -> QRectF:
        """Return the frame of all that ``paint`` draws at the present zoom."""
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
        grade = self.drawn.grade
        paint_color = chalk() if grade is None else grade_color_on_photo(grade)
        width = 3.0 if self._is_selected else 1.5
        if self.drawn.outline_px:
            is_loose = self.drawn.is_proposal
            stroke(painter, self._path, paint_color, width_px=width, is_dashed=is_loose)
        source = self.drawn.source_px
        if source is not None:
            self._paint_tick(painter, source)
            ring(painter, source, _SOURCE_PX * self._screen_px, paint_color)

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


class TagItem(QGraphicsItem):
    """The numbered tag of a mark on its leader: number, and grade as digit, fill and word.

    It keeps its size on screen. Its origin is the place that the leader points at.
    """

    def __init__(self, drawn: DrawnMark, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._drawn = drawn
        self._is_selected = False
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self._font = QFont(QApplication.font())
        self._number_font = QFont(self._font)
        self._number_font.setBold(True)
        anchor = drawn.anchor_px
        self.setVisible(anchor is not None)
        if anchor is not None:
            self.setPos(anchor.x, anchor.y)
        self._height = max(24.0, QFontMetricsF(self._font).height() + GAP_S)
        self.size = self._wanted_size()
        self.box = QRectF(QPointF(16, -16 - self.size.height()), self.size)

    def set_box(self, box: QRectF) -> None:
        """Put the tag there, in screen px from the place it points at."""
        if box != self.box:
            self.prepareGeometryChange()
            self.box = box

    def set_selected(self, is_selected: bool) -> None:
        """Show whether its mark is the one in hand."""
        self._is_selected = is_selected
        self.update()

    def boundingRect(self) -> QRectF:
        """Return the frame of tag and leader."""
        return self.box.united(QRectF(-2, -2, 4, 4)).adjusted(-4, -4, 4, 4)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Draw leader, number and grade."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        stroke(painter, self._leader())
        border = color(Tone.ACCENT) if self._is_selected else ink()
        painter.setPen(border)
        painter.setBrush(chalk())
        painter.drawRoundedRect(self.box, 3, 3)
        if self._is_selected:
            pen = painter.pen()
            pen.setWidthF(RING_PX)
            painter.setPen(pen)
            painter.drawRoundedRect(self.box.adjusted(-2, -2, 2, 2), 4, 4)
        self._paint_words(painter)

    def _paint_words(self, painter: QPainter) -> None:
        number = self._number_box()
        left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.setPen(ink())
        painter.setFont(self._number_font)
        painter.drawText(number, left, str(self._drawn.number))
        rest = self.box.adjusted(number.right() - self.box.left() + GAP_S, 0, 0, 0)
        if self._drawn.grade is not None:
            badge = QRectF(rest.left(), rest.top() + 3, self._badge_width(), rest.height() - 6)
            paint_grade(painter, badge, self._drawn.grade)
            rest.setLeft(badge.right() + GAP_S)
        painter.setFont(self._font)
        painter.setPen(ink())
        painter.drawText(rest, left, self._words())

    def _leader(self) -> QPainterPath:
        end = QPointF(
            min(max(0.0, self.box.left()), self.box.right()),
            min(max(0.0, self.box.top()), self.box.bottom()),
        )
        line = QLineF(QPointF(0, 0), end)
        path = QPainterPath()
        if line.length() > _SOURCE_PX:
            path.moveTo(line.pointAt(_SOURCE_PX / line.length()))
            path.lineTo(end)
        return path

    def _number_box(self) -> QRectF:
        width = QFontMetricsF(self._number_font).horizontalAdvance(str(self._drawn.number))
        return QRectF(self.box.left() + GAP_S, self.box.top(), width, self.box.height())

    def _badge_width(self) -> float:
        return 1.35 * (self._height - 6) if self._drawn.grade is not None else 0.0

    def _words(self) -> str:
        if self._drawn.grade is None:
            return self._drawn.label
        return word(self._drawn.grade)

    def _wanted_size(self) -> QSizeF:
        metrics = QFontMetricsF(self._font)
        number = QFontMetricsF(self._number_font).horizontalAdvance(str(self._drawn.number))
        words = metrics.horizontalAdvance(self._words())
        across = number + self._badge_width() + words + 5 * GAP_S
        return QSizeF(across, self._height)
