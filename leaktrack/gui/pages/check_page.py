"""The page of a check before the teardown: what was looked at, what came out, what follows."""

from dataclasses import replace

from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.forms.time_field import TimeField
from leaktrack.gui.look.panels import EmptyState, TonedLabel
from leaktrack.gui.pages.drain_box import DrainBox
from leaktrack.gui.pages.photo_strip import PhotoStrip
from leaktrack.gui.pages.record_page import RecordPage
from leaktrack.gui.recording import start_check
from leaktrack.gui.session import Session
from leaktrack.model.inspection import Check, CheckKind, CheckResult
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.model.words import word
from leaktrack.workflows.add_photos import AddedPhotos, Source, add_photos
from leaktrack.workflows.find_engine import joints_of_engine
from leaktrack.workflows.project import Progress
from leaktrack.workflows.record_run import amend_check, remove_check

_OWN_LETTERS = "efhmrvdpk"
"""Of the menu bar and of this page's buttons."""


class CheckPage(RecordPage):
    """Records one check."""

    kind = EntryKind.CHECK
    record_type = Check

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.form = RecordForm(session, self._amend)
        self.joint_field = ChoiceField(self.tr("Joint it is about"), {}, absent=self.tr("no joint"))
        self.photos = PhotoStrip(
            session, self.tr("Photos of the check"), self._add_photos, self.tr("A&dd photos…")
        )
        self.drain = DrainBox(session)
        self._build()
        self.set_empty_state(
            EmptyState(
                self.tr("No check yet"),
                self.tr(
                    "Fault codes, a valve, a sender, debris in the drain: find out before the "
                    "teardown what is cheap to mend while the engine is out."
                ),
                self.tr("Record a check"),
                self.start_new,
            )
        )
        self.listen()

    def start_new(self) -> None:
        """Record an open check, and let the person type its name."""
        if start_check(self.session) is not None:
            line = self.name_field.line
            line.setFocus()
            line.selectAll()

    def show_record(self, record: Check) -> None:
        """Show a check."""
        self.heading.setText(record.name)
        joints = joints_of_engine(self.session.project, record.engine_id)
        self.joint_field.set_choices({joint.id: joint.name for joint in joints})
        self.form.show_record(record)
        photos = self.session.project.all(Photo, check_id=record.id)
        self.photos.show_photos(photos)
        self.drain.show_check(record, photos)

    def _amend(self, before: Check, after: Check) -> Edit:
        # An open check has no date: who opens it again takes the date back in the same step.
        if after.result is CheckResult.OPEN and before.result is not CheckResult.OPEN:
            after = replace(after, done_at=None)
        return amend_check(self.session.project, before, after)

    def _build(self) -> None:
        self.name_field = TextField(self.tr("What is checked"))
        form = self.form
        form.add_group(
            self.tr("The check"),
            {
                "name": self.name_field,
                "kind": ChoiceField(
                    self.tr("Kind"), {kind: word(kind) for kind in CheckKind}, is_required=True
                ),
                "joint_id": self.joint_field,
            },
        )
        form.add_group(
            self.tr("What came out"),
            {
                "result": ChoiceField(
                    self.tr("Result"), {each: word(each) for each in CheckResult}, is_required=True
                ),
                "done_at": TimeField(self.tr("Done")),
                "finding": NoteField(self.tr("Finding")),
                "implies": NoteField(self.tr("What follows for the teardown")),
                "rides_along": FlagField(self.tr("On the redo list, to ride along")),
            },
            wide=("finding", "implies", "rides_along"),
        )
        give_mnemonics(form.fields.values(), _OWN_LETTERS)
        self.content.addWidget(form)
        self.content.addWidget(
            TonedLabel(self.tr("What failed or is still open goes to the redo list by itself."))
        )
        self.content.addWidget(self.photos)
        self.content.addWidget(self.drain)
        self.remove_button = self.add_removal(self.tr("Remove check"), remove_check)

    def _add_photos(self, sources: tuple[Source, ...], progress: Progress) -> AddedPhotos:
        return add_photos(self.session.project, sources, check_id=self.record.id, progress=progress)
