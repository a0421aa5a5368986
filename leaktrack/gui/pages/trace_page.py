"""The trace page: from a leak to the sealing job that let it through."""

from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from leaktrack.gui.forms.choice_fields import CalmComboBox
from leaktrack.gui.look.panels import (
    EmptyState,
    Heading,
    ScrolledPage,
    TonedLabel,
    push_button,
    row_with,
)
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S
from leaktrack.gui.pages.candidate_list import CandidateList
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.pages.places import inspection_name
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.recording import start_sealing_job
from leaktrack.gui.session import Session
from leaktrack.model.engine import JointLine, Zone
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import Candidate, CauseState, Trace
from leaktrack.model.words import word
from leaktrack.workflows.find_engine import leaks_of_engine
from leaktrack.workflows.trace_leak import set_verdict, trace

_SOURCE_ZOOM = 1.6
_PLACE_ZOOM = 3.0
"""Zooms at which a source and a place on a joint are shown; 1 fits the photo."""


class TracePage(LazyPage):
    """The leak in its photo at the left; at the right what may have caused it, or what shows it."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._leak_id: UUID | None = None
        self._in_hand: tuple[UUID | None, UUID | None] = (None, None)
        self._opener: QWidget | None = None
        self.picker = CalmComboBox()
        self.picker.setAccessibleName(self.tr("Leak"))
        self.picker.setMinimumContentsLength(24)
        self.caption = TonedLabel()
        self.view = PhotoView(session)
        self.view.setAccessibleName(self.tr("The leak"))
        self.list = CandidateList(session)
        self.evidence_view = PhotoView(session)
        self.evidence_view.setAccessibleName(self.tr("Evidence"))
        self.evidence_caption = TonedLabel()
        self.back_button = push_button(
            self.tr("&Back to the causes"), self.show_causes, icon_name="previous"
        )
        self.right = QStackedWidget()
        self._build()
        self._connect()
        self.listen()

    @property
    def leak_id(self) -> UUID | None:
        """The leak that is traced."""
        return self._leak_id

    def reload(self) -> None:
        """Trace the leak in hand again."""
        engine_id = self.session.engine_id
        leaks = leaks_of_engine(self.session.project, engine_id) if engine_id else ()
        if not leaks:
            self._leak_id = None
            self.show_empty_state("no leak")
            return
        self.show_content()
        leak = self._choose_leak(leaks)
        is_other = leak.id != self._leak_id
        self._leak_id = leak.id
        self._fill_picker(leaks)
        found = trace(self.session.project, leak.id)
        self._show_leak(found)
        self.list.show_trace(found)
        if is_other:
            self.show_causes()

    def show_causes(self) -> None:
        """Show the possible causes again after a look at evidence; the keyboard goes back too."""
        if self.right.currentIndex() == 0:
            return
        self.right.setCurrentIndex(0)
        is_there = self._opener is not None and isValid(self._opener)
        opener = self._opener if self._opener is not None and is_there else self.picker
        opener.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_evidence(self, photo_id: UUID, words: str) -> None:
        """Show a photo of a sealing job large, beside the leak."""
        if self.right.currentIndex() == 0:
            self._opener = QApplication.focusWidget()
        self.evidence_caption.setText(words)
        self.evidence_view.show_photo(photo_id)
        lines = self.session.project.all(JointLine, photo_id=photo_id)
        self.evidence_view.set_overlays((), lines)
        self.right.setCurrentIndex(1)
        self.back_button.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Escape lead back to the causes."""
        if event.key() == Qt.Key.Key_Escape and self.right.currentIndex() == 1:
            self.show_causes()
        else:
            super().keyPressEvent(event)

    def _choose_leak(self, leaks: tuple[Leak, ...]) -> Leak:
        """Return the leak in hand, unless another zone was taken in hand since."""
        by_id = {leak.id: leak for leak in leaks}
        in_hand = (self.session.leak_id, self.session.zone_id)
        was_leak, was_zone = self._in_hand
        self._in_hand = in_hand
        here = by_id.get(self._leak_id) if self._leak_id else None
        if in_hand[0] != was_leak and in_hand[0] in by_id:
            return by_id[in_hand[0]]
        in_zone = next((leak for leak in leaks if leak.zone_id == in_hand[1]), None)
        if in_hand[1] != was_zone and (here is None or here.zone_id != in_hand[1]):
            return in_zone or here or leaks[0]
        return here or in_zone or leaks[0]

    def _fill_picker(self, leaks: tuple[Leak, ...]) -> None:
        zones = {zone.id: zone.name for zone in self.session.project.all(Zone)}
        self.picker.clear()
        for leak in leaks:
            text = self.tr("Leak %d, %s") % (leak.number, zones.get(leak.zone_id, ""))
            self.picker.addItem(text, leak.id)
        self.picker.setCurrentIndex(row_with(self.picker, self._leak_id))

    def _show_leak(self, found: Trace) -> None:
        project = self.session.project
        photo = project.find(Photo, found.photo_id) if found.photo_id else None
        if photo is None:
            self.view.show_photo(None)
            self.view.set_notice(
                self.tr("No photo has a mark of this leak with its source. Place one.")
            )
            self.caption.setText(self.tr("Distances to joints are unknown."))
            return
        is_other = self.view.photo_id != photo.id
        self.view.show_photo(photo.id)
        lines = project.all(JointLine, photo_id=photo.id)
        marks = project.all(LeakMark, photo_id=photo.id, leak_id=found.leak.id)
        self.view.set_overlays([(mark, found.leak.number) for mark in marks], lines)
        self.view.selected_mark_id = marks[0].id if marks else None
        if is_other and found.source_px is not None:
            self.view.center_on_point(found.source_px, _SOURCE_ZOOM)
        self.caption.setText(self._caption(photo, has_lines=bool(lines)))

    def _caption(self, photo: Photo, *, has_lines: bool) -> str:
        inspection = (
            self.session.project.find(Inspection, photo.inspection_id)
            if photo.inspection_id
            else None
        )
        where = inspection_name(inspection) if inspection else photo.original_name
        text = self.tr("As seen at: %s") % where
        if not has_lines:
            text += ". " + self.tr("No joint line is drawn in this photo, so nothing is measured.")
        return text

    def _on_leak_chosen(self) -> None:
        leak = self.session.project.find(Leak, self.picker.currentData())
        if leak is None:
            return
        found = trace(self.session.project, leak.id)
        first = found.candidates[0].joint.id if found.candidates else leak.joint_id
        self.session.pick(leak_id=leak.id, zone_id=leak.zone_id, joint_id=first)
        if self._leak_id != leak.id:  # it was in hand already, but another one was shown
            self._leak_id = leak.id
            self.reload()

    def _on_decided(
        self, candidate: Candidate, state: CauseState, reason: str, bolt_id: UUID | None
    ) -> None:
        if self._leak_id is None:
            return
        try:
            edit = set_verdict(
                self.session.project, self._leak_id, candidate.job.id, state, reason, bolt_id
            )
        except LeakTrackError as error:
            self.session.report(error)
            return
        label = self.tr("Verdict on %s: %s") % (candidate.joint.name, word(state))
        self.session.do(label, edit)

    def _on_place_wanted(self, candidate: Candidate) -> None:
        if candidate.joint_at_px is not None:
            self.view.center_on_point(candidate.joint_at_px, _PLACE_ZOOM)
        self.session.pick(joint_id=candidate.joint.id)

    def _on_job_wanted(self, job: SealingJob) -> None:
        self.session.pick(entry=(EntryKind.SEALING_JOB, job.id), joint_id=job.joint_id)

    def _connect(self) -> None:
        self.picker.activated.connect(lambda _row: self._on_leak_chosen())
        self.list.decided.connect(self._on_decided)
        self.list.place_wanted.connect(self._on_place_wanted)
        self.list.photo_chosen.connect(self.show_evidence)
        self.list.span_chosen.connect(self.session.clip_wanted)
        self.list.job_wanted.connect(self._on_job_wanted)
        self.list.recording_wanted.connect(
            lambda joint_id: start_sealing_job(self.session, joint_id)
        )

    def _build(self) -> None:
        left = QWidget()
        rows = QVBoxLayout(left)
        rows.setContentsMargins(0, 0, GAP_S, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.view, 1)
        rows.addWidget(self.caption)
        evidence = QWidget()
        rows = QVBoxLayout(evidence)
        rows.setContentsMargins(GAP_S, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.back_button)
        rows.addWidget(self.evidence_view, 1)
        rows.addWidget(self.evidence_caption)
        self.right.addWidget(ScrolledPage(self.list))
        self.right.addWidget(evidence)
        split = QSplitter()
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(self.right)
        split.setStretchFactor(0, 1)
        split.setStretchFactor(1, 1)
        split.setSizes([480, 480])
        head = QHBoxLayout()
        head.addWidget(Heading(self.tr("Trace")))
        head.addWidget(self.picker)
        head.addStretch(1)
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP)
        rows.setSpacing(GAP)
        rows.addLayout(head)
        rows.addWidget(split, 1)
        self.set_content(content)
        self.add_empty_state("no leak", EmptyState(
            self.tr("No leak yet"),
            self.tr(
                "A trace leads from a leak to the sealing job that let it through. "
                "Mark a leak in a photo on the page Inspect first."
            ),
        ))  # fmt: skip
