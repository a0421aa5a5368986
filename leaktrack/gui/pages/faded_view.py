"""A photo with an earlier one laid over it, which can be faded in and out."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPixmap, QTransform
from PySide6.QtWidgets import QGraphicsPixmapItem

from leaktrack.gui.pages.laying_over import LaidOver
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session

_EARLIER_Z = 0.5
_HATCHING_Z = 0.6
"""Above the photo, below lines and marks."""


class FadedView(PhotoView):
    """Shows the later photo; the earlier one lies on it as dense as wanted."""

    swap_wanted = Signal()
    """Show the other photo of the two."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._earlier = QGraphicsPixmapItem()
        self._hatching = QGraphicsPixmapItem()
        for item, z in ((self._earlier, _EARLIER_Z), (self._hatching, _HATCHING_Z)):
            item.setZValue(z)
            item.setTransformationMode(Qt.TransformationMode.SmoothTransformation)
            self.scene().addItem(item)

    @property
    def density(self) -> float:
        """How much of the earlier photo is seen, 0 to 1."""
        return self._earlier.opacity()

    def set_density(self, density: float) -> None:
        """Let the earlier photo be seen so much, 0 to 1."""
        self._earlier.setOpacity(density)
        self._earlier.setVisible(density > 0)

    def lay(self, laid: LaidOver | None, width_px: float) -> None:
        """Lay an earlier photo on the one shown, which is so wide; None takes it away."""
        images = (laid.earlier, laid.hatching) if laid is not None else (None, None)
        for item, image in zip((self._earlier, self._hatching), images, strict=True):
            item.setPixmap(QPixmap() if image is None else QPixmap.fromImage(image))
            if image is not None:
                scale = width_px / image.width()
                # The photo's frame begins half a pixel before the centre of its first one.
                item.setTransform(QTransform(scale, 0, 0, scale, -0.5, -0.5))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Swap the two photos with S; a held key does not flicker by itself."""
        if event.key() == Qt.Key.Key_S and not event.modifiers():
            if not event.isAutoRepeat():
                self.swap_wanted.emit()
            return
        super().keyPressEvent(event)
