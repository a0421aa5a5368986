"""The photo itself: draws only what is exposed, from the level that fits the zoom."""

from math import ceil, floor

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from leaktrack.gui.look.theme import Tone, color
from leaktrack.gui.photo_view.levels import Levels

SHARP_FROM = 3.0
"""From this many screen px per picture px on, pixels are shown as squares, to aim at them."""


class PhotoItem(QGraphicsItem):
    """A photo in its own pixels: the centre of the top-left one is at (0, 0).

    The item has its size before it has any picture; until then it is a plain ground.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self._frame = QRectF()
        self._levels: Levels | None = None

    @property
    def levels(self) -> Levels | None:
        """The picture shown, if there is one yet."""
        return self._levels

    def set_size(self, width_px: float, height_px: float) -> None:
        """Become so large, in px of the upright photo, and forget the picture."""
        self.prepareGeometryChange()
        self._frame = QRectF(-0.5, -0.5, width_px, height_px)
        self._levels = None

    def set_levels(self, levels: Levels | None) -> None:
        """Show this picture, stretched to the photo's size."""
        self._levels = levels
        self.update()

    def boundingRect(self) -> QRectF:
        """Return the photo's frame: half a pixel beyond the outer pixels' centres."""
        return self._frame

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw the exposed part."""
        exposed = option.exposedRect.intersected(self._frame)
        if self._levels is None:
            painter.fillRect(exposed, color(Tone.UNSEEN))
            return
        ratio = widget.devicePixelRatioF() if widget else 1.0
        transform = painter.worldTransform()
        screen_px = option.levelOfDetailFromTransform(transform) * ratio
        image = self._levels.for_width(self._frame.width() * screen_px)
        across = image.width() / self._frame.width()
        down = image.height() / self._frame.height()
        source = _whole_pixels(
            QRectF(
                (exposed.x() - self._frame.x()) * across,
                (exposed.y() - self._frame.y()) * down,
                exposed.width() * across,
                exposed.height() * down,
            )
        ).intersected(QRectF(image.rect()))
        target = QRectF(
            source.x() / across + self._frame.x(),
            source.y() / down + self._frame.y(),
            source.width() / across,
            source.height() / down,
        )
        is_smooth = screen_px / across < SHARP_FROM
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, is_smooth)
        painter.drawImage(target, image, source)


def _whole_pixels(rect: QRectF) -> QRectF:
    # One pixel more at each side, or the smoothing would leave seams where strips meet.
    left, top = floor(rect.left()) - 1, floor(rect.top()) - 1
    return QRectF(left, top, ceil(rect.right()) + 1 - left, ceil(rect.bottom()) + 1 - top)
