"""What a leak may come from, most likely first, with what to check next and what a redo did."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QApplication, QPushButton, QVBoxLayout, QWidget

from leaktrack.gui.item_models.thumbnails import Thumbnails
from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.candidate_card import CandidateCard, Surroundings
from leaktrack.gui.pages.evidence_row import THUMBNAIL_PX
from leaktrack.gui.pages.origin_card import OriginCard
from leaktrack.gui.pages.trace_cards import NextCheckCard, SuccessCard, VerifiedCard
from leaktrack.gui.session import Session
from leaktrack.model.clue_words import own_weights_sentence
from leaktrack.model.engine import Bolt
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.sealing_job import Material
from leaktrack.model.trace import Candidate, CauseState, OtherOrigin, Trace
from leaktrack.model.verification import SuccessCount, Verification

_Key = tuple[UUID, UUID | None]
_Shown = tuple[Trace, tuple[Verification, ...], tuple[SuccessCount, ...]]

WORTH_A_CARD = 0.01
"""Origins with less chance than this are shown on wish only, unless a person judged them."""


class CandidateList(QWidget):
    """Cards below each other: redone joints, origins, the next check, and what is hardly likely."""

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
    clue_wanted = Signal(object)
    """Show what shows this Clue."""
    accepted = Signal(object)
    """Take over the proposed verdict of this Verification."""
    look_wanted = Signal(object)
    """Show the photo of this Verification."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._shown: _Shown | None = None
        self._trace: Trace | None = None
        self._shows_all = False
        self._thumbnails = Thumbnails(session, THUMBNAIL_PX, self)
        self.cards: list[CandidateCard] = []
        self.origin_cards: list[OriginCard] = []
        self.verified_cards: list[VerifiedCard] = []
        self.next_check: NextCheckCard | None = None
        self.more_button: QPushButton | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(GAP)

    def show_trace(
        self,
        trace: Trace,
        verified: Sequence[Verification] = (),
        successes: Sequence[SuccessCount] = (),
    ) -> None:
        """Show a trace; what is being typed as a reason stays."""
        shown = (trace, tuple(verified), tuple(successes))
        if shown == self._shown:
            return
        is_same_leak = self._trace is not None and self._trace.leak.id == trace.leak.id
        drafts = {_key(card.candidate): card.verdict.draft for card in self.cards}
        focused = self._focused()
        self._shown, self._trace = shown, trace
        self._shows_all = self._shows_all and is_same_leak
        self._clear()
        self._add_verified(verified)
        self._add_origins(trace)
        if successes:
            self._column.addWidget(SuccessCard(successes))
        if trace.own_weights:
            self._column.addWidget(TonedLabel(own_weights_sentence(trace.own_weights)))
        self._column.addStretch(1)
        for card in self.cards:
            draft = drafts.get(_key(card.candidate), "")
            if is_same_leak and draft:
                card.verdict.set_draft(draft)
        self._focus_again(focused)

    def _add_verified(self, verified: Sequence[Verification]) -> None:
        """Put those on top that ask for a decision."""
        for found in verified:
            card = VerifiedCard(found, is_locked=self._session.project.is_read_only)
            card.accepted.connect(self.accepted)
            card.photo_wanted.connect(self.look_wanted)
            self.verified_cards.append(card)
            if found.proposal is not None:
                self._column.addWidget(card)

    def _add_origins(self, trace: Trace) -> None:
        if not trace.candidates:
            self._column.addWidget(
                TonedLabel(self.tr("No sealing job in reach of this leak is recorded."), Tone.TEXT)
            )
        ranked = list(enumerate(trace.ranked, 1))
        shown = [(rank, one) for rank, one in ranked if self._shows_all or _is_worth_a_card(one)]
        for rank, one in shown:
            if isinstance(one, OtherOrigin):
                self._column.addWidget(self._origin_card(rank, one))
            else:
                self._column.addWidget(self._card(rank, one))
        if trace.next_check is not None:
            self.next_check = NextCheckCard(trace.next_check)
            self._column.addWidget(self.next_check)
        for verified in self.verified_cards:
            if verified.found.proposal is None:
                self._column.addWidget(verified)
        if len(shown) < len(ranked):
            text = self.tr("Show %d more, each below 1 %%") % (len(ranked) - len(shown))
            self.more_button = push_button(text, self._show_all, icon_name="down", is_quiet=True)
            self._column.addWidget(self.more_button)

    def show_problem(self, text: str) -> None:
        """Say why nothing can be traced."""
        self._shown = self._trace = None
        self._clear()
        self._column.addWidget(TonedLabel(text, Tone.PROBLEM))
        self._column.addStretch(1)

    def _show_all(self) -> None:
        if self._shown is None:
            return
        trace, verified, successes = self._shown
        self._shows_all, self._shown = True, None
        self.show_trace(trace, verified, successes)

    def _origin_card(self, rank: int, origin: OtherOrigin) -> OriginCard:
        card = OriginCard(rank, origin, is_locked=self._session.project.is_read_only)
        card.recording_wanted.connect(self.recording_wanted)
        card.clues.clue_wanted.connect(self.clue_wanted)
        self.origin_cards.append(card)
        return card

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
        card.clues.clue_wanted.connect(self.clue_wanted)
        card.evidence.photo_chosen.connect(self.photo_chosen)
        card.evidence.span_chosen.connect(self.span_chosen)
        card.job_button.clicked.connect(lambda: self.job_wanted.emit(candidate.job))
        self.cards.append(card)
        return card

    def _clear(self) -> None:
        while (item := self._column.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        self.cards, self.origin_cards, self.verified_cards = [], [], []
        self.next_check, self.more_button = None, None

    def _focused(self) -> tuple[_Key, CauseState] | None:
        widget = QApplication.focusWidget()
        for card in self.cards:
            for state, button in card.verdict.buttons.items():
                if widget is button:
                    return _key(card.candidate), state
        return None

    def _focus_again(self, focused: tuple[_Key, CauseState] | None) -> None:
        for card in self.cards:
            if focused is not None and _key(card.candidate) == focused[0]:
                card.verdict.buttons[focused[1]].setFocus(Qt.FocusReason.OtherFocusReason)


def _key(candidate: Candidate) -> _Key:
    """Return what tells cards apart: a job may have one for its seal and some for its bolts."""
    return candidate.job.id, candidate.bolt.id if candidate.bolt else None


def _is_worth_a_card(one: Candidate | OtherOrigin) -> bool:
    is_judged = isinstance(one, Candidate) and one.verdict is not None
    is_missing = isinstance(one, OtherOrigin) and one.joint is not None
    return one.chance >= WORTH_A_CARD or is_judged or is_missing
