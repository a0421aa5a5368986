"""The page of a test run: how long and how hard the engine ran, and what its oil did."""

from datetime import date
from uuid import UUID

from leaktrack.gui.forms.ask_card import AskCard
from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import Field, NumberField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.forms.times import time_text
from leaktrack.gui.look.panels import CautionBox, EmptyState, push_button
from leaktrack.gui.pages.fact_fields import fact_field, unit_for
from leaktrack.gui.pages.oil_account_box import OilAccountBox
from leaktrack.gui.pages.readings import run_readings
from leaktrack.gui.pages.record_page import RecordPage
from leaktrack.gui.recording import start_inspection, start_run
from leaktrack.gui.session import Session
from leaktrack.model.caution import Caution
from leaktrack.model.inspection import Reading, TestRun, missing_facts
from leaktrack.model.logbook import EntryKind
from leaktrack.workflows.record_run import amend_run, remove_run

_OWN_LETTERS = "efhmrvnkygai"
"""Of the menu bar and of this page's buttons."""


class RunPage(RecordPage):
    """Records one test run; what was not recorded is asked for once."""

    kind = EntryKind.TEST_RUN
    record_type = TestRun

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.form = RecordForm(
            session, lambda before, after: amend_run(session.project, before, after)
        )
        self.ask_card = AskCard(self.form, missing_facts, self._question)
        self.readings = run_readings(session, self._run_id)
        self.account = OilAccountBox(session)
        self._build()
        self.set_empty_state(
            EmptyState(
                self.tr("No test run yet"),
                self.tr("A run tells how long the engine ran, how hot, and what its oil did."),
                self.tr("Record a test run"),
                self.start_new,
            )
        )
        self.listen()

    def start_new(self) -> None:
        """Record a run that starts now, and give the keyboard to its first question."""
        if start_run(self.session) is not None and self.ask_card.field is not None:
            self.ask_card.field.editor.setFocus()

    def show_record(self, record: TestRun) -> None:
        """Show a run."""
        self.heading.setText(self.tr("Test run of %s") % time_text(record.started_at))
        self.form.show_record(record)
        self.ask_card.show_missing()
        readings = self.session.project.all(Reading, test_run_id=record.id)
        self.readings.show_records(readings, record.id)
        self.account.show_run(record.id)

    def _build(self) -> None:
        names = ("minutes", "distance_km", "load", "highest_rpm")
        heat = ("oil_c", "coolant_c", "ambient_c")
        oil = ("oil_grade", "oil_before_ml", "oil_after_ml", "oil_added_ml")
        started = TimeField(self.tr("Started"), is_required=True)
        form = self.form
        form.add_group(
            self.tr("The run"),
            {"started_at": started, **{name: self._fact(name) for name in names}},
        )
        form.add_group(self.tr("Temperatures"), {name: self._fact(name) for name in heat})
        form.add_group(self.tr("Oil"), {name: self._fact(name) for name in oil})
        form.add_group(self.tr("Dipstick, above the lower mark"), self._dipstick_fields())
        form.add_group("", {"note": NoteField(self.tr("Note"))}, wide=("note",))
        give_mnemonics(form.fields.values(), _OWN_LETTERS)
        self.inspect_button = push_button(
            self.tr("Record the &inspection after it"),
            self._start_inspection,
            icon_name="inspection",
        )
        self.inspect_button.setEnabled(not self.session.project.is_read_only)
        self.heading_row.addWidget(self.inspect_button)
        for part in (
            self.ask_card,
            form,
            self.account,
            self.readings,
            CautionBox((Caution.HOT_OIL,)),
        ):
            self.content.addWidget(part)
        self.remove_button = self.add_removal(self.tr("Remove run"), remove_run)

    def _dipstick_fields(self) -> dict[str, Field]:
        labels = {
            "dipstick_before_mm": self.tr("Before the run"),
            "dipstick_before_c": self.tr("Oil temperature then"),
            "dipstick_after_mm": self.tr("After the run"),
            "dipstick_after_c": self.tr("Oil temperature after"),
        }
        return {
            name: NumberField(text, unit_for(self.session, name)) for name, text in labels.items()
        }

    def _fact(self, name: str) -> Field:
        return fact_field(self.session, name, day=self._day)

    def _question(self, name: str) -> Field:
        # The card has a button of its own for "nobody knows".
        return fact_field(self.session, name, day=self._day, can_be_unknown=False)

    def _day(self) -> date:
        day: date = self.record.started_at.astimezone().date()
        return day

    def _run_id(self) -> UUID:
        run_id: UUID = self.record.id
        return run_id

    def _start_inspection(self) -> None:
        start_inspection(self.session, self._run_id())
