"""The photos of the zone in hand, and beside them all zones with what is still to be taken."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from leaktrack.gui.forms.times import SHOWN_TIME
from leaktrack.gui.item_models.photos_model import PhotoRow, PhotosModel
from leaktrack.gui.look.panels import push_button
from leaktrack.gui.look.theme import GAP_S, icon
from leaktrack.gui.pages.shot_list import ShotList
from leaktrack.gui.photo_grid import PhotoGrid
from leaktrack.gui.session import Session
from leaktrack.model.photo import Photo
from leaktrack.workflows.list_shots import Shot

_SIDE_PX = 128


class InspectionSidebar(QWidget):
    """Two lists: photos of this zone, and the zones of the engine."""

    photo_chosen = Signal(object)
    """Show this photo (UUID)."""
    zone_chosen = Signal(object)
    """Take this zone (UUID) in hand."""
    photos_wanted = Signal()
    """Let the person choose photos to add here."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = PhotosModel(session, _SIDE_PX, self)
        self.strip = PhotoGrid(self._model)
        self.shots = ShotList(session)
        self.tabs = QTabWidget()
        self.tabs.addTab(self.strip, self.tr("Photos"))
        self.tabs.addTab(self.shots, self.tr("Zones"))
        self.tabs.setUsesScrollButtons(False)
        self.tabs.setElideMode(Qt.TextElideMode.ElideRight)
        self.add_button = push_button(
            self.tr("&Add photos…"), self.photos_wanted.emit, icon_name="add_photo"
        )
        self.add_button.setEnabled(not session.project.is_read_only)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, GAP_S, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.tabs, 1)
        rows.addWidget(self.add_button)
        self._is_told = False
        self.strip.photo_selected.connect(self._on_photo_selected)
        self.shots.zone_chosen.connect(self.zone_chosen)

    def show_shots(self, shots: Sequence[Shot], zone_id: UUID | None) -> None:
        """Show all zones, and how many of them have no photo yet."""
        self.shots.show_shots(shots, zone_id)
        missing = sum(1 for shot in shots if not shot.photos_taken)
        zones = self.tr("Zones")
        self.tabs.setTabText(1, f"{zones} ({missing})" if missing else zones)
        self.tabs.setTabIcon(1, icon("attention") if missing else QIcon())
        self.tabs.setTabToolTip(1, self.tr("%d zones not photographed yet") % missing)

    def show_photos(self, photos: Sequence[Photo], current: UUID | None) -> None:
        """Show the photos of the zone in hand, with this one as the current one."""
        self._is_told = True
        self._model.set_rows([_row(number, photo) for number, photo in enumerate(photos, 1)])
        self.strip.select_photo(current)
        self._is_told = False

    def _on_photo_selected(self, photo_id: UUID | None) -> None:
        if photo_id is not None and not self._is_told:
            self.photo_chosen.emit(photo_id)


def _row(number: int, photo: Photo) -> PhotoRow:
    # The camera's own clock: where it did not tell its time zone, nothing is to be converted.
    when = photo.taken.local.strftime(SHOWN_TIME) if photo.taken else photo.original_name
    return PhotoRow(photo, str(number), when)
