"""What photos of a sealing job show of its bead: measure, look, keep."""

from uuid import UUID

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.asking_footage import ask_for_audit
from leaktrack.gui.pages.bead_chart import BeadChart
from leaktrack.gui.pages.bead_findings import BeadFindings
from leaktrack.gui.pages.bead_following import BeadFollowing
from leaktrack.gui.pages.bead_photos import BeadPhotos
from leaktrack.gui.pages.proposals import Proposals
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.bead_audit import BeadAudit, BeadVerdict
from leaktrack.model.engine import JointLine
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.model.units import rough_span
from leaktrack.model.words import word
from leaktrack.workflows.audit_bead import (
    audit_bead,
    audits_of_job,
    keep_audit,
    photos_to_audit,
    place_of,
    remove_audit,
)
from leaktrack.workflows.follow_bead import photos_of_job
from leaktrack.workflows.pass_bolts import bolts_passed, place_wanted
from leaktrack.workflows.view_sealing_job import JobView

_PLACE_ZOOM = 4.0
"""How large a place on the bead is shown; 1 fits the photo."""

_VIEW_HEIGHT_PX = 300


class BeadBox(QWidget):
    """One photo at a time: its bead's chart, what is wrong with it, and the photo there."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._job_id: UUID | None = None
        self._joint_id: UUID | None = None
        self._photos: tuple[Photo, ...] = ()
        self._lined: set[UUID] = set()
        self._photo_id: UUID | None = None
        self._proposals: Proposals[BeadAudit] = Proposals(
            session, self, self._show, self.keep, self.drop
        )
        self.heading = Heading(self.tr("The bead"), 2)
        self.hint = TonedLabel(
            self.tr(
                "Add a photo of the bare flange with its fresh bead; then the bead's width can be "
                "measured here, and gaps in it are found."
            )
        )
        self.photo_row = BeadPhotos()
        self.measure_button = push_button(
            self.tr("&Measure bead"), self.measure, icon_name="measure"
        )
        self.follow_button = push_button(
            self.tr("&Follow the bead"), self.follow, icon_name="draw_joint_line"
        )
        self.keep_button = self._proposals.keep_button
        self.drop_button = self._proposals.drop_button
        self.find_button = push_button(
            self.tr("Find in the footage"), self.find_in_footage, icon_name="video"
        )
        self.verdict = TonedLabel()
        self.chart = BeadChart()
        self.defects = BeadFindings(self.chart.take)
        self.view = PhotoView(session)
        self.view.setAccessibleName(self.tr("The bead there"))
        self.view.setFixedHeight(_VIEW_HEIGHT_PX)
        self.view.hide()
        self._following = BeadFollowing(session, self.view, self)
        self._following.accepted.connect(self._measure_along)
        self._following.changed.connect(self._on_followed)
        self._build()

    def show_job(self, view: JobView) -> None:
        """Show what is known of a job's bead."""
        if view.job.id != self._job_id:
            self._proposals.clear()
            self._photo_id = None
            self.view.hide()
        self._job_id, self._joint_id = view.job.id, view.job.joint_id
        self._photos = photos_of_job(self._session.project, view.job.id)
        self._lined = {each.id for each in photos_to_audit(self._session.project, view.job.id)}
        known = {photo.id for photo in self._photos}
        kept = {audit.photo_id for audit in audits_of_job(self._session.project, view.job.id)}
        if self._photo_id not in known:
            # First what was measured, then what can be measured at once.
            first = sorted(known, key=lambda each: (each not in kept, each not in self._lined))
            self._photo_id = first[0] if first else None
        self.photo_row.show_photos(self._photos, kept)
        self._show()

    @property
    def audit(self) -> BeadAudit | None:
        """What is shown: a measurement that waits for an answer, else the kept one."""
        if self._photo_id is None or self._job_id is None:
            return None
        return self._proposals.of(self._photo_id) or self._kept()

    def follow(self) -> None:
        """Let the person click where the bead begins and ends in the photo in hand."""
        if self._photo_id is None:
            return
        self.view.show_photo(self._photo_id)
        self.view.set_overlays((), ())
        self.view.show()
        self.view.fit()
        self._following.start()

    def measure(self) -> None:
        """Measure the bead in the photo in hand, along the joint's line."""
        self._measure_along(())

    def _measure_along(self, path: tuple[PointPx, ...]) -> None:
        job_id, photo_id, project = self._job_id, self._photo_id, self._session.project
        if job_id is None or photo_id is None or self._proposals.is_running:
            return
        self._proposals.work_out(
            photo_id,
            self.tr("Measuring the bead"),
            lambda job: audit_bead(project, job_id, photo_id, job.progress, followed=path),
            is_wanted=lambda: self._job_id == job_id,
        )

    def keep(self) -> None:
        """Keep what was measured."""
        self._proposals.keep(
            self._photo_id,
            self.tr("Keep the bead's measurement"),
            lambda audit: keep_audit(self._session.project, audit),
        )

    def drop(self) -> None:
        """Discard what was measured, or take away what was kept."""
        audit = self.audit
        if audit is not None:
            self._proposals.drop(
                audit.photo_id,
                self.tr("Remove the bead's measurement"),
                lambda: remove_audit(self._session.project, audit.id),
            )

    def find_in_footage(self) -> None:
        """Look in the footage for the place chosen in the chart, else for the whole bead."""
        ask_for_audit(self._session, self.audit, self.chart.cursor_place)

    def show_place(self, along: float) -> None:
        """Show the photo at a place of the bead."""
        audit = self.audit
        place = None if audit is None else place_of(audit, along)
        if audit is None or place is None:
            return
        if self.view.photo_id != audit.photo_id:
            self.view.show_photo(audit.photo_id)
        lines = self._session.project.all(
            JointLine, photo_id=audit.photo_id, joint_id=self._joint_id
        )
        self.view.set_overlays((), lines)
        self.view.show()
        self.view.center_on_point(place, _PLACE_ZOOM)

    def _kept(self) -> BeadAudit | None:
        assert self._job_id is not None
        kept = audits_of_job(self._session.project, self._job_id)
        return next((each for each in reversed(kept) if each.photo_id == self._photo_id), None)

    def _on_followed(self) -> None:
        is_running = self._proposals.is_running
        self.follow_button.setEnabled(not self._following.is_under_way and not is_running)

    def _take_photo(self, photo_id: UUID) -> None:
        self._following.stop()
        self._photo_id = photo_id
        self.view.hide()
        self._show()

    def _show(self) -> None:
        audit = self.audit
        is_waiting = self._proposals.of(self._photo_id) is not None
        has_photo = self._photo_id is not None
        self.hint.setVisible(not has_photo)
        self.photo_row.mark(self._photo_id)
        self.measure_button.setVisible(self._photo_id in self._lined)
        self.follow_button.setVisible(has_photo)
        self._on_followed()
        self.measure_button.setEnabled(not self._proposals.is_running)
        self._proposals.show_buttons(is_waiting=is_waiting, is_kept=audit is not None)
        self.find_button.setVisible(audit is not None)
        self.verdict.setVisible(has_photo)
        self._say_verdict(audit, is_waiting=is_waiting)
        self.chart.show_audit(audit)
        project = self._session.project
        if audit is None:
            self.defects.show_audit(None)
        else:
            passed = bolts_passed(project, audit)
            self.defects.show_audit(audit, passed, place_wanted(project, audit))

    def _say_verdict(self, audit: BeadAudit | None, *, is_waiting: bool) -> None:
        if self._proposals.is_running:
            self.verdict.setText(self.tr("Measuring…"))
        elif audit is None:
            self.verdict.setText(self.tr("Not measured yet."))
        if self._proposals.is_running or audit is None:
            self.verdict.set_tone(Tone.QUIET)
            return
        tones = {
            BeadVerdict.CONTINUOUS: Tone.GOOD,
            BeadVerdict.DEFECTIVE: Tone.PROBLEM,
            BeadVerdict.UNREADABLE: Tone.ATTENTION,
        }
        parts = [self.tr("Bead: %s.") % word(audit.verdict)]
        if audit.narrowest is not None and audit.widest is not None:
            parts.append(
                self.tr("Allowed: %s (%s).")
                % (
                    rough_span(audit.narrowest, audit.widest, audit.unit, 1),
                    audit.tolerance_source,
                )
            )
        if audit.unit == "px":
            parts.append(self.tr("The photo has no scale, so widths are in pixels."))
        if is_waiting:
            parts.append(self.tr("Not kept yet: look, then keep it or discard it."))
        self.verdict.setText(" ".join(parts))
        self.verdict.set_tone(tones[audit.verdict])

    def _build(self) -> None:
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        self._card = Card()
        rows.addWidget(self._card)
        buttons = QHBoxLayout()
        for each in (
            self.measure_button,
            self.follow_button,
            self.keep_button,
            self.drop_button,
            self.find_button,
        ):
            buttons.addWidget(each)
        buttons.addStretch(1)
        for widget in (self.heading, self.hint, self.photo_row):
            self._card.rows.addWidget(widget)
        self._card.rows.addLayout(buttons)
        for below in (self.verdict, self.chart, self.defects, self.view):
            self._card.rows.addWidget(below)
        self.chart.place_chosen.connect(self.show_place)
        self.photo_row.chosen.connect(self._take_photo)
