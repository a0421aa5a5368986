"""Inspect: the photos of one zone at one inspection, and the marks on them."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from leaktrack.gui.pages.drop_target import DropTarget
from leaktrack.gui.pages.inspection_facts import InspectionFacts
from leaktrack.gui.pages.inspection_sidebar import InspectionSidebar
from leaktrack.gui.pages.marking import Marking
from leaktrack.gui.pages.photo_adder import PhotoAdder
from leaktrack.gui.pages.photo_sources import ask_for_photos
from leaktrack.gui.pages.places import PhotoPlace, inspection_name, place_words
from leaktrack.gui.pages.seen_cautions import cautions_of
from leaktrack.gui.panels import EmptyState, Heading, push_button
from leaktrack.gui.session import Session
from leaktrack.gui.theme import GAP, GAP_L
from leaktrack.model.engine import Zone
from leaktrack.model.inspection import Inspection, missing_facts
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.add_photos import AddedPhotos, Outcome, Source
from leaktrack.workflows.list_shots import Shot, shot_list

_CLOSE_ZOOM = 3.0
"""Zoom at which a place that somebody asked for is shown; 1 fits the photo."""


class InspectPage(QWidget):
    """One inspection and one zone: photos at the left, the photo in hand, its marks at the right.

    A photo without an inspection, such as one taken during assembly, can be shown here too.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._photo_id: UUID | None = None
        self._in_hand: tuple[UUID | None, UUID | None] = (None, None)
        self.marking = Marking(session, self)
        self.sidebar = InspectionSidebar(session)
        self.adder = PhotoAdder(session, self)
        self.drop_target = DropTarget(
            self, lambda sources: self.adder.sentence(sources, self._place)
        )
        self._stack = QStackedWidget()
        self._heading = Heading("", 2)
        self.facts = InspectionFacts(session)
        self.facts_button = push_button("", self.show_facts, icon_name="question")
        self._is_stale = True
        self._build_layout()
        self._connect()

    def _build_layout(self) -> None:
        self._split = QSplitter()
        self._split.setChildrenCollapsible(False)
        for widget in (self.sidebar, self.marking.photo_pane, self.marking.mark_pane):
            self._split.addWidget(widget)
        self._split.setStretchFactor(1, 1)
        self._split.setSizes([164, 696, 350])
        head = QHBoxLayout()
        head.addWidget(self._heading, 1)
        head.addWidget(self.facts_button)
        work = QWidget()
        rows = QVBoxLayout(work)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        rows.setSpacing(GAP)
        rows.addLayout(head)
        rows.addWidget(self._split, 1)
        self._stack.addWidget(work)
        self._stack.addWidget(
            EmptyState(
                self.tr("No inspection in hand"),
                self.tr("An inspection is one look at the engine. Pick one in the logbook."),
                self.tr("Show the newest inspection"),
                self.show_newest,
            )
        )
        self._stack.addWidget(
            EmptyState(
                self.tr("No inspections yet"),
                self.tr("An inspection is one look at the engine, with photos of its zones."),
                self.tr("Record the first inspection"),
                self.start_new,
            )
        )
        self._stack.addWidget(self.facts)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)

    def _connect(self) -> None:
        self._session.records_changed.connect(self._on_records_changed)
        self._session.picked.connect(self._on_picked)
        self._session.photo_wanted.connect(self._on_photo_wanted)
        self.sidebar.photo_chosen.connect(self._on_photo_chosen)
        self.sidebar.zone_chosen.connect(lambda zone_id: self._session.pick(zone_id=zone_id))
        self.sidebar.photos_wanted.connect(self._on_photos_wanted)
        self.sidebar.strip.opened.connect(lambda _id: self.marking.photo_pane.view.setFocus())
        self.drop_target.dropped.connect(self.add_sources)
        self.adder.ended.connect(self._on_added)
        self.facts.closed.connect(self._on_facts_closed)

    def commands(self) -> Sequence[QAction]:
        """Return the commands on marks, for the menu."""
        return [*self.marking.commands.actions, self.marking.photo_pane.scale_action]

    def start_new(self) -> None:
        """Record a new inspection and show its form."""
        self.facts.form.start_new()
        self.show_facts()

    def show_facts(self) -> None:
        """Show the form of the inspection in hand in place of its photos."""
        self.facts.form.show()
        self._stack.setCurrentWidget(self.facts)

    def add_sources(self, sources: Sequence[Source]) -> None:
        """Add files, folders or pasted pictures to the inspection and zone in hand."""
        self.adder.add(sources, self._place)

    def reload(self) -> None:
        """Show what the records say now."""
        self._is_stale = False
        self._in_hand = (self._inspection_id, self._session.zone_id)
        inspection = self._inspection
        shots = shot_list(self._session.project, inspection.id) if inspection else ()
        shot = self._shot(shots)
        self._choose_photo(shot)
        if inspection is None and self._photo_id is None:
            self._show_nothing()
            return
        if self._stack.currentWidget() is not self.facts:
            self._stack.setCurrentIndex(0)
        self.sidebar.setVisible(inspection is not None)
        self._show_head(inspection)
        self.sidebar.show_shots(shots, shot.zone.id if shot else None)
        taken = shot.photos_taken if shot else ()
        photos = [self._session.project.get(Photo, photo_id) for photo_id in taken]
        self.sidebar.show_photos(photos, self._photo_id)
        self._show_photo(shot)
        cautions = cautions_of(inspection, self.marking.marks) if inspection else ()
        self.marking.mark_pane.show_cautions(cautions)

    @property
    def photo_id(self) -> UUID | None:
        """The photo shown."""
        return self._photo_id

    @property
    def _inspection_id(self) -> UUID | None:
        entry = self._session.entry
        return entry[1] if entry is not None and entry[0] is EntryKind.INSPECTION else None

    @property
    def _inspection(self) -> Inspection | None:
        inspection_id = self._inspection_id
        if inspection_id is None:
            return None
        return self._session.project.find(Inspection, inspection_id)

    @property
    def _place(self) -> PhotoPlace:
        return PhotoPlace(self._session.zone_id, self._inspection_id)

    def _shot(self, shots: Sequence[Shot]) -> Shot | None:
        in_hand = [shot for shot in shots if shot.zone.id == self._session.zone_id]
        return in_hand[0] if in_hand else next(iter(shots), None)

    def _choose_photo(self, shot: Shot | None) -> None:
        """Keep the photo in hand where it still belongs here, else take the zone's first."""
        project = self._session.project
        photo = project.find(Photo, self._photo_id) if self._photo_id is not None else None
        is_alone = photo is not None and photo.inspection_id is None and shot is None
        if is_alone or (photo is not None and shot and photo.id in shot.photos_taken):
            return
        taken = shot.photos_taken if shot else ()
        self._photo_id = taken[0] if taken else None

    def _show_photo(self, shot: Shot | None) -> None:
        if self._photo_id is not None:
            self.marking.show(self._photo_id, self._caption(self._photo_id))
        elif shot is not None and shot.last_photo_id is not None:
            text = self.tr(
                "%s is not photographed yet at this inspection. "
                "This is the last photo of it: frame the new one alike."
            )
            self.marking.show_reference(shot.last_photo_id, text % shot.zone.name)
        else:
            name = shot.zone.name if shot else self.tr("This zone")
            text = self.tr("%s is not photographed yet. Drop photos here, or choose Add photos.")
            self.marking.show_none(text % name)

    def _caption(self, photo_id: UUID) -> str:
        photo = self._session.project.get(Photo, photo_id)
        if photo.inspection_id is not None:
            return ""
        place = place_words(self._session.project, PhotoPlace(photo.zone_id))
        return " / ".join(part for part in (place, photo.original_name) if part)

    def _show_head(self, inspection: Inspection | None) -> None:
        zone_id = self._session.zone_id
        zone = self._session.project.find(Zone, zone_id) if zone_id is not None else None
        parts = [zone.name if zone else "", inspection_name(inspection) if inspection else ""]
        self._heading.setText(", ".join(part for part in parts if part) or self.tr("Photo"))
        missing = len(missing_facts(inspection)) if inspection else 0
        one, several = self.tr("1 fact missing…"), self.tr("%d facts missing…") % missing
        all_there = self.tr("Facts of this look…")
        self.facts_button.setText(all_there if not missing else one if missing == 1 else several)
        self.facts_button.setAccessibleName(self.facts_button.text())
        self.facts_button.setVisible(inspection is not None)

    def _show_nothing(self) -> None:
        if self._stack.currentWidget() is self.facts:
            return
        engine_id = self._session.engine_id
        has_any = bool(self._session.project.all(Inspection, engine_id=engine_id))
        self._stack.setCurrentIndex(1 if has_any else 2)

    def show_newest(self) -> None:
        """Take the newest inspection in hand."""
        engine_id = self._session.engine_id
        inspections = self._session.project.all(Inspection, engine_id=engine_id)
        newest = max(inspections, key=lambda each: each.looked_at)
        self._session.pick(entry=(EntryKind.INSPECTION, newest.id))

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while another page was shown."""
        super().showEvent(event)
        if self._is_stale:
            self.reload()

    def _on_records_changed(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self.reload()

    def _on_facts_closed(self) -> None:
        self._stack.setCurrentIndex(0)
        self.reload()

    def _on_picked(self) -> None:
        if not self.isVisible():
            self._is_stale = True
        elif self._in_hand != (self._inspection_id, self._session.zone_id):
            self.reload()

    def _on_photo_chosen(self, photo_id: UUID) -> None:
        self._photo_id = photo_id
        self.marking.show(photo_id, self._caption(photo_id))

    def _on_photo_wanted(self, photo_id: UUID, at: PointPx | None) -> None:
        photo = self._session.project.find(Photo, photo_id)
        if photo is None:
            return
        self._photo_id = photo_id
        if photo.inspection_id is not None:
            entry = (EntryKind.INSPECTION, photo.inspection_id)
            self._session.pick(entry=entry, zone_id=photo.zone_id)
            self._photo_id = photo_id
            self.reload()
        else:
            self._stack.setCurrentIndex(0)
            self.sidebar.hide()
            self._heading.setText(self.tr("Photo"))
            self.facts_button.hide()
            self.marking.show(photo_id, self._caption(photo_id))
        if at is not None:
            self.marking.photo_pane.view.center_on_point(at, _CLOSE_ZOOM)

    def _on_photos_wanted(self) -> None:
        self.add_sources(ask_for_photos(self))

    def _on_added(self, outcome: AddedPhotos) -> None:
        if outcome.added:
            self._photo_id = outcome.added[0].id
            self.reload()
        left_out = [each for each in outcome.results if each.outcome is not Outcome.ADDED]
        if left_out:
            text = "\n".join(each.reason for each in left_out)
            self.marking.photo_pane.set_warnings((text,))
