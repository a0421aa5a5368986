"""The picture of a player, as large as there is room, and the bar that shows a marked span."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from leaktrack.gui.look.theme import RING_PX, Tone, color

Span = tuple[int | None, int | None]
"""Start and end in milliseconds; None where not marked yet."""


class FrameView(QWidget):
    """Draws one image, its sides in proportion; or a sentence where there is none."""

    def __init__(self) -> None:
        super().__init__()
        self._image = QImage()
        self._notice = ""
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
        self._image, self._notice = image, ""
        if is_other_shape:
            self.updateGeometry()
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
        if self.hasFocus():
            painter.setPen(QPen(color(Tone.ACCENT), RING_PX * 2))
            painter.drawRect(self.rect())
        painter.end()

    def _target(self) -> QRectF:
        size = self._image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        target = QRectF(0, 0, size.width(), size.height())
        target.moveCenter(QRectF(self.rect()).center())
        return target


class SpanBar(QWidget):
    """Shows where in the clip the marked span lies; its ends are told in words elsewhere."""

    def __init__(self) -> None:
        super().__init__()
        self._span: Span = (None, None)
        self._duration_ms = 1
        self.setFixedHeight(8)

    def show_span(self, span: Span, duration_ms: int) -> None:
        """Show a span of a clip of this length."""
        self._span, self._duration_ms = span, max(1, duration_ms)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the clip as a groove and the span as a block in it."""
        painter = QPainter(self)
        groove = QRectF(self.rect()).adjusted(0, 2, 0, -2)
        painter.fillRect(groove, color(Tone.HAIRLINE))
        start, end = self._span
        if start is not None or end is not None:
            left = groove.width() * (start or 0) / self._duration_ms
            right = groove.width() * (self._duration_ms if end is None else end)
            right /= self._duration_ms
            block = QRectF(groove.left() + left, 0, max(3.0, right - left), self.height())
            painter.fillRect(block, color(Tone.ACCENT))
        painter.end()
