"""The page of a sealing job: what was done to a joint, what shows it, where it left its rule."""

from uuid import UUID

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from leaktrack.gui.dialogs.photo_chooser import PhotoChooser
from leaktrack.gui.forms.times import day_text
from leaktrack.gui.look.panels import CautionBox, EmptyState, push_button
from leaktrack.gui.look.theme import GAP_L
from leaktrack.gui.look.two_columns import TwoColumns
from leaktrack.gui.pages.bead_box import BeadBox
from leaktrack.gui.pages.bead_sums_card import BeadSumsCard
from leaktrack.gui.pages.deviations_box import DeviationsBox
from leaktrack.gui.pages.footage_panel import FootagePanel
from leaktrack.gui.pages.job_chooser import JobChooser
from leaktrack.gui.pages.job_form import JobForm
from leaktrack.gui.pages.photo_strip import PhotoStrip
from leaktrack.gui.pages.record_page import RecordPage
from leaktrack.gui.pages.removed_seals import RemovedSeals
from leaktrack.gui.recording import joint_in_hand, start_sealing_job, take_joint
from leaktrack.gui.session import Session
from leaktrack.model.caution import Caution
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit
from leaktrack.model.sealing_job import SealingJob
from leaktrack.workflows.add_photos import AddedPhotos, Source, add_photos
from leaktrack.workflows.project import Progress
from leaktrack.workflows.record_sealing_job import add_evidence, remove_evidence, remove_job
from leaktrack.workflows.view_sealing_job import JobView, job_view


class JobPage(RecordPage):
    """Records one sealing job: the picked one, else the last one on the joint in hand."""

    kind = EntryKind.SEALING_JOB
    record_type = SealingJob

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._view: JobView | None = None
        self._entry_seen = session.entry
        self._joint_seen = session.joint_id
        self._is_led_by_entry = session.entry is not None
        self.chooser = JobChooser(session)
        self.deviations = DeviationsBox()
        self.job_form = JobForm(session)
        self.choose_button = push_button(
            self.tr("Choose from the &project…"), self.choose_photos, icon_name="photos"
        )
        self.photos = PhotoStrip(
            session,
            self.tr("Photos of the job"),
            self._add_photos,
            self.tr("&Add photos…"),
            buttons=(self.choose_button,),
            empty_text=self.tr("A photo of the bead tells more than any note. Drop some here."),
        )
        self.bead = BeadBox(session)
        self.sums = BeadSumsCard()
        self.footage = FootagePanel(session)
        self.removed_seals = RemovedSeals(session)
        self.earlier_button = self._link_button("history")
        self.later_button = self._link_button("redo")
        self._build()
        session.clip_wanted.connect(self.footage.open_clip)
        self.listen()

    def start_new(self) -> None:
        """Record a job on the joint in hand, done now, and give the keyboard to its fields."""
        joint_id = self._joint_shown()
        if start_sealing_job(self.session, joint_id) is not None:
            self.job_form.form.fields["done_at"].editor.setFocus()

    def reload(self) -> None:
        """Read the job in hand again."""
        if self.session.entry != self._entry_seen:
            self._is_led_by_entry = True
        elif self.session.joint_id != self._joint_seen:
            self._is_led_by_entry = False
        self._entry_seen, self._joint_seen = self.session.entry, self.session.joint_id
        super().reload()
        job_id = None if self.record is None else self.record.id
        self.chooser.show_choice(self._joint_shown(), job_id)

    def find_record(self) -> SealingJob | None:
        """Return the picked job, else the last one on the joint in hand."""
        project, entry = self.session.project, self.session.entry
        if self._is_led_by_entry and entry is not None and entry[0] is self.kind:
            picked = project.find(SealingJob, entry[1])
            if picked is not None:
                return picked
        joint_id = joint_in_hand(self.session)
        jobs = project.all(SealingJob, joint_id=joint_id) if joint_id is not None else ()
        return jobs[-1] if jobs else None

    def show_record(self, record: SealingJob) -> None:
        """Show a job."""
        view = job_view(self.session.project, record.id)
        self._view = view
        self.heading.setText(
            self.tr("%s, sealed on %s") % (view.joint.name, day_text(record.done_at))
        )
        self.deviations.show_job(view)
        self.job_form.show_job(view)
        self.bead.show_job(view)
        self.sums.show_job(view)
        self.footage.show_job(view)
        self.removed_seals.show_job(view)
        notes = {each.photo_id: each.note for each in view.evidence if each.photo_id is not None}
        photos = self.session.project.all(Photo, id=list(notes))
        self.photos.show_photos(photos, [notes[photo.id] for photo in photos])
        self._show_chain(view)

    def choose_photos(self) -> None:
        """Let the person name photos of the project as showing this job."""
        if self._view is None:
            return
        taken = {each.photo_id for each in self._view.evidence if each.photo_id is not None}
        chosen = PhotoChooser.ask(
            self.session, self.tr("Photos of the job"), taken, self._view.joint.zone_id, self
        )
        edit = Edit(())
        for photo_id in chosen:
            added = add_evidence(self.session.project, self._view.job.id, photo_id=photo_id)
            edit = edit.then(added)
        if chosen:
            self.session.do(self.tr("Add evidence"), edit)

    def _joint_shown(self) -> UUID | None:
        return joint_in_hand(self.session) if self.record is None else self.record.joint_id

    def _show_chain(self, view: JobView) -> None:
        earlier_id, later = view.job.supersedes_id, view.superseded_by
        earlier = None if earlier_id is None else self.session.project.find(SealingJob, earlier_id)
        for button, job, words in (
            (self.earlier_button, earlier, self.tr("Replaced the job of %s")),
            (self.later_button, later, self.tr("Sealed again on %s")),
        ):
            button.setVisible(job is not None)
            if job is not None:
                button.setText(words % day_text(job.done_at))
                button.setAccessibleName(button.text())
                button.setProperty("job_id", job.id)

    def _link_button(self, icon_name: str) -> QPushButton:
        button = push_button("", lambda: self._pick(button.property("job_id")), icon_name=icon_name)
        return button

    def _pick(self, job_id: UUID) -> None:
        job = self.session.project.find(SealingJob, job_id)
        if job is not None:
            self.session.pick(entry=(self.kind, job_id), joint_id=job.joint_id)

    def _add_photos(self, sources: tuple[Source, ...], progress: Progress) -> AddedPhotos:
        return add_photos(self.session.project, sources, job_id=self.record.id, progress=progress)

    def _remove_photos(self, photo_ids: tuple[UUID, ...]) -> None:
        if self._view is None or self.session.project.is_read_only:
            return
        edit = Edit(())
        try:
            for each in self._view.evidence:
                if each.photo_id in photo_ids:
                    edit = edit.then(remove_evidence(self.session.project, each.id))
        except LeakTrackError as error:
            self.session.report(error)
            return
        self.session.do(self.tr("Take photos away from the job"), edit)

    def _build(self) -> None:
        self.chooser.joint_chosen.connect(lambda joint_id: take_joint(self.session, joint_id))
        self.chooser.job_chosen.connect(self._pick)
        self.chooser.new_wanted.connect(self.start_new)
        self.photos.removal_wanted.connect(self._remove_photos)
        self.add_top(self.chooser)
        links = QHBoxLayout()
        links.addWidget(self.earlier_button)
        links.addWidget(self.later_button)
        links.addStretch(1)
        self.content.addLayout(links)
        self.content.addWidget(self.deviations)
        evidence = QWidget()
        rows = QVBoxLayout(evidence)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_L)
        rows.addWidget(self.photos)
        rows.addWidget(self.bead)
        rows.addWidget(self.sums)
        rows.addWidget(self.footage)
        rows.addWidget(self.removed_seals)
        rows.addWidget(CautionBox((Caution.SEALANT_VAPOUR, Caution.SOLVENT)))
        rows.addStretch(1)
        self.columns = TwoColumns(self.job_form, evidence)
        self.content.addWidget(self.columns)
        self.remove_button = self.add_removal(self.tr("Remove sealing job"), remove_job)
        self.set_empty_state(
            EmptyState(
                self.tr("No sealing job here yet"),
                self.tr(
                    "What was done to seal a joint, once: material, bead, times, tightening, and "
                    "the photos and footage that show it."
                ),
                self.tr("Record a sealing job"),
                self.start_new,
            )
        )
