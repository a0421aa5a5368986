"""A photo with an earlier one laid over it, which can be faded in and out, or with the change."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QPixmap, QTransform
from PySide6.QtWidgets import QGraphicsPixmapItem

from leaktrack.gui.pages.laying_over import LaidOver
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session

_EARLIER_Z = 0.5
_HEAT_Z = 0.55
_HATCHING_Z = 0.6
"""Above the photo, below lines and marks."""


class FadedView(PhotoView):
    """Shows the later photo; the earlier one lies on it as dense as wanted, or the change does."""

    swap_wanted = Signal()
    """Show the other photo of the two."""
    blink_wanted = Signal()
    """Begin or stop to blink."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._laid: LaidOver | None = None
        self._width_px = 1.0
        self._density = 1.0
        self._shows_change = False
        self._earlier = QGraphicsPixmapItem()
        self._heat = QGraphicsPixmapItem()
        self._hatching = QGraphicsPixmapItem()
        for item, z in (
            (self._earlier, _EARLIER_Z),
            (self._heat, _HEAT_Z),
            (self._hatching, _HATCHING_Z),
        ):
            item.setZValue(z)
            item.setTransformationMode(Qt.TransformationMode.SmoothTransformation)
            self.scene().addItem(item)

    @property
    def density(self) -> float:
        """How much of the earlier photo is seen, 0 to 1."""
        return 0.0 if self._shows_change else self._density

    @property
    def shows_change(self) -> bool:
        """Whether the change lies on the photo rather than the earlier photo."""
        return self._shows_change

    def set_density(self, density: float) -> None:
        """Let the earlier photo be seen so much, 0 to 1."""
        self._density = density
        self._earlier.setOpacity(density)
        self._show_layers()

    def show_change(self, is_wanted: bool) -> None:
        """Lay the change on the photo, or the earlier photo."""
        if is_wanted != self._shows_change:
            self._shows_change = is_wanted
            self._draw_hatching()
            self._show_layers()

    def lay(self, laid: LaidOver | None, width_px: float) -> None:
        """Lay an earlier photo on the one shown, which is so wide; None takes it away."""
        self._laid, self._width_px = laid, width_px
        self._draw(self._earlier, laid.earlier if laid is not None else None)
        self._draw(self._heat, laid.heat if laid is not None else None)
        self._draw_hatching()
        self._show_layers()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Swap the two photos with S, blink with B; a held key does not flicker by itself."""
        wanted = {Qt.Key.Key_S: self.swap_wanted, Qt.Key.Key_B: self.blink_wanted}
        signal = wanted.get(Qt.Key(event.key()))
        if signal is not None and not event.modifiers():
            if not event.isAutoRepeat():
                signal.emit()
            return
        super().keyPressEvent(event)

    def _show_layers(self) -> None:
        self._earlier.setVisible(not self._shows_change and self._density > 0)
        self._heat.setVisible(self._shows_change)

    def _draw_hatching(self) -> None:
        laid = self._laid
        if laid is None:
            self._draw(self._hatching, None)
        else:
            self._draw(self._hatching, laid.heat_hatching if self._shows_change else laid.hatching)

    def _draw(self, item: QGraphicsPixmapItem, image: QImage | None) -> None:
        item.setPixmap(QPixmap() if image is None else QPixmap.fromImage(image))
        if image is not None:
            scale = self._width_px / image.width()
            # The photo's frame begins half a pixel before the centre of its first one.
            item.setTransform(QTransform(scale, 0, 0, scale, -0.5, -0.5))
