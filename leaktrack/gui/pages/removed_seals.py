"""The seals that came out of a joint: how each failed, what was measured, a photo of it."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.row_list import RowList
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.forms.times import now
from leaktrack.gui.look.panels import Card, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.fact_fields import unit_for
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.ring_words import CAUSES, LOOKS, RING_NAMES, SET_ASSUMES, SET_LIMITS, set_lines
from leaktrack.model.words import word
from leaktrack.workflows.examine_seal import (
    removed_seals_of,
    set_figures,
    set_removed_seals,
    with_sizes_of,
)
from leaktrack.workflows.fit_ring import ring_fit_of
from leaktrack.workflows.view_sealing_job import JobView

_MEASURES = ("new_mm", "squeezed_mm", "recovered_mm", "caliper_mm")


class RemovedSeals(QWidget):
    """A list of exams with what each comes to below."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._job_id: UUID | None = None
        self._photos: dict[UUID, str] = {}
        self._said = QWidget()
        self.rows = RowList(
            session,
            self.tr("Removed seals"),
            self._fields,
            self._build_edit,
            lambda place, _seal: self.tr("Seal %d") % (place + 1),
            new=self._new_seal,
            add_text=self.tr("Add removed seal"),
            empty_text=self.tr(
                "When the joint is taken apart: how does the old seal look, and how thick is it? "
                "It often tells the cause better than the leak did."
            ),
        )
        self._card = Card()
        self._card.rows.addWidget(self.rows)
        self._card.rows.addWidget(self._said)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._card)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is said below the list."""
        labels = self._said.findChildren(QLabel)
        return tuple(label.text() for label in labels)

    def show_job(self, view: JobView) -> None:
        """Show the exams of the seals that a job had fitted."""
        self._job_id = view.job.id
        project = self._session.project
        of_job = {one.photo_id for one in view.evidence if one.photo_id is not None}
        seals = removed_seals_of(project, view.job.id)
        of_job |= {seal.photo_id for seal in seals if seal.photo_id is not None}
        photos = {photo.id: photo.original_name for photo in project.all(Photo, id=list(of_job))}
        if photos != self._photos:
            self._photos = photos
            for fields in self.rows.rows:
                field = fields["photo_id"]
                if isinstance(field, ChoiceField):
                    field.set_choices(photos)
        self.rows.show_records(seals, view.job.id)
        self._say(seals)

    def _say(self, seals: Sequence[RemovedSeal]) -> None:
        self._card.rows.removeWidget(self._said)
        self._said.hide()
        self._said.deleteLater()
        self._said = QWidget()
        column = QVBoxLayout(self._said)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        has_set = False
        for place, seal in enumerate(seals, start=1):
            lines = _lines(seal)
            has_set = has_set or any(line.startswith("set ") for line in lines)
            for line in lines:
                column.addWidget(_label(self.tr("Seal %d: %s.") % (place, line)))
            if seal.photo_id is not None:
                button = push_button(
                    self.tr("Show the photo of seal %d") % place,
                    partial(self._session.photo_wanted.emit, seal.photo_id, None),
                    icon_name="photo",
                    is_quiet=True,
                )
                row = QHBoxLayout()
                row.addWidget(button)
                row.addStretch(1)
                column.addLayout(row)
        if has_set:
            column.addWidget(TonedLabel(self.tr(SET_LIMITS)))
            column.addWidget(TonedLabel(self.tr(SET_ASSUMES)))
        self._card.rows.addWidget(self._said)
        self._said.setVisible(bool(seals))

    def _fields(self) -> dict[str, Field]:
        failures = {each: f"{word(each)}: {LOOKS[each]}" for each in SealFailure}
        fields: dict[str, Field] = {
            "failure": ChoiceField(self.tr("How it failed"), failures),
            "second_failure": ChoiceField(self.tr("And also"), failures),
            "place": TextField(self.tr("Where on it")),
            "cause": TextField(self.tr("Cause, in your judgement")),
        }
        for name in _MEASURES:
            label = RING_NAMES[name]
            fields[name] = NumberField(label[0].upper() + label[1:], unit_for(self._session, name))
        for name, label in (
            ("recovered_after_min", self.tr("Measured so long after")),
            ("hardness_shore_a", self.tr("Hardness, Shore A")),
        ):
            fields[name] = NumberField(label, unit_for(self._session, name))
        fields["photo_id"] = ChoiceField(
            self.tr("Photo, of those above"), self._photos, absent=self.tr("no photo")
        )
        fields["examined_at"] = TimeField(self.tr("Examined"), is_required=True)
        fields["examined_by"] = TextField(self.tr("By"))
        fields["note"] = TextField(self.tr("Remark"))
        return fields

    def _new_seal(self, seals: Sequence[RemovedSeal]) -> RemovedSeal:
        del seals
        assert self._job_id is not None  # a row is added only once a job is shown
        fresh = RemovedSeal(sealing_job_id=self._job_id, examined_at=now())
        return with_sizes_of(fresh, ring_fit_of(self._session.project, self._job_id))

    def _build_edit(self, seals: Sequence[RemovedSeal]) -> Edit:
        assert self._job_id is not None
        return set_removed_seals(self._session.project, self._job_id, seals)


def _lines(seal: RemovedSeal) -> tuple[str, ...]:
    """Return what follows from an exam."""
    lines = [
        f"{word(failure)}, most often from: {CAUSES[failure]}"
        for failure in (seal.failure, seal.second_failure)
        if failure is not None
    ]
    try:
        figures = set_figures(seal)
    except LeakTrackError as error:
        return (*lines, str(error).rstrip("."))
    return (*lines, *(set_lines(figures) if figures else ()))


def _label(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label
