"""What to check next, and what became of redone joints: the cards beside the origins of a leak."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QPushButton

from leaktrack.gui.look.panels import Card, CautionBox, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import Tone
from leaktrack.model.clue_words import capital
from leaktrack.model.trace import CauseState, NextCheck
from leaktrack.model.verification import SuccessCount, Verification
from leaktrack.model.verification_words import (
    proposal_sentence,
    success_sentence,
    verification_sentence,
)
from leaktrack.model.words import word


class NextCheckCard(Card):
    """What would tell the two likeliest origins apart, with what can hurt somebody in it."""

    def __init__(self, check: NextCheck) -> None:
        super().__init__()
        self.check = check
        self.rows.addWidget(Heading(self.tr("What to check next"), 2))
        apart = self.tr("To tell %s from %s:") % check.between
        self.rows.addWidget(TonedLabel(apart))
        self.sentence = _text(word(check.check))
        self.rows.addWidget(self.sentence)
        if check.cautions:
            self.rows.addWidget(CautionBox(check.cautions))


class VerifiedCard(Card):
    """One joint that was sealed again: what the next look says, and the verdict that follows."""

    accepted = Signal(object)
    """A person takes over the proposed verdict of this Verification."""
    photo_wanted = Signal(object)
    """Show the photo that says so (Verification)."""

    def __init__(self, found: Verification, *, is_locked: bool) -> None:
        super().__init__("news" if found.proposal is not None else "true")
        self.found = found
        self.rows.addWidget(Heading(self.tr("After sealing again: %s") % word(found.outcome), 2))
        self.sentence = _text(verification_sentence(found))
        self.rows.addWidget(self.sentence)
        self.accept_button: QPushButton | None = None
        self.photo_button: QPushButton | None = None
        if found.proposal is not None:
            self.rows.addWidget(_text(proposal_sentence(found)))
            self.accept_button = push_button(
                self._accept_words(found.proposal.state),
                lambda: self.accepted.emit(found),
                icon_name="confirm",
            )
            self.accept_button.setEnabled(not is_locked)
            self.rows.addWidget(self.accept_button)
        if found.photo_id is not None:
            self.photo_button = push_button(
                self.tr("Show the photo of this look"),
                lambda: self.photo_wanted.emit(found),
                icon_name="photo",
                is_quiet=True,
            )
            self.rows.addWidget(self.photo_button)

    def _accept_words(self, state: CauseState) -> str:
        if state is CauseState.CONFIRMED:
            return self.tr("Accept: %s is the cause") % self.found.joint.name
        return self.tr("Accept: %s is not the cause") % self.found.joint.name


class SuccessCard(Card):
    """How often each way of sealing again cured a leak in this project."""

    def __init__(self, counts: Sequence[SuccessCount]) -> None:
        super().__init__()
        self.rows.addWidget(Heading(self.tr("What sealing again has cured so far"), 2))
        self.rows.addWidget(TonedLabel(self.tr("Of the places that were looked at after it:")))
        for count in counts:
            self.rows.addWidget(_text(capital(success_sentence(count))))


def _text(text: str) -> QLabel:
    label = TonedLabel(text, Tone.TEXT)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
