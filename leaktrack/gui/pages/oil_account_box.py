"""The oil account of a run: what is missing against what visible leaks explain."""

from uuid import UUID

from PySide6.QtWidgets import QWidget

from leaktrack.gui.look.panels import Card, Heading, TonedLabel
from leaktrack.gui.look.theme import Tone
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput
from leaktrack.model.oil_words import account_details, account_sentence
from leaktrack.workflows.account_oil import oil_account


class OilAccountBox(Card):
    """One sentence, then the items and what they assume."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self._session = session
        self.sentence = TonedLabel(tone=Tone.TEXT)
        self.details = TonedLabel()
        self.rows.addWidget(Heading(self.tr("Oil account"), 3))
        self.rows.addWidget(self.sentence)
        self.rows.addWidget(self.details)
        self.setAccessibleName(self.tr("Oil account"))

    def show_run(self, run_id: UUID) -> None:
        """Draw up the account of a run from what is recorded now."""
        units = self._session.settings.units
        try:
            account = oil_account(self._session.project, run_id)
        except BadInput as error:
            told: tuple[str, ...] = (str(error),)
        else:
            told = (account_sentence(account, units), *account_details(account, units))
        self.sentence.setText(told[0])
        self.details.setText("\n".join(told[1:]))
        self.details.setVisible(len(told) > 1)
        self.setAccessibleDescription("\n".join(told))
