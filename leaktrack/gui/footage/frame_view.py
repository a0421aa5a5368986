"""The picture of a player, as large as there is room."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from leaktrack.gui.look.theme import RING_PX, Tone, color, mark_pen_pair
from leaktrack.model.shapes import PointPx

_RING_RADIUS_PX = 26.0

Span = tuple[int | None, int | None]
"""Start and end in milliseconds; None where not marked yet."""


class FrameView(QWidget):
    """Draws one image, its sides in proportion; or a sentence where there is none."""

    def __init__(self) -> None:
        super().__init__()
        self._image = QImage()
        self._notice = ""
        self._ring: PointPx | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setMinimumSize(240, 135)

    @property
    def image(self) -> QImage:
        """The image shown."""
        return self._image

    @property
    def notice(self) -> str:
        """What is said in place of an image."""
        return self._notice

    def show_image(self, image: QImage) -> None:
        """Show an image."""
        is_other_shape = image.size() != self._image.size()
        self._image, self._notice, self._ring = image, "", None
        if is_other_shape:
            self.updateGeometry()
        self.update()

    @property
    def ring(self) -> PointPx | None:
        """Around which place of the image there is a ring."""
        return self._ring

    def show_ring(self, place: PointPx | None) -> None:
        """Draw a ring around a place of the image, in its pixels; None: around none."""
        self._ring = place
        self.update()

    def show_notice(self, text: str) -> None:
        """Say something in place of an image."""
        self._image, self._notice = QImage(), text
        self.update()

    def sizeHint(self) -> QSize:
        """Return a size that shows enough to judge a bead by."""
        return QSize(480, self.heightForWidth(480))

    def heightForWidth(self, width: int) -> int:
        """Return the height at which nothing is left beside the image."""
        if self._image.isNull():
            return width * 9 // 16
        return width * self._image.height() // self._image.width()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the image, or the sentence."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), color(Tone.UNSEEN))
        if self._image.isNull():
            painter.setPen(color(Tone.TEXT))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(12, 12, -12, -12), flags, self._notice)
        else:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(self._target(), self._image)
            self._paint_ring(painter)
        if self.hasFocus():
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX * 2))
            painter.drawRect(self.rect())
        painter.end()

    def _paint_ring(self, painter: QPainter) -> None:
        if self._ring is None:
            return
        target = self._target()
        scale = target.width() / self._image.width()
        centre = target.topLeft() + QPointF(self._ring.x + 0.5, self._ring.y + 0.5) * scale
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for pen in mark_pen_pair(width_px=2.0):
            painter.setPen(pen)
            painter.drawEllipse(centre, _RING_RADIUS_PX, _RING_RADIUS_PX)

    def _target(self) -> QRectF:
        size = self._image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        target = QRectF(0, 0, size.width(), size.height())
        target.moveCenter(QRectF(self.rect()).center())
        return target
