"""The fields of a sealing job, with its rounds of tightening and its parts."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.bolts_field import BoltsField
from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.forms.row_list import RowList
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.forms.times import span_words
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP_L
from leaktrack.gui.pages.fact_fields import fact_field, fact_name, unit_for
from leaktrack.gui.pages.ring_box import RingBox
from leaktrack.gui.session import Session
from leaktrack.model.engine import SealKind
from leaktrack.model.record import Edit
from leaktrack.model.sealing_job import Material, Part, PartCondition, SealingJob, TorquePass
from leaktrack.model.words import word
from leaktrack.workflows.record_sealing_job import amend_job, set_parts, set_torque_passes
from leaktrack.workflows.view_sealing_job import JobView

_OWN_LETTERS = "efhmrvnasdkg"
"""Of the menu bar and of the page's buttons."""

_BEAD_KINDS = frozenset({SealKind.LIQUID_GASKET, SealKind.THREAD_SEALANT})


class JobForm(QWidget):
    """Everything about one job that is typed rather than shown by a photo."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._view: JobView | None = None
        self.form = RecordForm(session, self._amend)
        self.material_field = ChoiceField(fact_name("material_id"), {}, can_be_unknown=True)
        self.times_label = TonedLabel("")
        self._build_form()
        self.passes = RowList(
            session,
            self.tr("Tightening"),
            self._pass_fields,
            self._set_passes,
            lambda place, _pass: self.tr("Round %d") % (place + 1),
            new=self._new_pass,
            add_text=self.tr("Add round"),
            empty_text=self.tr("Each round of tightening: torque or angle, order, tool."),
        )
        self.parts = RowList(
            session,
            self.tr("Parts"),
            self._part_fields,
            self._set_parts,
            lambda place, _part: self.tr("Part %d") % (place + 1),
            new=self._new_part,
            add_text=self.tr("Add part"),
            empty_text=self.tr("Bolts, washers, rings: new, or used again?"),
        )
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_L)
        self.ring = RingBox(session)
        for part in (self.form, self.ring, self.passes, self.parts):
            rows.addWidget(part)
        rows.addStretch(1)

    def show_job(self, view: JobView) -> None:
        """Show a job."""
        self._view = view
        materials = self._session.project.all(Material)
        self.material_field.set_choices({each.id: each.name for each in materials})
        self.form.show_record(view.job)
        job = view.job
        has_bead = (job.bead_mm, job.bead_place, job.bead_laid_at) != (None, None, None)
        self._bead_group.setVisible(view.joint.seal_kind in _BEAD_KINDS or has_bead)
        self.times_label.setText(self._times_words(job))
        self.times_label.setVisible(bool(self.times_label.text()))
        self.ring.show_job(view)
        self.passes.show_records(view.torque_passes, job.id)
        self.parts.show_records(view.parts, job.id)

    def _build_form(self) -> None:
        form, tr = self.form, self.tr
        form.add_group(
            tr("The job"),
            {
                "done_at": TimeField(tr("Done"), is_required=True),
                "material_id": self.material_field,
                "done_by": self._fact("done_by"),
                "surface_work": self._fact("surface_work"),
            },
        )
        bead = ("bead_mm", "bead_place", "bead_laid_at")
        self._bead_group = form.add_group(tr("Bead"), {name: self._fact(name) for name in bead})
        rest = ("closed_at", "filled_at", "temperature_c", "humidity_percent")
        form.add_group(tr("Closing and air"), {name: self._fact(name) for name in rest})
        form.add_widget(self.times_label)
        form.add_group("", {"note": NoteField(tr("Note"))}, wide=("note",))
        give_mnemonics(form.fields.values(), _OWN_LETTERS)

    def _fact(self, name: str) -> Field:
        return fact_field(self._session, name, day=self._day)

    def _day(self) -> date:
        assert self._view is not None  # a field is typed into only once a job is shown
        return self._view.job.done_at.astimezone().date()

    def _times_words(self, job: SealingJob) -> str:
        parts = []
        if job.bead_laid_at and job.closed_at:
            waited = span_words(job.closed_at - job.bead_laid_at)
            parts.append(self.tr("From bead to closing: %s.") % waited)
        if job.closed_at and job.filled_at:
            cured = span_words(job.filled_at - job.closed_at)
            parts.append(self.tr("From closing to filling: %s.") % cured)
        return " ".join(parts)

    def _amend(self, before: SealingJob, after: SealingJob) -> Edit:
        return amend_job(self._session.project, before, after)

    def _pass_fields(self) -> dict[str, Field]:
        tr, unit = self.tr, unit_for
        return {
            "torque_nm": NumberField(tr("Torque"), unit(self._session, "torque_nm")),
            "angle_deg": NumberField(tr("Angle"), unit(self._session, "angle_deg")),
            "sequence": TextField(tr("Order")),
            "bolt_numbers": BoltsField(tr("Bolts")),
            "tool": TextField(tr("Tool")),
            "done_at": TimeField(tr("Done"), self._day),
        }

    def _part_fields(self) -> dict[str, Field]:
        conditions = {each: word(each) for each in PartCondition}
        return {
            "name": TextField(self.tr("What")),
            "condition": ChoiceField(self.tr("Condition"), conditions, is_required=True),
            "note": TextField(self.tr("Remark")),
            "is_single_use": FlagField(self.tr("For single use")),
        }

    def _new_pass(self, passes: Sequence[TorquePass]) -> TorquePass:
        assert self._view is not None
        return TorquePass(sealing_job_id=self._view.job.id, number=len(passes) + 1)

    def _new_part(self, parts: Sequence[Part]) -> Part:
        assert self._view is not None
        return Part(sealing_job_id=self._view.job.id, name=self.tr("Part %d") % (len(parts) + 1))

    def _set_passes(self, passes: Sequence[TorquePass]) -> Edit:
        assert self._view is not None
        in_order = [replace(each, number=place) for place, each in enumerate(passes, start=1)]
        return set_torque_passes(self._session.project, self._view.job.id, in_order)

    def _set_parts(self, parts: Sequence[Part]) -> Edit:
        assert self._view is not None
        return set_parts(self._session.project, self._view.job.id, parts)
