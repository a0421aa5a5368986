"""Choose among the photos that the project has."""

from collections.abc import Collection
from uuid import UUID

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from leaktrack.gui.item_models.photos_model import PhotoRow, PhotosModel
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.photo_grid import THUMBNAIL_PX, PhotoGrid
from leaktrack.gui.session import Session
from leaktrack.model.photo import Photo


class PhotoChooser(QDialog):
    """Shows photos of the project, those of no inspection first: assembly photos are among them.

    Args:
        session: The session.
        title: What the photos are chosen for.
        left_out: Photos that are not offered.
        zone_id: Photos of this zone come before others of their kind.
    """

    def __init__(
        self,
        session: Session,
        title: str,
        left_out: Collection[UUID] = (),
        zone_id: UUID | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.resize(760, 560)
        self.model = PhotosModel(session, THUMBNAIL_PX, self)
        self.grid = PhotoGrid(self.model)
        photos = [each for each in session.project.all(Photo) if each.id not in left_out]
        photos.sort(key=lambda each: (each.inspection_id is not None, each.zone_id != zone_id))
        self.model.set_rows([PhotoRow(each, each.original_name, each.note) for each in photos])
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take_button = self.buttons.addButton(
            self.tr("Take the selected"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.grid.selection_changed.connect(self._show_count)
        self.grid.opened.connect(lambda _photo_id: self.accept())
        rows = QVBoxLayout(self)
        if not photos:
            rows.addWidget(TonedLabel(self.tr("The project has no other photos. Add files.")))
        rows.addWidget(self.grid, 1)
        rows.addWidget(self.buttons)
        self._show_count()

    @classmethod
    def ask(
        cls,
        session: Session,
        title: str,
        left_out: Collection[UUID] = (),
        zone_id: UUID | None = None,
        parent: QWidget | None = None,
    ) -> tuple[UUID, ...]:
        """Return the photos chosen; none if the person changed their mind."""
        dialog = cls(session, title, left_out, zone_id, parent)
        return dialog.grid.selected_ids if dialog.exec() else ()

    def _show_count(self) -> None:
        number = len(self.grid.selected_ids)
        self.take_button.setEnabled(number > 0)
        self.take_button.setText(
            self.tr("Take this photo") if number == 1 else self.tr("Take %d photos") % number
        )
