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
    row_with,
)
from leaktrack.gui.look.theme import GAP, GAP_L, GAP_S
from leaktrack.gui.pages.candidate_list import CandidateList
from leaktrack.gui.pages.evidence_pane import PLACE_ZOOM, EvidencePane
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.pages.places import inspection_name
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.recording import start_sealing_job
from leaktrack.gui.session import Session
from leaktrack.model.clue_words import capital, clue_sentence, source_sentences
from leaktrack.model.engine import JointLine, Zone
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Candidate, CauseState, Clue, Trace
from leaktrack.model.verification import Verification
from leaktrack.model.verification_words import verification_sentence
from leaktrack.model.words import word
from leaktrack.workflows.find_engine import leaks_of_engine
from leaktrack.workflows.trace_leak import set_verdict, trace
from leaktrack.workflows.verify_redo import successes, verify

_SOURCE_ZOOM = 1.6
"""At which a source is shown; 1 fits the photo."""


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
        self.evidence = EvidencePane(session, self.show_causes)
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
        try:
            found = trace(self.session.project, leak.id)
        except BadInput as error:  # the user's own file of weights
            self.list.show_problem(str(error))
            return
        self._show_leak(found)
        project = self.session.project
        self.list.show_trace(found, verify(project, leak.id), successes(project))
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

    def show_evidence(self, photo_id: UUID, words: str, at_px: PointPx | None = None) -> None:
        """Show a photo of a sealing job large, beside the leak, if asked for at some place."""
        if self.right.currentIndex() == 0:
            self._opener = QApplication.focusWidget()
        self.right.setCurrentIndex(1)
        self.evidence.show_photo(photo_id, words, at_px)

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
        self.caption.setText(self._caption(found, photo, has_lines=bool(lines)))

    def _caption(self, found: Trace, photo: Photo, *, has_lines: bool) -> str:
        inspection = (
            self.session.project.find(Inspection, photo.inspection_id)
            if photo.inspection_id
            else None
        )
        where = inspection_name(inspection) if inspection else photo.original_name
        text = self.tr("As seen at: %s") % where
        if not has_lines:
            text += ". " + self.tr("No joint line is drawn in this photo, so nothing is measured.")
        for sentence in source_sentences(found.source) if found.source else ():
            text += f". {capital(sentence)}"
        return text + "."

    def _on_leak_chosen(self) -> None:
        leak = self.session.project.find(Leak, self.picker.currentData())
        if leak is None:
            return
        first = self._first_joint_id(leak)
        self.session.pick(leak_id=leak.id, zone_id=leak.zone_id, joint_id=first)
        if self._leak_id != leak.id:  # it was in hand already, but another one was shown
            self._leak_id = leak.id
            self.reload()

    def _first_joint_id(self, leak: Leak) -> UUID | None:
        try:
            found = trace(self.session.project, leak.id)
        except BadInput:  # said where the causes stand
            return leak.joint_id
        return found.candidates[0].joint.id if found.candidates else leak.joint_id

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
            self.view.center_on_point(candidate.joint_at_px, PLACE_ZOOM)
        self.session.pick(joint_id=candidate.joint.id)

    def _on_job_wanted(self, job: SealingJob) -> None:
        self.session.pick(entry=(EntryKind.SEALING_JOB, job.id), joint_id=job.joint_id)

    def _on_clue_wanted(self, clue: Clue) -> None:
        if clue.photo_id is None:
            self._open_record(clue.record_id)
        elif clue.photo_id == self.view.photo_id and clue.at_px is not None:
            self.view.center_on_point(clue.at_px, PLACE_ZOOM)
        else:
            self.show_evidence(clue.photo_id, capital(clue_sentence(clue)), clue.at_px)

    def _open_record(self, record_id: UUID | None) -> None:
        if record_id is None:
            return
        project = self.session.project
        leak = project.find(Leak, record_id)
        if leak is not None:
            self.session.pick(leak_id=leak.id, zone_id=leak.zone_id)
        elif project.find(Inspection, record_id) is not None:
            self.session.pick(entry=(EntryKind.INSPECTION, record_id))

    def _on_accepted(self, found: Verification) -> None:
        if found.proposal is None:
            return
        edit = set_verdict(
            self.session.project, found.leak.id, found.blamed.id, found.proposal.state,
            found.proposal.reason, found.bolt_id,
        )  # fmt: skip
        label = self.tr("Verdict on %s: %s") % (found.joint.name, word(found.proposal.state))
        self.session.do(label, edit)

    def _connect(self) -> None:
        self.picker.activated.connect(lambda _row: self._on_leak_chosen())
        self.list.decided.connect(self._on_decided)
        self.list.place_wanted.connect(self._on_place_wanted)
        self.list.photo_chosen.connect(self.show_evidence)
        self.list.span_chosen.connect(self.session.clip_wanted)
        self.list.job_wanted.connect(self._on_job_wanted)
        self.list.clue_wanted.connect(self._on_clue_wanted)
        self.list.accepted.connect(self._on_accepted)
        self.list.look_wanted.connect(
            lambda found: self.show_evidence(found.photo_id, verification_sentence(found))
        )
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
        self.right.addWidget(ScrolledPage(self.list))
        self.right.addWidget(self.evidence)
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
