"""How bad a mark is, on a card: verdict, proposed grade with its rule, classes, volume of drops.

The wet area is measured at the printed target in the photo, if there is one, by itself.
"""

from collections.abc import Callable
from uuid import UUID

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from leaktrack.gui.look.panels import Card, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.pages.photo_answers import PhotoAnswers
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.grade_card import GradeCard as Judged
from leaktrack.model.grade_card_words import card_words
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.words import grade_words
from leaktrack.workflows.judge_leaks import grade_card
from leaktrack.workflows.measure_scale import scale_of


class GradeCard(Card):
    """Shows one mark's card; a key takes the proposed grade.

    Args:
        session: The session.
        grade: Gives the selected mark a grade, as one undoable step.
    """

    def __init__(
        self,
        session: Session,
        grade: Callable[[SeepageGrade], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent=parent)
        self._session = session
        self._grade = grade
        self._mark: LeakMark | None = None
        self._judged: Judged | None = None
        self._scales = PhotoAnswers(session, scale_of, self)
        self._scales.ready.connect(self._on_scale)
        self.verdict = TonedLabel(tone=Tone.TEXT)
        self.proposal = TonedLabel(tone=Tone.TEXT)
        self.details = TonedLabel()
        self.amounts = TonedLabel()
        self.take = _take_action(self, self.take_proposal)
        self.take_button = push_button("", self.take_proposal, icon_name="check")
        self.rows.setContentsMargins(GAP, GAP_S, GAP, GAP_S)  # the pane is narrow
        self.rows.setSpacing(GAP_S)
        for part in (
            self.verdict, self.proposal, self.take_button, self.details, self.amounts,
        ):  # fmt: skip
            self.rows.addWidget(part)
        self.setAccessibleName(self.tr("How bad it is"))
        self.show_mark(None)

    def show_mark(self, mark: LeakMark | None) -> None:
        """Show another mark, or what is known of it by now; None hides the card."""
        self._mark = mark
        self._judged = self._judge(mark) if mark is not None else None
        self.setVisible(self._judged is not None)
        can_take = (
            self._judged is not None
            and self._judged.offers_other_grade
            and not self._session.project.is_read_only
        )
        self.take.setEnabled(can_take)
        self.take_button.setVisible(can_take)
        if self._judged is None:
            return
        words = card_words(self._judged, self._session.settings.units)
        self.verdict.setText(words.verdict)
        self.proposal.setText(words.proposal)
        self.details.setText("\n".join(words.details))
        self.amounts.setText("\n".join(words.amounts))
        self.amounts.setVisible(bool(words.amounts))
        self.setToolTip("\n".join(words.sources))
        self.setAccessibleDescription(self.text)
        if can_take:
            name = self.tr("Take %s") % grade_words(self._judged.proposal.grade)
            self.take_button.setText(f"{name} ({self.take.shortcut().toString()})")
            self.take_button.setAccessibleName(name)

    @property
    def text(self) -> str:
        """All that the card says."""
        parts = (self.verdict, self.proposal, self.details, self.amounts)
        return "\n".join(part.text() for part in parts if part.text())

    def take_proposal(self) -> None:
        """Give the mark the proposed grade."""
        if self._judged is not None and self.take.isEnabled():
            self._grade(self._judged.proposal.grade)

    def _judge(self, mark: LeakMark) -> Judged | None:
        scale = self._scales.get(mark.photo_id) if mark.outline_px else None
        limits = self._session.settings.grade_limits
        try:
            return grade_card(self._session.project, mark.id, limits, scale)
        except LeakTrackError as error:
            self._session.report(error)
            return None

    def _on_scale(self, photo_id: UUID) -> None:
        if self._mark is not None and self._mark.photo_id == photo_id:
            self.show_mark(self._mark)


def _take_action(parent: QObject, run: Callable[[], object]) -> QAction:
    action = QAction(parent.tr("&Take the proposed grade"), parent)
    action.setShortcut(QKeySequence("T"))
    # Only while the photo or the list of marks has the keyboard, as the other keys of marks.
    action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
    action.triggered.connect(lambda _checked=False: run())
    return action
