"""Which zones this inspection has photographed, and how each was framed the last time."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.theme import Tone, color
from leaktrack.gui.session import Session
from leaktrack.workflows.list_shots import Shot

_SIDE_PX = 72
_ZONE_ROLE = Qt.ItemDataRole.UserRole
_PHOTO_ROLE = Qt.ItemDataRole.UserRole + 1


class ShotList(QListWidget):
    """One row per zone: its last photo to frame the next one by, and how many there are now."""

    zone_chosen = Signal(object)
    """Take this zone (UUID) in hand."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._thumbnails = Thumbnails(session, _SIDE_PX, self)
        self._thumbnails.ready.connect(self._on_thumbnail_ready)
        self.setIconSize(QSize(_SIDE_PX, _SIDE_PX * 3 // 4))
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.setAccessibleName(self.tr("Zones to photograph"))
        self.itemClicked.connect(self._on_chosen)
        self.itemActivated.connect(self._on_chosen)

    @property
    def lines(self) -> tuple[str, ...]:
        """The texts of the rows."""
        return tuple(self.item(row).text() for row in range(self.count()))

    def show_shots(self, shots: Sequence[Shot], zone_id: UUID | None) -> None:
        """Show these zones, with the one in hand as the current row."""
        self.clear()
        for shot in shots:
            item = QListWidgetItem(f"{shot.zone.name}\n{self._state(shot)}")
            item.setData(_ZONE_ROLE, shot.zone.id)
            item.setData(_PHOTO_ROLE, shot.last_photo_id)
            if not shot.photos_taken:
                item.setForeground(color(Tone.ATTENTION))
            item.setToolTip(self._tip(shot))
            item.setIcon(self._picture(shot.last_photo_id))
            self.addItem(item)
            if shot.zone.id == zone_id:
                self.setCurrentItem(item)

    def _state(self, shot: Shot) -> str:
        taken = len(shot.photos_taken)
        if taken == 0:
            return self.tr("not photographed yet")
        return self.tr("1 photo") if taken == 1 else self.tr("%d photos") % taken

    def _tip(self, shot: Shot) -> str:
        if shot.last_photo_id is None:
            return self.tr("No earlier photo to frame it by")
        return self.tr("Frame it as in this photo, so that the two can be laid over each other")

    def _picture(self, photo_id: UUID | None) -> QIcon:
        self._thumbnails.set_device_ratio(self.devicePixelRatioF())
        picture = self._thumbnails.get(photo_id) if photo_id is not None else None
        if picture is None:
            picture = QPixmap(self.iconSize())
            picture.fill(color(Tone.UNSEEN))
        shown = QIcon(picture)
        shown.addPixmap(picture, QIcon.Mode.Selected)  # Qt would tint the photo otherwise
        return shown

    def _on_thumbnail_ready(self, photo_id: UUID) -> None:
        for row in range(self.count()):
            if self.item(row).data(_PHOTO_ROLE) == photo_id:
                self.item(row).setIcon(self._picture(photo_id))

    def _on_chosen(self, item: QListWidgetItem) -> None:
        self.zone_chosen.emit(item.data(_ZONE_ROLE))
