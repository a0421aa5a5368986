"""The photos of a sealing job to choose from where several may show its bead."""

from collections.abc import Collection, Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP_S
from leaktrack.model.photo import Photo


class BeadPhotos(QWidget):
    """A button for each photo; the one in hand is marked."""

    chosen = Signal(object)
    """Take the photo of this id in hand."""

    def __init__(self) -> None:
        super().__init__()
        self._flow = FlowLayout(GAP_S, self)

    def show_photos(self, photos: Sequence[Photo], kept: Collection[UUID]) -> None:
        """Show photos; those whose bead's measurement is kept have a tick."""
        while (item := self._flow.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.hide()
                old.deleteLater()
        for photo in photos:
            button = push_button(
                photo.original_name,
                partial(self.chosen.emit, photo.id),
                icon_name="confirm" if photo.id in kept else "photo",
            )
            button.setCheckable(True)
            # The one in hand is bold, and wider.
            button.setMinimumWidth(round(1.15 * button.sizeHint().width()))
            button.setProperty("photo_id", photo.id)
            self._flow.addWidget(button)
        self.setVisible(len(photos) > 1)

    def mark(self, photo_id: UUID | None) -> None:
        """Mark the photo in hand."""
        for button in self.findChildren(QWidget):
            if button.property("photo_id") is not None:
                button.setProperty("checked", button.property("photo_id") == photo_id)
