"""Say which zone the selected photos show, which inspection they belong to, in which light."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QWidget

from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.pages.choice_box import Choice, ChoiceBox
from leaktrack.gui.pages.places import inspection_name, inspection_names, zone_names
from leaktrack.gui.session import Session
from leaktrack.model.engine import Zone
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Light, Photo
from leaktrack.model.words import word
from leaktrack.workflows.assign_photos import Keep, assign_photos, suggest_inspection
from leaktrack.workflows.suggest_zone import ZoneSuggestion, suggest_zone

_KEEP, _NONE = "keep", "none"


class AssignPanel(Card):
    """Assigns photos to a zone and an inspection; says what the program would guess."""

    removal_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("true", parent)
        self._session = session
        self._photo_ids: tuple[UUID, ...] = ()
        self._heading = Heading(self.tr("Nothing selected"), 2)
        as_it_is = {_KEEP: self.tr("as it is"), _NONE: self.tr("none")}
        self.zone_box = ChoiceBox(self.tr("Zone that the photos show"), as_it_is)
        self.inspection_box = ChoiceBox(self.tr("Inspection of the photos"), as_it_is)
        lights = {light.value: _first_upper(word(light)) for light in Light}
        as_it_is[_NONE] = self.tr("not recorded")
        self.light_box = ChoiceBox(self.tr("Light of the photos"), {**as_it_is, **lights})
        self._suggestion = TonedLabel("")
        self._date_note = TonedLabel("")
        self.take_button = push_button(self.tr("Take this zone"), self._on_take)
        self.assign_button = push_button(self.tr("Assign"), self.assign, is_primary=True)
        self.remove_button = push_button(
            self.tr("Remove"), self.removal_wanted.emit, icon_name="remove"
        )
        self._suggested_zone: UUID | None = None
        self._build_layout()
        self._say_suggestion([], None)
        self._say_date("")
        session.records_changed.connect(self.reload)
        self.reload()

    def _build_layout(self) -> None:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapAllRows)
        zone_label, inspection_label = QLabel(self.tr("&Zone")), QLabel(self.tr("&Inspection"))
        zone_label.setBuddy(self.zone_box)
        inspection_label.setBuddy(self.inspection_box)
        form.addRow(zone_label, self.zone_box)
        form.addRow(inspection_label, self.inspection_box)
        light_label = QLabel(self.tr("&Light"))
        light_label.setBuddy(self.light_box)
        form.addRow(light_label, self.light_box)
        buttons = QHBoxLayout()
        buttons.addWidget(self.assign_button)
        buttons.addStretch(1)
        buttons.addWidget(self.remove_button)
        self.rows.addWidget(self._heading)
        self.rows.addLayout(form)
        self.rows.addWidget(self._date_note)
        self.rows.addWidget(self._suggestion)
        self.rows.addWidget(self.take_button)
        self.rows.addLayout(buttons)
        self.rows.addStretch(1)

    def set_photos(self, photo_ids: Sequence[UUID]) -> None:
        """Take these photos in hand."""
        if tuple(photo_ids) == self._photo_ids:
            return
        self._photo_ids = tuple(photo_ids)
        self.zone_box.choose(_KEEP)
        self.inspection_box.choose(_KEEP)
        self.light_box.choose(_KEEP)
        self._show_count()
        self._suggest()

    def reload(self) -> None:
        """Offer the zones and inspections that there are now."""
        project, engine_id = self._session.project, self._session.engine_id
        self.zone_box.set_names(zone_names(project, engine_id))
        self.inspection_box.set_names(inspection_names(project, engine_id))
        self._photo_ids = tuple(
            photo_id for photo_id in self._photo_ids if project.find(Photo, photo_id)
        )
        self._show_count()
        if self.inspection_box.choice == _KEEP:  # an inspection may have come since
            self._suggest_inspection()

    def assign(self) -> None:
        """Put the photos where the boxes say, as one step."""
        try:
            edit = assign_photos(
                self._session.project,
                self._photo_ids,
                _wanted(self.zone_box.choice),
                _wanted(self.inspection_box.choice),
                self._light_wanted,
            )
        except LeakTrackError as error:
            self._session.report(error)
            return
        if edit.is_empty:
            return
        number = len(self._photo_ids)
        label = self.tr("Assign photo") if number == 1 else self.tr("Assign %d photos") % number
        if self.zone_box.choice == _KEEP and self.inspection_box.choice == _KEEP:
            label = self.tr("Say in which light")
        self._session.do(label, edit)

    @property
    def _light_wanted(self) -> Light | Keep | None:
        choice = self.light_box.choice
        if choice == _KEEP:
            return Keep.AS_IT_IS
        return None if choice == _NONE else Light(choice)

    def _show_light(self) -> None:
        """Say in which light the photos in hand were taken as far as is recorded."""
        photos = [self._session.project.find(Photo, each) for each in self._photo_ids]
        lights = {photo.light for photo in photos if photo is not None}
        text = self.tr("as it is")
        if len(lights) == 1:
            light = lights.pop()
            text += f": {word(light) if light is not None else self.tr('not recorded')}"
        elif lights:
            text += f": {self.tr('several')}"
        self.light_box.setItemText(0, text)

    def _show_count(self) -> None:
        number = len(self._photo_ids)
        one = self.tr("1 photo selected")
        several = self.tr("%d photos selected") % number
        none = self.tr("Nothing selected")
        self._heading.setText(none if number == 0 else one if number == 1 else several)
        self._show_light()
        boxes = (self.zone_box, self.inspection_box, self.light_box)
        for widget in (*boxes, self.assign_button, self.remove_button):
            widget.setEnabled(number > 0 and not self._session.project.is_read_only)

    def _suggest(self) -> None:
        self._say_suggestion([], None)
        self._suggest_inspection()
        photo = self._only_photo
        if photo is not None and photo.zone_id is None:
            self._session.background.run(
                partial(suggest_zone, self._session.project, photo.id),
                then=partial(self._on_suggested, photo.id),
                owner=self,
            )

    def _suggest_inspection(self) -> None:
        self._say_date("")
        photo = self._only_photo
        if photo is None or photo.inspection_id is not None:
            return
        inspection = suggest_inspection(self._session.project, photo)
        self.inspection_box.choose(inspection.id if inspection else _KEEP)
        words = self.tr("By its date, it belongs to %s")
        self._say_date(words % inspection_name(inspection) if inspection else "")

    @property
    def _only_photo(self) -> Photo | None:
        if len(self._photo_ids) != 1:
            return None
        return self._session.project.find(Photo, self._photo_ids[0])

    def _on_suggested(self, photo_id: UUID, suggestions: Sequence[ZoneSuggestion]) -> None:
        if self._photo_ids == (photo_id,) and suggestions:
            self._say_suggestion(suggestions, suggestions[0].zone_id)

    def _say_suggestion(self, suggestions: Sequence[ZoneSuggestion], zone_id: UUID | None) -> None:
        self._suggested_zone = zone_id
        zone = self._session.project.find(Zone, zone_id) if zone_id is not None else None
        text = self.tr("Looks like %s") % zone.name if zone and suggestions else ""
        self._suggestion.setText(text)
        self._suggestion.setVisible(bool(text))
        self.take_button.setVisible(bool(text))

    def _say_date(self, text: str) -> None:
        self._date_note.setText(text)
        self._date_note.setVisible(bool(text))

    def _on_take(self) -> None:
        self.zone_box.choose(self._suggested_zone)
        self.assign()


def _first_upper(text: str) -> str:
    # Answers stand among names, which begin so; "UV lamp" stays as it is.
    return text[:1].upper() + text[1:]


def _wanted(choice: Choice) -> UUID | Keep | None:
    if choice == _KEEP:
        return Keep.AS_IT_IS
    return choice if isinstance(choice, UUID) else None
