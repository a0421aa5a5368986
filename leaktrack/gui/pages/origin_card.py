"""An origin of a leak other than a recorded sealing job: chance and clues."""

from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton

from leaktrack.gui.look.chance_bar import ChanceBar
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.pages.clue_lines import ClueLines
from leaktrack.model.clue_words import capital, origin_words
from leaktrack.model.trace import Origin, OtherOrigin


class OriginCard(Card):
    """Reads from top to bottom: what, how likely, why, and a way on where there is one."""

    recording_wanted = Signal(object)
    """Record a sealing job on this joint (UUID)."""

    def __init__(self, rank: int, origin: OtherOrigin, *, is_locked: bool) -> None:
        super().__init__()
        self.origin = origin
        self.rows.addWidget(Heading(f"{rank}. {capital(origin_words(origin))}", 2))
        self.rows.addWidget(ChanceBar(origin.chance))
        self.clues = ClueLines(origin.clues)
        self.rows.addWidget(self.clues)
        self.clues.setVisible(bool(origin.clues))
        self.record_button: QPushButton | None = None
        if origin.origin is Origin.UNKNOWN:
            text = self.tr("Rises where what is recorded does not explain the leak.")
            self.rows.addWidget(TonedLabel(text))
        if origin.faces:
            text = self.tr("Above lies: %s") % ", ".join(origin.faces)
            self.rows.addWidget(TonedLabel(text))
        if origin.joint is not None:
            joint_id: UUID = origin.joint.id
            self.record_button = push_button(
                self.tr("Record the job on %s") % origin.joint.name,
                lambda: self.recording_wanted.emit(joint_id),
                icon_name="add",
            )
            self.record_button.setEnabled(not is_locked)
            self.rows.addWidget(self.record_button)
