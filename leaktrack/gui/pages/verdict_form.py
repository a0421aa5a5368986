"""A person's verdict on one possible cause: a reason first, then one of three buttons."""

from collections.abc import Mapping
from datetime import datetime
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.forms.times import day_text
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.look.toggle_button import ToggleButton
from leaktrack.model.trace import Candidate, CauseState
from leaktrack.model.words import word

_ICONS = {
    CauseState.SUSPECTED: "suspect",
    CauseState.CONFIRMED: "confirm",
    CauseState.RULED_OUT: "rule_out",
}


class VerdictForm(QWidget):
    """Says what was decided, and takes another decision."""

    decided = Signal(object, str, object)
    """Set this CauseState for this reason, about this bolt (UUID or None)."""

    def __init__(self, candidate: Candidate, bolts: Mapping[UUID, str], *, is_locked: bool) -> None:
        super().__init__()
        self._stored = candidate.verdict.reason if candidate.verdict else ""
        self.reason = TextField(self.tr("Reason for your verdict"))
        self.reason.line.setPlaceholderText(self.tr("What shows it?"))
        self.reason.line.setText(self._stored)
        self.reason.line.setCursorPosition(0)
        self.bolt = ChoiceField(self.tr("Place"), bolts, absent=self.tr("the joint as a whole"))
        self.bolt.set_value(_bolt_id(candidate))
        self.bolt.answered.connect(self.bolt.set_value)
        self.bolt.setVisible(bool(bolts))
        self.buttons: dict[CauseState, ToggleButton] = {}
        row = QWidget()
        flow = FlowLayout(GAP_S, row)
        for state in CauseState:
            button = self._button(state, candidate, is_locked=is_locked)
            self.buttons[state] = button
            flow.addWidget(button)
        for field in (self.reason, self.bolt):
            field.editor.setEnabled(not is_locked)
            name = self.tr("%s, %s") % (field.name, candidate.joint.name)
            field.editor.setAccessibleName(name)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        self.said = TonedLabel(_said(candidate), Tone.TEXT)
        self.said.setVisible(candidate.verdict is not None)
        rows.addWidget(self.said)
        rows.addWidget(FieldGrid((self.reason, self.bolt), wide=(self.reason,)))
        rows.addWidget(row)

    @property
    def draft(self) -> str:
        """What was typed as a reason and not taken yet."""
        text = self.reason.line.text()
        return "" if text == self._stored else text

    def set_draft(self, text: str) -> None:
        """Bring back what was being typed."""
        self.reason.line.setText(text)

    def _button(self, state: CauseState, candidate: Candidate, *, is_locked: bool) -> ToggleButton:
        texts = {
            CauseState.SUSPECTED: self.tr("Suspect"),
            CauseState.CONFIRMED: self.tr("Confirm"),
            CauseState.RULED_OUT: self.tr("Rule out"),
        }
        button = ToggleButton(texts[state], _ICONS[state], partial(self._decide, state))
        button.setChecked(candidate.verdict is not None and candidate.verdict.state is state)
        button.setAccessibleName(f"{texts[state]}: {candidate.joint.name}")
        button.setEnabled(not is_locked)
        return button

    def _decide(self, state: CauseState) -> None:
        button = self.buttons[state]
        reason = " ".join(self.reason.line.text().split())
        if reason:
            self.decided.emit(state, reason, self.bolt.stored)
            return
        button.setChecked(False)
        self.reason.complain(
            self.tr("A verdict needs a reason: write down what shows it, then press the button.")
        )
        self.reason.line.setFocus(Qt.FocusReason.OtherFocusReason)


def _bolt_id(candidate: Candidate) -> UUID | None:
    if candidate.verdict is not None:
        return candidate.verdict.bolt_id
    return candidate.bolt.id if candidate.bolt is not None else None


def _said(candidate: Candidate) -> str:
    """Return the verdict that stands, such as "Confirmed on 2026-04-05: the bead has a gap"."""
    verdict = candidate.verdict
    if verdict is None:
        return ""
    decided_at: datetime = verdict.decided_at
    by = f", {verdict.decided_by}" if verdict.decided_by else ""
    state = word(verdict.state)
    return f"{state[:1].upper()}{state[1:]} ({day_text(decided_at)}{by}): {verdict.reason}"
