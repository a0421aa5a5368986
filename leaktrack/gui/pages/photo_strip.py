"""A few photos that belong to one record, with ways to add, look at and take them away."""

import math
from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.item_models.photos_model import PhotoRow, PhotosModel
from leaktrack.gui.look.panels import Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.added_list import AddedList
from leaktrack.gui.pages.drop_target import DropTarget
from leaktrack.gui.pages.photo_sources import ask_for_photos, count_words
from leaktrack.gui.photo_grid import PhotoGrid
from leaktrack.gui.session import Session
from leaktrack.model.photo import Photo
from leaktrack.workflows.add_photos import AddedPhotos, Source
from leaktrack.workflows.project import Progress

_SIDE_PX = 128
_MOST_ROWS = 2

AddPhotos = Callable[[tuple[Source, ...], Progress], AddedPhotos]
"""Takes files into the project for one record; runs off the window's thread."""


class PhotoStrip(QWidget):
    """Photos as a low grid.

    Args:
        session: The session.
        title: Heads the strip.
        add: Takes new files in.
        add_text: On the button for that.
        buttons: More buttons beside it.
        empty_text: Stands where there is no photo.
    """

    removal_wanted = Signal(object)
    """Take these photos (tuple of UUID) away from the record."""

    def __init__(
        self,
        session: Session,
        title: str,
        add: AddPhotos,
        add_text: str,
        *,
        buttons: Sequence[QPushButton] = (),
        empty_text: str = "",
    ) -> None:
        super().__init__()
        self._session = session
        self._title = title
        self._add = add
        self.model = PhotosModel(session, _SIDE_PX, self)
        self.grid = PhotoGrid(self.model)
        self.grid.setAccessibleName(title)
        self.added_list = AddedList()
        self.add_button = push_button(add_text, self.choose_photos, icon_name="add_photo")
        self.empty = TonedLabel(empty_text or self.tr("No photo yet. Drop some here."))
        self.drop_target = DropTarget(self, self._sentence)
        self.drop_target.dropped.connect(self.add_sources)
        self.grid.opened.connect(lambda photo_id: session.photo_wanted.emit(photo_id, None))
        self.grid.removal_wanted.connect(self.removal_wanted)
        for button in (self.add_button, *buttons):
            button.setEnabled(not session.project.is_read_only)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(Heading(title, 3))
        rows.addWidget(self.empty)
        rows.addWidget(self.grid)
        rows.addWidget(self.added_list)
        rows.addWidget(FieldGrid((self.add_button, *buttons), cell_characters=22))
        self._set_height()

    def show_photos(self, photos: Sequence[Photo], notes: Sequence[str] = ()) -> None:
        """Show these photos, each with a few words where there are any."""
        details = notes or [""] * len(photos)
        self.model.set_rows(
            [
                PhotoRow(photo, photo.original_name, detail or photo.note)
                for photo, detail in zip(photos, details, strict=True)
            ]
        )
        self.grid.setVisible(bool(photos))
        self.empty.setVisible(not photos)
        self._set_height()

    def add_sources(self, sources: Sequence[Source]) -> None:
        """Take files, folders or pasted pictures in, in the background."""
        if not sources or self._session.project.is_read_only:
            return
        self._session.background.run_job(
            self._sentence(sources),
            partial(_add, self._add, tuple(sources)),
            then=self._on_added,
            failed=self._session.report,
            owner=self,
            returns_part=True,
        )

    def choose_photos(self) -> None:
        """Let the person choose files to add."""
        self.add_sources(ask_for_photos(self))

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for whole cells when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep room for the rows that the width makes."""
        super().resizeEvent(event)
        self._set_height()

    def _set_height(self) -> None:
        cell: QSize = self.grid.sizeHintForIndex(self.model.index(0))
        if not cell.isValid():
            return
        columns = max(1, (self.grid.width() - GAP) // cell.width())
        needed = math.ceil(len(self.model.rows) / columns)
        policy = Qt.ScrollBarPolicy
        is_high = needed > _MOST_ROWS
        self.grid.setVerticalScrollBarPolicy(
            policy.ScrollBarAsNeeded if is_high else policy.ScrollBarAlwaysOff
        )
        self.grid.setFixedHeight(cell.height() * min(needed, _MOST_ROWS) + 2 * GAP)

    def _sentence(self, sources: Sequence[Source]) -> str:
        return self.tr("Add %s to: %s") % (count_words(sources), self._title)

    def _on_added(self, outcome: AddedPhotos) -> None:
        if not outcome.edit.is_empty:
            self._session.do(self.tr("Add photos"), outcome.edit)
        self.added_list.show_outcome(outcome)
        self.added_list.setVisible(any(each.reason for each in outcome.results))


def _add(add: AddPhotos, sources: tuple[Source, ...], job: Job) -> AddedPhotos:
    return add(sources, job.progress)
