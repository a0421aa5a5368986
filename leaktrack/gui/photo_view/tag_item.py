"""The numbered tag of a mark on its leader: number, and grade as digit, fill and word."""

from math import ceil

from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPixmap
from PySide6.QtWidgets import QApplication, QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.look.grade_badge import paint_grade
from leaktrack.gui.look.theme import GAP_S, RING_PX, Tone, color
from leaktrack.gui.photo_view.drawn_mark import DrawnMark
from leaktrack.gui.photo_view.strokes import chalk, ink, mark_color, ring, stroke
from leaktrack.model.shapes import PointPx
from leaktrack.model.words import word

_SOURCE_PX = 4.0
_LEAST_HEIGHT_PX = 24.0
_EDGE = QPointF(3, 3)
"""Room around a label for its frame."""


class TagItem(QGraphicsItem):
    """Tag, leader and the ring around the source, in screen px.

    Its origin is the place that the leader points at. All of it is drawn once into a picture, so
    that hundreds of tags can be moved about.
    """

    def __init__(self, drawn: DrawnMark, parent: QGraphicsItem) -> None:
        super().__init__(parent)
        self._drawn_mark = drawn
        self._is_selected = False
        self._picture: QPixmap | None = None
        self._label: QPixmap | None = None
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self._font = QFont(QApplication.font())
        self._number_font = QFont(self._font)
        self._number_font.setBold(True)
        anchor = drawn.anchor_px
        self.setVisible(anchor is not None)
        if anchor is not None:
            self.setPos(anchor.x, anchor.y)
        self._height = max(_LEAST_HEIGHT_PX, QFontMetricsF(self._font).height() + GAP_S)
        self.size = self._wanted_size()
        self.box = QRectF(QPointF(16, -16 - self.size.height()), self.size)
        self._bounds = self._wanted_bounds()  # Qt asks for it again and again at each frame

    def set_box(self, box: QRectF) -> None:
        """Put the tag there, in screen px from the place it points at."""
        whole = QRectF(round(box.x()), round(box.y()), box.width(), box.height())
        if whole != self.box:
            self.prepareGeometryChange()
            self.box = whole
            self._bounds = self._wanted_bounds()
            self._picture = None

    def set_selected(self, is_selected: bool) -> None:
        """Show whether its mark is the one in hand."""
        self._is_selected = is_selected
        self._picture = self._label = None
        self.update()

    def boundingRect(self) -> QRectF:
        """Return the frame of tag, leader and ring."""
        return self._bounds

    def _wanted_bounds(self) -> QRectF:
        return self.box.united(QRectF(-4, -4, 8, 8)).adjusted(-5, -5, 5, 5)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 - Qt's signature
        widget: QWidget | None = None,
    ) -> None:
        """Draw the picture; make it first if something has changed."""
        ratio = widget.devicePixelRatioF() if widget else 1.0
        if self._picture is None or self._picture.devicePixelRatio() != ratio:
            self._picture = self._drawn(ratio)
        painter.drawPixmap(self.boundingRect().topLeft(), self._picture)

    def _drawn(self, ratio: float) -> QPixmap:
        picture, painter = _new_picture(self.boundingRect(), ratio)
        stroke(painter, self._leader())
        if self._drawn_mark.source_px is not None:
            ring(painter, PointPx(0, 0), _SOURCE_PX, mark_color(self._drawn_mark.grade))
        if self._label is None or self._label.devicePixelRatio() != ratio:
            self._label = self._drawn_label(ratio)
        painter.drawPixmap(self.box.topLeft() - _EDGE, self._label)
        painter.end()
        return picture

    def _drawn_label(self, ratio: float) -> QPixmap:
        # Texts take most of the time, and zooming moves the tag without changing them.
        frame = QRectF(-_EDGE, self.size + QSizeF(2 * _EDGE.x(), 2 * _EDGE.y()))
        picture, painter = _new_picture(frame, ratio)
        box = QRectF(QPointF(0, 0), self.size)
        self._paint_box(painter, box)
        self._paint_words(painter, box)
        painter.end()
        return picture

    def _paint_box(self, painter: QPainter, box: QRectF) -> None:
        painter.setBrush(chalk())
        if self._is_selected:
            painter.setPen(QPen(color(Tone.ACCENT), 2 * RING_PX))
            painter.drawRoundedRect(box.adjusted(-1, -1, 1, 1), 4, 4)
        painter.setPen(QPen(ink(), 1))
        painter.drawRoundedRect(box, 3, 3)

    def _paint_words(self, painter: QPainter, box: QRectF) -> None:
        left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.setPen(ink())
        painter.setFont(self._number_font)
        rest = box.adjusted(GAP_S + 2, 0, 0, 0)
        if self._number():
            painter.drawText(rest, left, self._number())
            rest.setLeft(rest.left() + self._number_width() + GAP_S)
        if self._drawn_mark.grade is not None:
            badge = QRectF(rest.left(), rest.top() + 3, self._badge_width(), rest.height() - 6)
            paint_grade(painter, badge, self._drawn_mark.grade)
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

    def _number(self) -> str:
        number = self._drawn_mark.number
        return "" if number is None else str(number)

    def _number_width(self) -> float:
        return QFontMetricsF(self._number_font).horizontalAdvance(self._number())

    def _badge_width(self) -> float:
        return 1.35 * (self._height - 6) if self._drawn_mark.grade is not None else 0.0

    def _words(self) -> str:
        return (
            self._drawn_mark.label
            if self._drawn_mark.grade is None
            else word(self._drawn_mark.grade)
        )

    def _wanted_size(self) -> QSizeF:
        metrics = QFontMetricsF(self._font)
        words = metrics.horizontalAdvance(self._words())
        across = self._number_width() + self._badge_width() + words + 5 * GAP_S
        return QSizeF(ceil(across), ceil(self._height))


def _new_picture(frame: QRectF, ratio: float) -> tuple[QPixmap, QPainter]:
    """Return an empty picture for what lies in a frame, and a painter in the frame's places."""
    picture = QPixmap(ceil(frame.width() * ratio), ceil(frame.height() * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(-frame.topLeft())
    return picture, painter
