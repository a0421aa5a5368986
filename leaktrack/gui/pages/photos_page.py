"""All photos of the project: find, add, assign and remove them."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.item_models.photos_model import PhotosModel
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import EmptyState, Heading, push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.added_list import AddedList
from leaktrack.gui.pages.assign_panel import AssignPanel
from leaktrack.gui.pages.drop_target import DropTarget
from leaktrack.gui.pages.photo_adder import PhotoAdder
from leaktrack.gui.pages.photo_filter import PhotoFilter
from leaktrack.gui.pages.photo_sources import ask_for_folder, ask_for_photos, sources_in
from leaktrack.gui.photo_grid import THUMBNAIL_PX, PhotoGrid
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.workflows.add_photos import AddedPhotos, Source
from leaktrack.workflows.ask_footage import ask_for_photo
from leaktrack.workflows.assign_photos import remove_photo


class PhotosPage(QWidget):
    """A grid of all photos, with filters above and the place of the selected ones beside it.

    Photos that are added while the filter shows one zone or inspection belong there.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = PhotosModel(session, THUMBNAIL_PX, self)
        self.grid = PhotoGrid(self.model)
        self.filter = PhotoFilter(session)
        self.assign_panel = AssignPanel(session)
        self.added_list = AddedList()
        self.adder = PhotoAdder(session, self)
        self.drop_target = DropTarget(
            self, lambda sources: self.adder.sentence(sources, self.filter.place)
        )
        self._stack = QStackedWidget()
        self._build_layout()
        self._is_stale = True
        self._connect()

    def _build_layout(self) -> None:
        # Like words in a line: with large text they go on in the next one.
        head = FlowLayout(GAP)
        head.addWidget(Heading(self.tr("Photos")))
        self.add_button = push_button(
            self.tr("&Add photos…"), self.choose_photos, icon_name="add_photo", is_primary=True
        )
        self.folder_button = push_button(
            self.tr("Add fol&der…"), self.choose_folder, icon_name="folder"
        )
        self.paste_button = push_button(self.tr("&Paste"), self.paste, icon_name="paste")
        self.find_button = push_button(
            self.tr("Fi&nd in the footage"), self.find_in_footage, icon_name="video"
        )
        self.find_button.setEnabled(False)
        head.addWidget(self.find_button)
        for button in (self.add_button, self.folder_button, self.paste_button):
            button.setEnabled(not self._session.project.is_read_only)
            head.addWidget(button)
        self._stack.addWidget(self.grid)
        self._stack.addWidget(
            EmptyState(
                self.tr("No photos yet"),
                self.tr("Photos of the engine live here. Drop files or folders, or choose them."),
                self.tr("Choose photos…"),
                self.choose_photos,
            )
        )
        self._stack.addWidget(
            EmptyState(
                self.tr("No photo fits the filter"),
                self.tr("There are photos, but none of this zone and inspection."),
                self.tr("Clear filter"),
                self.filter.clear,
            )
        )
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(self._stack)
        split.addWidget(self.assign_panel)
        split.setStretchFactor(0, 1)
        split.setSizes([900, 260])
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        rows.setSpacing(GAP)
        rows.addLayout(head)
        rows.addWidget(self.filter)
        rows.addWidget(self.added_list)
        rows.addWidget(split, 1)

    def _connect(self) -> None:
        self._session.records_changed.connect(self._on_records_changed)
        self.filter.changed.connect(self.reload)
        self.grid.selection_changed.connect(self._on_selected)
        self.grid.opened.connect(lambda photo_id: self._session.photo_wanted.emit(photo_id, None))
        self.grid.removal_wanted.connect(self.remove)
        self.assign_panel.removal_wanted.connect(lambda: self.remove(self.grid.selected_ids))
        self.adder.ended.connect(self._on_added)
        self.drop_target.dropped.connect(self.add_sources)

    def reload(self) -> None:
        """Show the photos that there are now."""
        self._is_stale = False
        rows = self.filter.rows()
        self.model.set_rows(rows)
        nothing = 2 if self.filter.is_set else 1
        self._stack.setCurrentIndex(0 if rows else nothing)
        self._on_selected()

    def add_sources(self, sources: Sequence[Source]) -> None:
        """Add files, folders or pasted pictures to the place that the filter shows."""
        self.adder.add(sources, self.filter.place)

    def choose_photos(self) -> None:
        """Let the person choose files to add."""
        self.add_sources(ask_for_photos(self))

    def choose_folder(self) -> None:
        """Let the person choose a folder to add."""
        self.add_sources(ask_for_folder(self))

    def paste(self) -> None:
        """Add what the clipboard holds."""
        self.add_sources(sources_in(QApplication.clipboard().mimeData()))

    def find_in_footage(self) -> None:
        """Look for the selected photo in the footage."""
        if len(self.grid.selected_ids) == 1:
            (photo_id,) = self.grid.selected_ids
            self._session.footage_asked.emit(partial(ask_for_photo, photo_id=photo_id))

    def remove(self, photo_ids: Sequence[UUID]) -> None:
        """Take photos out of the records, as one step that can be taken back."""
        try:
            edit = Edit(())
            for photo_id in photo_ids:
                edit = edit.then(remove_photo(self._session.project, photo_id))
        except LeakTrackError as error:
            self._session.report(error)
            return
        number = len(photo_ids)
        label = self.tr("Remove photo") if number == 1 else self.tr("Remove %d photos") % number
        self._session.do(label, edit)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while another page was shown."""
        super().showEvent(event)
        if self._is_stale:
            self.reload()

    def _on_records_changed(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self.reload()

    def _on_selected(self) -> None:
        self.assign_panel.set_photos(self.grid.selected_ids)
        self.find_button.setEnabled(len(self.grid.selected_ids) == 1)

    def _on_added(self, outcome: AddedPhotos) -> None:
        self.added_list.show_outcome(outcome)
        if outcome.added:
            self.grid.select_photo(outcome.added[-1].id)
