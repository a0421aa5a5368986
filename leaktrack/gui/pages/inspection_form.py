"""The facts of one inspection: when, how warm, how clean, in which light."""

from datetime import date
from uuid import UUID

from leaktrack.gui.forms.ask_card import AskCard
from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import Field, TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.forms.times import time_text
from leaktrack.gui.look.panels import CautionBox, EmptyState
from leaktrack.gui.pages.fact_fields import fact_field
from leaktrack.gui.pages.look_warnings import LookWarnings
from leaktrack.gui.pages.readings import inspection_readings
from leaktrack.gui.pages.record_page import RecordPage
from leaktrack.gui.recording import start_inspection
from leaktrack.gui.session import Session
from leaktrack.model.caution import Caution
from leaktrack.model.inspection import Inspection, Reading, TestRun, missing_facts
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Light
from leaktrack.workflows.record_run import amend_inspection, remove_inspection

_OWN_LETTERS = "efhmrvnkyg"
"""Of the menu bar and of this form's buttons."""


class InspectionForm(RecordPage):
    """Records the facts of one inspection; what was not recorded is asked for once.

    It scrolls by itself, so it can stand as a page or as a part of one.
    """

    kind = EntryKind.INSPECTION
    record_type = Inspection

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.form = RecordForm(
            session, lambda before, after: amend_inspection(session.project, before, after)
        )
        self.ask_card = AskCard(self.form, missing_facts, self._question)
        self.run_field = ChoiceField(self.tr("Follows the run"), {}, absent=self.tr("no run"))
        self.readings = inspection_readings(session, self._inspection_id)
        self.cautions = CautionBox()
        self.warnings = LookWarnings(session, with_pressure=True)
        self._build()
        self.set_empty_state(
            EmptyState(
                self.tr("No inspection yet"),
                self.tr(
                    "Make the first one before the engine runs: what is wet or dirty then is no "
                    "leak later."
                ),
                self.tr("Record an inspection"),
                self.start_new,
            )
        )
        self.listen()

    def start_new(self) -> None:
        """Record an inspection made now, and give the keyboard to its title."""
        if start_inspection(self.session) is not None:
            self.form.fields["title"].editor.setFocus()

    def show_record(self, record: Inspection) -> None:
        """Show an inspection."""
        when = time_text(record.looked_at)
        self.heading.setText(record.title or self.tr("Inspection of %s") % when)
        runs = self.session.project.all(TestRun, engine_id=record.engine_id)
        self.run_field.set_choices({run.id: time_text(run.started_at) for run in runs})
        self.form.show_record(record)
        self.ask_card.show_missing()
        readings = self.session.project.all(Reading, inspection_id=record.id)
        self.readings.show_records(readings, record.id)
        self.warnings.show_look(record.id)
        lamp = (Caution.UV_LAMP,) if record.light is Light.UV else ()
        self.cautions.set_cautions((Caution.HOT_OIL, Caution.SOLVENT, *lamp))

    def _build(self) -> None:
        form = self.form
        form.add_group(
            self.tr("The look"),
            {
                "title": TextField(self.tr("Title")),
                "looked_at": TimeField(self.tr("Looked at"), is_required=True),
                "test_run_id": self.run_field,
                "done_by": self._fact("done_by"),
                "is_baseline": FlagField(self.tr("Baseline, made before any run")),
            },
        )
        groups = (
            (self.tr("Run so far"), ("engine_hours", "distance_since_seal_km", "load")),
            (
                self.tr("Warmth and tilt"),
                ("minutes_since_shutdown", "oil_c", "ambient_c", "pitch_deg", "roll_deg"),
            ),
            (self.tr("Oil and pressure"), ("oil_grade", "oil_added_ml", "crankcase_mmh2o")),
            (
                self.tr("Air, cleaning and light"),
                ("airflow", "cleaned_at", "cleaned_how", "light", "has_dye"),
            ),
        )
        for title, names in groups:
            form.add_group(title, {name: self._fact(name) for name in names})
        form.add_group("", {"note": NoteField(self.tr("Note"))}, wide=("note",))
        give_mnemonics(form.fields.values(), _OWN_LETTERS)
        for part in (self.ask_card, self.warnings, form, self.readings, self.cautions):
            self.content.addWidget(part)
        self.remove_button = self.add_removal(self.tr("Remove inspection"), remove_inspection)

    def _fact(self, name: str) -> Field:
        return fact_field(self.session, name, day=self._day)

    def _question(self, name: str) -> Field:
        # The card has a button of its own for "nobody knows".
        return fact_field(self.session, name, day=self._day, can_be_unknown=False)

    def _day(self) -> date:
        day: date = self.record.looked_at.astimezone().date()
        return day

    def _inspection_id(self) -> UUID:
        inspection_id: UUID = self.record.id
        return inspection_id
