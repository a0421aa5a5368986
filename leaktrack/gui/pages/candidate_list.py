"""The possible causes of a leak, most likely first."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.panels import Card, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.candidate_card import CandidateCard, Surroundings
from leaktrack.gui.pages.evidence_row import THUMBNAIL_PX
from leaktrack.gui.session import Session
from leaktrack.model.engine import Bolt, Joint
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import Material
from leaktrack.model.trace import Candidate, CauseState, Trace


class CandidateList(QWidget):
    """Cards below each other, then the joints that nobody recorded a sealing job for."""

    decided = Signal(object, object, str, object)
    """Candidate, CauseState, reason, bolt (UUID or None)."""
    place_wanted = Signal(object)
    """Show where on its joint this Candidate is."""
    photo_chosen = Signal(object, str)
    """Show this photo (UUID) large; what it shows, in words."""
    span_chosen = Signal(object, int)
    """Show this clip (UUID) from these milliseconds."""
    job_wanted = Signal(object)
    """Open this SealingJob."""
    recording_wanted = Signal(object)
    """Record a sealing job on this joint (UUID)."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._shown: Trace | None = None
        self._thumbnails = Thumbnails(session, THUMBNAIL_PX, self)
        self.cards: list[CandidateCard] = []
        self.without_job = Card("attention")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(GAP)

    def show_trace(self, trace: Trace) -> None:
        """Show a trace; what is being typed as a reason stays."""
        if trace == self._shown:
            return
        is_same_leak = self._shown is not None and self._shown.leak.id == trace.leak.id
        drafts = {card.candidate.job.id: card.verdict.draft for card in self.cards}
        focused = self._focused()
        self._shown = trace
        self._clear()
        if not trace.candidates:
            self._column.addWidget(
                TonedLabel(self.tr("No sealing job in reach of this leak is recorded."), Tone.TEXT)
            )
        for rank, candidate in enumerate(trace.candidates, 1):
            card = self._card(rank, candidate)
            if is_same_leak and drafts.get(candidate.job.id):
                card.verdict.set_draft(drafts[candidate.job.id])
            self.cards.append(card)
            self._column.addWidget(card)
        if trace.joints_without_job:
            self._column.addWidget(self._without_job(trace.joints_without_job))
        self._column.addStretch(1)
        self._focus_again(focused)

    def _card(self, rank: int, candidate: Candidate) -> CandidateCard:
        project = self._session.project
        bolts = project.all(Bolt, joint_id=candidate.joint.id)
        photo_ids = [each.photo_id for each in candidate.evidence if each.photo_id]
        clip_ids = [each.clip_id for each in candidate.evidence if each.clip_id]
        around = Surroundings(
            photos={photo.id: photo for photo in project.all(Photo, id=photo_ids)},
            clips={clip.id: clip for clip in project.all(Clip, id=clip_ids)},
            materials={material.id: material.name for material in project.all(Material)},
            bolts={bolt.id: self.tr("bolt %d") % bolt.number for bolt in bolts},
        )
        card = CandidateCard(
            rank, candidate, around, self._thumbnails, is_locked=project.is_read_only
        )
        card.verdict.decided.connect(
            lambda state, reason, bolt_id: self.decided.emit(candidate, state, reason, bolt_id)
        )
        card.place_wanted.connect(self.place_wanted)
        card.evidence.photo_chosen.connect(self.photo_chosen)
        card.evidence.span_chosen.connect(self.span_chosen)
        card.job_button.clicked.connect(lambda: self.job_wanted.emit(candidate.job))
        return card

    def _without_job(self, joints: Sequence[Joint]) -> Card:
        self.without_job = Card("attention")
        text = self.tr("May be the source as well, but no sealing job from before is recorded:")
        self.without_job.rows.addWidget(TonedLabel(text, Tone.TEXT))
        for joint in joints:
            button = push_button(
                self.tr("Record the job on %s") % joint.name,
                partial(self.recording_wanted.emit, joint.id),
                icon_name="add",
            )
            button.setEnabled(not self._session.project.is_read_only)
            self.without_job.rows.addWidget(button)
        return self.without_job

    def _clear(self) -> None:
        while (item := self._column.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        self.cards = []

    def _focused(self) -> tuple[UUID, CauseState] | None:
        widget = QApplication.focusWidget()
        for card in self.cards:
            for state, button in card.verdict.buttons.items():
                if widget is button:
                    return card.candidate.job.id, state
        return None

    def _focus_again(self, focused: tuple[UUID, CauseState] | None) -> None:
        for card in self.cards:
            if focused is not None and card.candidate.job.id == focused[0]:
                card.verdict.buttons[focused[1]].setFocus(Qt.FocusReason.OtherFocusReason)
