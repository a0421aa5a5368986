"""Two photos beside each other that pan and zoom together."""

from uuid import UUID

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.panels import ElidedLabel
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.gui.theme import GAP_S


class SideBySide(QWidget):
    """The earlier photo at the left, the later one at the right."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._laid: QImage | None = None
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

    def show_earlier_laid(self, image: QImage, width_px: float) -> None:
        """Show the earlier photo as laid onto the later one, which is so wide."""
        if image is not self._laid:
            self._laid = image
            self.earlier.show_image(image, width_px / image.width())
            self.earlier.set_view_state(self.later.view_state())
