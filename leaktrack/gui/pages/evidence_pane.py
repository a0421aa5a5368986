"""A photo of a sealing job or of a look, large, in the place of the causes; and the way back."""

from collections.abc import Callable
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP_S
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.engine import JointLine
from leaktrack.model.shapes import PointPx

PLACE_ZOOM = 3.0
"""At which a place in a photo is shown; 1 fits the photo."""


class EvidencePane(QWidget):
    """The photo with what it shows, in words."""

    def __init__(self, session: Session, on_back: Callable[[], object]) -> None:
        super().__init__()
        self._session = session
        self.view = PhotoView(session)
        self.view.setAccessibleName(self.tr("Evidence"))
        self.caption = TonedLabel()
        self.back_button = push_button(
            self.tr("&Back to the causes"), on_back, icon_name="previous"
        )
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_S, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.back_button)
        rows.addWidget(self.view, 1)
        rows.addWidget(self.caption)

    def show_photo(self, photo_id: UUID, words: str, at_px: PointPx | None = None) -> None:
        """Show a photo with its joint lines, if asked for at some place; the keyboard follows."""
        self.caption.setText(words)
        self.view.show_photo(photo_id)
        self.view.set_overlays((), self._session.project.all(JointLine, photo_id=photo_id))
        if at_px is not None:
            self.view.center_on_point(at_px, PLACE_ZOOM)
        self.back_button.setFocus(Qt.FocusReason.OtherFocusReason)
