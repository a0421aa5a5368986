"""Two photos beside each other that pan and zoom together."""

from uuid import UUID

from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import ElidedLabel
from leaktrack.gui.look.theme import GAP_S, Tone, color
from leaktrack.gui.pages.laying_over import LaidOver
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session


class SideBySide(QWidget):
    """The earlier photo at the left, the later one at the right."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._laid: LaidOver | None = None
        self.earlier = PhotoView(session)
        self.later = PhotoView(session)
        self.earlier.setAccessibleName(self.tr("Earlier photo"))
        self.later.setAccessibleName(self.tr("Later photo"))
        self.earlier_caption = ElidedLabel()
        self.later_caption = ElidedLabel()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_S)
        for view, caption in (
            (self.earlier, self.earlier_caption),
            (self.later, self.later_caption),
        ):
            column = QVBoxLayout()
            column.setSpacing(0)
            column.addWidget(caption)
            column.addWidget(view, 1)
            row.addLayout(column, 1)
        self.earlier.view_changed.connect(
            lambda: self.later.set_view_state(self.earlier.view_state())
        )
        self.later.view_changed.connect(
            lambda: self.earlier.set_view_state(self.later.view_state())
        )

    def show_earlier_photo(self, photo_id: UUID | None) -> None:
        """Show the earlier photo as it was taken."""
        self._laid = None
        self.earlier.show_photo(photo_id)

    def show_earlier_laid(self, laid: LaidOver, width_px: float) -> None:
        """Show the earlier photo as laid onto the later one, which is so wide."""
        if laid is not self._laid and laid.earlier is not None:
            self._laid = laid
            self.earlier.show_image(_on_ground(laid), width_px / laid.earlier.width())
            self.earlier.set_view_state(self.later.view_state())


def _on_ground(laid: LaidOver) -> QImage:
    """Return the laid photo with its stripes, on the ground of what nobody saw."""
    layers = [layer for layer in (laid.earlier, laid.hatching) if layer is not None]
    image = QImage(layers[0].size(), QImage.Format.Format_RGB32)
    image.fill(color(Tone.UNSEEN))
    painter = QPainter(image)
    for layer in layers:
        painter.drawImage(0, 0, layer)
    painter.end()
    return image
