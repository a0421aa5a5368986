"""Inspect: the photos of one zone at one inspection, and the marks on them."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import EmptyState, Heading, push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.pages.asking_footage import ask_from_marking
from leaktrack.gui.pages.drop_target import DropTarget
from leaktrack.gui.pages.inspection_facts import InspectionFacts
from leaktrack.gui.pages.inspection_sidebar import InspectionSidebar
from leaktrack.gui.pages.marking import Marking
from leaktrack.gui.pages.photo_adder import PhotoAdder
from leaktrack.gui.pages.photo_sources import ask_for_photos
from leaktrack.gui.pages.places import PhotoPlace, inspection_name, place_words
from leaktrack.gui.pages.seen_cautions import cautions_of
from leaktrack.gui.session import Session
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
        self._zone_id: UUID | None = None
        self._guest_id: UUID | None = None
        self._in_hand: tuple[UUID | None, UUID | None] = (None, None)
        self.marking = Marking(session, self)
        self.sidebar = InspectionSidebar(session)
        self.adder = PhotoAdder(session, self)
        self.drop_target = DropTarget(
            self, lambda sources: self.adder.sentence(sources, self.place)
        )
        self._stack = QStackedWidget()
        self._heading = Heading("", 2)
        self.facts = InspectionFacts(session)
        self.facts_button = push_button("", self.show_facts, icon_name="question")
        self.back_button = push_button(
            self.tr("Back to the inspection"), self._on_guest_left, icon_name="previous"
        )
        self._is_stale = True
        self._build_layout()
        self._connect()

    def _build_layout(self) -> None:
        layout = QVBoxLayout(self)  # from outside to inside: a new parent styles all anew
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self._stack)
        head = QHBoxLayout()
        head.addWidget(self._heading, 1)
        head.addWidget(self.back_button)
        head.addWidget(self.facts_button)
        work = QWidget()
        self._stack.addWidget(work)
        rows = QVBoxLayout(work)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        rows.setSpacing(GAP)
        rows.addLayout(head)
        self._split = QSplitter()
        self._split.setChildrenCollapsible(False)
        rows.addWidget(self._split, 1)
        for widget in (self.sidebar, self.marking.photo_pane, self.marking.mark_pane):
            self._split.addWidget(widget)
        self._split.setStretchFactor(1, 1)
        self._split.setSizes([164, 696, 350])
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

    def _connect(self) -> None:
        self._session.records_changed.connect(self._on_records_changed)
        self._session.picked.connect(self._on_picked)
        self._session.photo_wanted.connect(self._on_photo_wanted)
        self.sidebar.photo_chosen.connect(self._on_photo_chosen)
        self.sidebar.zone_chosen.connect(lambda zone_id: self._session.pick(zone_id=zone_id))
        self.sidebar.photos_wanted.connect(self._on_photos_wanted)
        self.sidebar.strip.opened.connect(lambda _id: self.marking.photo_pane.view.setFocus())
        self.drop_target.dropped.connect(self.add_sources)
        ask_from_marking(self._session, self.marking)
        self.adder.ended.connect(self._on_added)
        self.facts.closed.connect(self._on_facts_closed)

    def commands(self) -> Sequence[QAction]:
        """Return the commands on marks, for the menu."""
        marking = self.marking
        pane = marking.photo_pane
        scales = (*pane.scale_actions, marking.bolts.action, pane.footage_action)
        marks = (*marking.commands.actions, *marking.answers.actions)
        return [*marks, marking.mark_pane.card.take, *scales, *marking.directions.actions]

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
        self.adder.add(sources, self.place)

    def reload(self) -> None:
        """Show what the records say now."""
        self._is_stale = False
        self._in_hand = (self._inspection_id, self._session.zone_id)
        guest = self._session.project.find(Photo, self._guest_id) if self._guest_id else None
        inspection = self._inspection
        if self._stack.currentWidget() is self.facts:
            return
        if guest is not None:
            self._show_guest(guest)
        elif inspection is not None:
            self._show_inspection(inspection)
        else:
            self._show_nothing()

    def _show_guest(self, photo: Photo) -> None:
        self._stack.setCurrentIndex(0)
        self.sidebar.hide()
        self.facts_button.hide()
        self.back_button.setVisible(self._inspection_id is not None)
        self._heading.setText(self.tr("Photo"))
        place = place_words(self._session.project, PhotoPlace(photo.zone_id, photo.inspection_id))
        caption = " / ".join(part for part in (place, photo.original_name) if part)
        self.marking.show(photo.id, caption)
        self.marking.mark_pane.show_look(None)

    def _show_inspection(self, inspection: Inspection) -> None:
        shots = shot_list(self._session.project, inspection.id)
        shot = self._shot(shots)
        self._zone_id = shot.zone.id if shot else None
        taken = shot.photos_taken if shot else ()
        if self._photo_id not in taken:
            self._photo_id = next(iter(taken), None)
        self._stack.setCurrentIndex(0)
        self.sidebar.show()
        self.back_button.hide()
        self._show_head(inspection, shot.zone if shot else None)
        self.sidebar.show_shots(shots, self._zone_id)
        photos = [self._session.project.get(Photo, photo_id) for photo_id in taken]
        self.sidebar.show_photos(photos, self._photo_id)
        self._show_photo(shot)
        cautions = cautions_of(inspection, self.marking.marks)
        self.marking.mark_pane.show_look(inspection.id, cautions)

    @property
    def photo_id(self) -> UUID | None:
        """The photo in hand; None where the zone has none yet."""
        return self._guest_id or self._photo_id

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
    def place(self) -> PhotoPlace:
        """Where photos go that are added here."""
        return PhotoPlace(self._zone_id, self._inspection_id)

    def _shot(self, shots: Sequence[Shot]) -> Shot | None:
        in_hand = [shot for shot in shots if shot.zone.id == self._session.zone_id]
        return in_hand[0] if in_hand else next(iter(shots), None)

    def _show_photo(self, shot: Shot | None) -> None:
        if self._photo_id is not None:
            self.marking.show(self._photo_id, "")
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

    def _show_head(self, inspection: Inspection, zone: Zone | None) -> None:
        name = inspection_name(inspection)
        self._heading.setText(f"{zone.name}, {name}" if zone else name)
        missing = len(missing_facts(inspection))
        one, several = self.tr("1 fact missing…"), self.tr("%d facts missing…") % missing
        all_there = self.tr("Facts of this look…")
        self.facts_button.setText(all_there if not missing else one if missing == 1 else several)
        self.facts_button.setAccessibleName(self.facts_button.text())
        self.facts_button.show()

    def _show_nothing(self) -> None:
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
        self._reload_if_shown()

    def _reload_if_shown(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self.reload()

    def _on_facts_closed(self) -> None:
        self._stack.setCurrentIndex(0)
        self.reload()

    def _on_picked(self) -> None:
        if self._in_hand != (self._inspection_id, self._session.zone_id):
            self._guest_id = None
            self._reload_if_shown()

    def _on_photo_chosen(self, photo_id: UUID) -> None:
        self._photo_id = photo_id
        self.marking.show(photo_id, "")

    def _on_photo_wanted(self, photo_id: UUID, at: PointPx | None) -> None:
        photo = self._session.project.find(Photo, photo_id)
        if photo is None:
            return
        if self._stack.currentWidget() is self.facts:
            self._stack.setCurrentIndex(0)
        if photo.inspection_id is not None and photo.zone_id is not None:
            entry = (EntryKind.INSPECTION, photo.inspection_id)
            self._session.pick(entry=entry, zone_id=photo.zone_id)
            self._guest_id, self._photo_id = None, photo_id
        else:
            self._guest_id = photo_id
        self.reload()
        if at is not None:
            self.marking.photo_pane.view.center_on_point(at, _CLOSE_ZOOM)

    def _on_guest_left(self) -> None:
        self._guest_id = None
        self.reload()

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
