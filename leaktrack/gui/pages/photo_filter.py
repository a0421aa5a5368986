"""Which photos a list shows: of one zone, of one inspection, or those without a place."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QCoreApplication, Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QWidget

from leaktrack.gui.item_models.photos_model import PhotoRow
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.choice_box import ChoiceBox
from leaktrack.gui.pages.places import PhotoPlace, inspection_names, zone_names
from leaktrack.gui.session import Session
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import Evidence

_ANY = "any"


class PhotoFilter(QWidget):
    """The filter's controls, and the rows that pass it."""

    changed = Signal()
    """Other photos pass."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.zone_box = ChoiceBox(self.tr("Show zone"), {_ANY: self.tr("all zones")})
        self.inspection_box = ChoiceBox(
            self.tr("Show inspection"), {_ANY: self.tr("all inspections")}
        )
        self.unassigned_box = QCheckBox(self.tr("&Not assigned yet"))
        self._count = TonedLabel()
        self._clear_button = push_button(self.tr("Clear filter"), self.clear, is_quiet=True)
        self._build_layout()
        self.zone_box.chosen.connect(lambda _choice: self.changed.emit())
        self.inspection_box.chosen.connect(lambda _choice: self.changed.emit())
        self.unassigned_box.toggled.connect(lambda _is_on: self.changed.emit())
        session.records_changed.connect(self._reload_names)
        self._reload_names()

    def _build_layout(self) -> None:
        # With large text all of it needs more than one line.
        row = FlowLayout(GAP, self)
        for text, box in (
            (self.tr("Sho&w"), self.zone_box),
            (self.tr("&of"), self.inspection_box),
        ):
            label = QLabel(text)
            label.setBuddy(box)
            pair = QWidget()
            beside = QHBoxLayout(pair)
            beside.setContentsMargins(0, 0, 0, 0)
            beside.setSpacing(GAP)
            beside.addWidget(label)
            beside.addWidget(box)
            row.addWidget(pair)
        self._count.setWordWrap(False)
        for widget in (self.unassigned_box, self._clear_button, self._count):
            row.addWidget(widget)

    @property
    def place(self) -> PhotoPlace:
        """The zone and the inspection shown, which are also where new photos go."""
        return PhotoPlace(self.zone_box.record_id, self.inspection_box.record_id)

    @property
    def is_set(self) -> bool:
        """Whether it holds anything back."""
        return self.place.is_somewhere or self.unassigned_box.isChecked()

    def clear(self) -> None:
        """Let all photos pass."""
        self.zone_box.choose(_ANY)
        self.inspection_box.choose(_ANY)
        self.unassigned_box.setChecked(False)
        self.changed.emit()

    def show_place(self, place: PhotoPlace) -> None:
        """Let the photos of one place pass."""
        self.zone_box.choose(place.zone_id or _ANY)
        self.inspection_box.choose(place.inspection_id or _ANY)
        self.changed.emit()

    def rows(self) -> tuple[PhotoRow, ...]:
        """Return the photos that pass, oldest first, with their places in words."""
        project, engine_id = self._session.project, self._session.engine_id
        photos = project.all(Photo)
        evidence = {item.photo_id for item in project.all(Evidence)}
        shown = [photo for photo in photos if self._passes(photo, photo.id in evidence)]
        shown.sort(key=_age)
        zones = zone_names(project, engine_id)
        inspections = inspection_names(project, engine_id)
        self._count.setText(self.tr("%d of %d photos") % (len(shown), len(photos)))
        self._clear_button.setEnabled(self.is_set)
        return tuple(
            _row(photo, zones, inspections, is_evidence=photo.id in evidence) for photo in shown
        )

    def _passes(self, photo: Photo, is_evidence: bool) -> bool:
        place = self.place
        if place.zone_id is not None and photo.zone_id != place.zone_id:
            return False
        if place.inspection_id is not None and photo.inspection_id != place.inspection_id:
            return False
        has_place = photo.zone_id is not None or photo.check_id is not None or is_evidence
        return not (self.unassigned_box.isChecked() and has_place)

    def _reload_names(self) -> None:
        project, engine_id = self._session.project, self._session.engine_id
        self.zone_box.set_names(zone_names(project, engine_id))
        self.inspection_box.set_names(inspection_names(project, engine_id))


def _age(photo: Photo) -> tuple[bool, str, UUID]:
    # Photos without a date come last, in the order in which they were added.
    taken = photo.taken
    return taken is None, taken.sortable.isoformat() if taken else "", photo.id


def _row(
    photo: Photo,
    zones: dict[UUID, str],
    inspections: dict[UUID, str],
    *,
    is_evidence: bool,
) -> PhotoRow:
    zone = zones.get(photo.zone_id) if photo.zone_id else None
    inspection = inspections.get(photo.inspection_id) if photo.inspection_id else None
    parts: Sequence[str | None] = (inspection, _role(photo, is_evidence=is_evidence))
    detail = ", ".join(part for part in parts if part)
    title = zone or photo.original_name
    translate = QCoreApplication.translate
    if detail or zone:
        return PhotoRow(photo, title, detail or translate("photo_filter", "no inspection"))
    return PhotoRow(photo, title, translate("photo_filter", "not assigned yet"), True)


def _role(photo: Photo, *, is_evidence: bool) -> str:
    translate = QCoreApplication.translate
    if photo.check_id is not None:
        return translate("photo_filter", "of a check")
    return translate("photo_filter", "of a sealing job") if is_evidence else ""
