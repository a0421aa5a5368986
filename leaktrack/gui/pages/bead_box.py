"""What photos of a sealing job show of its bead: measure, look, keep."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLayout, QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.pages.asking_footage import ask_for_audit
from leaktrack.gui.pages.bead_chart import BeadChart
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.bead_audit import BeadAudit, BeadDefect, BeadVerdict
from leaktrack.model.chance import chance_words
from leaktrack.model.engine import JointLine
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.photo import Photo
from leaktrack.model.words import station_words, word
from leaktrack.workflows.audit_bead import (
    audit_bead,
    audits_of_job,
    keep_audit,
    middle_of,
    photos_to_audit,
    place_of,
    remove_audit,
)
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
        self._photo_id: UUID | None = None
        self._proposals: dict[UUID, BeadAudit] = {}
        self._running: Job | None = None
        self.heading = Heading(self.tr("The bead"), 2)
        self.hint = TonedLabel(
            self.tr(
                "Draw the joint's line in a photo of the bare flange with its fresh bead; then its "
                "width can be measured here, and gaps in it are found."
            )
        )
        self.photo_row = QWidget()
        self._photo_buttons = FlowLayout(GAP_S, self.photo_row)
        self.measure_button = push_button(
            self.tr("&Measure bead"), self.measure, icon_name="measure"
        )
        self.keep_button = push_button(self.tr("&Keep this"), self.keep, icon_name="confirm")
        self.drop_button = push_button(self.tr("Discard"), self.drop, icon_name="remove")
        self.find_button = push_button(
            self.tr("Find in the footage"), self.find_in_footage, icon_name="video"
        )
        self.verdict = TonedLabel()
        self.chart = BeadChart()
        self.defects = QWidget()
        self._defect_rows = QVBoxLayout(self.defects)
        self._defect_rows.setContentsMargins(0, 0, 0, 0)
        self._defect_rows.setSpacing(GAP_S)
        self.view = PhotoView(session)
        self.view.setAccessibleName(self.tr("The bead there"))
        self.view.setFixedHeight(_VIEW_HEIGHT_PX)
        self.view.hide()
        self._build()

    def show_job(self, view: JobView) -> None:
        """Show what is known of a job's bead."""
        if view.job.id != self._job_id:
            self._proposals.clear()
            self._photo_id = None
            self.view.hide()
        self._job_id, self._joint_id = view.job.id, view.job.joint_id
        self._photos = photos_to_audit(self._session.project, view.job.id)
        known = {photo.id for photo in self._photos}
        kept = {audit.photo_id for audit in audits_of_job(self._session.project, view.job.id)}
        if self._photo_id not in known:
            first = next((photo.id for photo in self._photos if photo.id in kept), None)
            self._photo_id = first or (self._photos[0].id if self._photos else None)
        self._fill_photos(kept)
        self._show()

    @property
    def audit(self) -> BeadAudit | None:
        """What is shown: a measurement that waits for an answer, else the kept one."""
        if self._photo_id is None or self._job_id is None:
            return None
        return self._proposals.get(self._photo_id) or self._kept()

    def measure(self) -> None:
        """Measure the bead in the photo in hand."""
        if self._job_id is None or self._photo_id is None or self._running is not None:
            return
        job_id, photo_id, project = self._job_id, self._photo_id, self._session.project

        def measured(audit: BeadAudit) -> None:
            self._running = None
            if audit.sealing_job_id == self._job_id:
                self._proposals[photo_id] = audit
            self._show()

        def failed(error: LeakTrackError) -> None:
            self._running = None
            self._show()
            self._session.report(error)

        self._running = self._session.background.run_job(
            self.tr("Measuring the bead"),
            lambda job: audit_bead(project, job_id, photo_id, job.progress),
            then=measured,
            owner=self,
            failed=failed,
        )
        self._show()

    def keep(self) -> None:
        """Keep what was measured."""
        audit = self._proposals.get(self._photo_id) if self._photo_id else None
        if audit is None:
            return
        try:
            edit = keep_audit(self._session.project, audit)
        except LeakTrackError as error:
            self._session.report(error)
            return
        del self._proposals[audit.photo_id]
        self._session.do(self.tr("Keep the bead's measurement"), edit)

    def drop(self) -> None:
        """Discard what was measured, or take away what was kept."""
        audit = self.audit
        if audit is None:
            return
        if self._proposals.pop(audit.photo_id, None) is not None:
            self._show()
            return
        try:
            edit = remove_audit(self._session.project, audit.id)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Remove the bead's measurement"), edit)

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

    def _take_photo(self, photo_id: UUID) -> None:
        self._photo_id = photo_id
        self.view.hide()
        self._show()

    def _fill_photos(self, kept: set[UUID]) -> None:
        _empty(self._photo_buttons)
        for photo in self._photos:
            name = photo.original_name
            button = push_button(
                name,
                partial(self._take_photo, photo.id),
                icon_name="confirm" if photo.id in kept else "photo",
            )
            button.setCheckable(True)
            # The one in hand is bold, and wider.
            button.setMinimumWidth(round(1.15 * button.sizeHint().width()))
            button.setProperty("photo_id", photo.id)
            self._photo_buttons.addWidget(button)

    def _show(self) -> None:
        audit = self.audit
        is_waiting = self._photo_id in self._proposals
        has_photo = self._photo_id is not None
        can_change = not self._session.project.is_read_only
        self.hint.setVisible(not has_photo)
        self.photo_row.setVisible(len(self._photos) > 1)
        for button in self.photo_row.findChildren(QWidget):
            if button.property("photo_id") is not None:
                button.setProperty("checked", button.property("photo_id") == self._photo_id)
        self.measure_button.setVisible(has_photo)
        self.measure_button.setEnabled(self._running is None)
        self.keep_button.setVisible(is_waiting and can_change)
        self.drop_button.setVisible(audit is not None and (is_waiting or can_change))
        self.find_button.setVisible(audit is not None)
        self.drop_button.setText(self.tr("Discard") if is_waiting else self.tr("Remove"))
        self.verdict.setVisible(has_photo)
        self._say_verdict(audit, is_waiting=is_waiting)
        self.chart.show_audit(audit)
        self._fill_defects(audit)

    def _say_verdict(self, audit: BeadAudit | None, *, is_waiting: bool) -> None:
        if self._running is not None:
            self.verdict.setText(self.tr("Measuring…"))
        elif audit is None:
            self.verdict.setText(self.tr("Not measured yet."))
        if self._running is not None or audit is None:
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
                self.tr("Allowed: %.1f to %.1f %s (%s).")
                % (audit.narrowest, audit.widest, audit.unit, audit.tolerance_source)
            )
        if audit.unit == "px":
            parts.append(self.tr("The photo has no scale, so widths are in pixels."))
        if is_waiting:
            parts.append(self.tr("Not kept yet: look, then keep it or discard it."))
        self.verdict.setText(" ".join(parts))
        self.verdict.set_tone(tones[audit.verdict])

    def _fill_defects(self, audit: BeadAudit | None) -> None:
        _empty(self._defect_rows)
        if audit is None:
            return
        for defect in audit.defects:
            text = self._defect_words(defect, audit)
            button = push_button(text, partial(self.chart.take, middle_of(defect)), icon_name="pin")
            self._defect_rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        for stretch in audit.unread:
            text = self.tr("%.0f to %.0f %s cannot be judged: %s. Look yourself.") % (
                stretch.start,
                stretch.end,
                audit.unit,
                stretch.reason,
            )
            middle = (stretch.start + stretch.end) / 2
            button = push_button(text, partial(self.chart.take, middle), icon_name="not_seen")
            self._defect_rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _defect_words(self, defect: BeadDefect, audit: BeadAudit) -> str:
        length = f"{defect.end - defect.start:.1f} {audit.unit}"
        place = f"{middle_of(defect):.0f} {audit.unit}"
        if defect.station is not None:
            place = station_words(defect.station)
        return self.tr("%s of %s at %s, %s") % (
            word(defect.kind), length, place, chance_words(defect.score),
        )  # fmt: skip

    def _build(self) -> None:
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        self._card = Card()
        rows.addWidget(self._card)
        buttons = QHBoxLayout()
        for each in (self.measure_button, self.keep_button, self.drop_button, self.find_button):
            buttons.addWidget(each)
        buttons.addStretch(1)
        for widget in (self.heading, self.hint, self.photo_row):
            self._card.rows.addWidget(widget)
        self._card.rows.addLayout(buttons)
        for widget in (self.verdict, self.chart, self.defects, self.view):
            self._card.rows.addWidget(widget)
        self.chart.place_chosen.connect(self.show_place)


def _empty(layout: QLayout) -> None:
    while (item := layout.takeAt(0)) is not None:
        old = item.widget()
        if old is not None:
            old.hide()
            old.deleteLater()
