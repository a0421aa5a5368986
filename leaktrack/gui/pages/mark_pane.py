"""The marks of the photo in hand as a list, with grade buttons and details of the selected one."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.forms.times import day_text
from leaktrack.gui.look.panels import CautionBox, Heading, ScrolledPage, TonedLabel
from leaktrack.gui.look.theme import GAP, target_size
from leaktrack.gui.pages.answer_bar import AnswerBar
from leaktrack.gui.pages.carried_note import CarriedNote
from leaktrack.gui.pages.grade_buttons import GradeButtons
from leaktrack.gui.pages.grade_card import GradeCard
from leaktrack.gui.pages.look_warnings import LookWarnings
from leaktrack.gui.pages.mark_details import MarkDetails
from leaktrack.gui.pages.mark_editor import MarkEditor
from leaktrack.gui.pages.marks_list import MarksList
from leaktrack.gui.pages.photo_contents import proposal_words
from leaktrack.gui.session import Session
from leaktrack.model.caution import Caution
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.words import grade_words
from leaktrack.workflows.propose_marks import MarkProposal


class MarkPane(QWidget):
    """What a person says about the marks; all of it by keyboard too."""

    seen = Signal(bool)
    """The pane is shown now, or no longer."""

    def __init__(
        self,
        session: Session,
        editor: MarkEditor,
        answers: AnswerBar,
        note: CarriedNote,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._editor = editor
        self.list = MarksList(target_size(session.settings) + 4)
        self.list.setMinimumHeight(100)
        self.answers = answers
        self.dismissed_button = QToolButton()
        self.dismissed_button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.dismissed_button.setDefaultAction(answers.show_dismissed)
        self.dismissed_button.setAccessibleName(self.tr("Show what was dismissed"))
        self.grades = GradeButtons(session)
        self.card = GradeCard(session, editor.grade)
        self.details = MarkDetails(session)
        self.cautions = CautionBox()
        self.warnings = LookWarnings(session)
        self._grade_heading = Heading(self.tr("Grade"), 3)
        self._hint = TonedLabel()
        self.note = note
        below = QWidget()
        lower = QVBoxLayout(below)
        lower.setContentsMargins(0, 0, GAP, 0)
        lower.setSpacing(GAP)
        lower.addWidget(self.card)
        lower.addWidget(self.details)
        lower.addWidget(self.warnings)
        lower.addWidget(self.cautions)
        lower.addStretch(1)
        rows = self._rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(Heading(self.tr("Marks"), 2))
        rows.addWidget(self.list, 1)
        rows.addWidget(note)
        rows.addWidget(self.answers)
        rows.addWidget(self.dismissed_button)
        rows.addWidget(self._grade_heading)
        rows.addWidget(self.grades)
        rows.addWidget(self._hint)
        rows.addWidget(ScrolledPage(below), 2)
        note.focus_left.connect(self.list.setFocus)
        self.grades.graded.connect(editor.grade)
        self.details.answered.connect(editor.answer)
        self.details.leak_chosen.connect(editor.set_leak)
        self.details.joint_chosen.connect(editor.set_joint)

    def show_selection(self) -> None:
        """Show the grade and the details of what is selected."""
        pair, proposal = self._editor.mark, self._editor.proposal
        self.details.show_mark(pair)
        self.card.show_mark(pair[0] if pair else None)
        self.grades.setEnabled(self._editor.can_edit)
        if pair is not None:
            self._say(self.tr("Grade of leak %d") % pair[1].number, "")
            self.grades.show_grade(pair[0].grade)
        elif proposal is not None:
            self._say(*self._proposal_words(proposal))
            self.grades.show_grade(None)
        else:
            self.grades.show_grade(None)
            words = grade_words(self._editor.next_grade)
            hint = self.tr("The next new leak gets: %s") % words
            self._say(self.tr("Grade"), hint if self._editor.can_edit else "")

    def _proposal_words(self, proposal: MarkProposal) -> tuple[str, str]:
        """Return heading and hint for a selected proposal."""
        new, known = self.tr("Grade of a new leak"), self.tr("Grade of leak %d now")
        if proposal.dismissal is not None:
            day = day_text(proposal.dismissal.decided_at)
            said = self.tr("It was said on %s that this is no leak. B proposes it again; a grade ")
            return self.tr("Dismissed"), said % day + self.tr("marks it as a new leak.")
        heading = new if proposal.leak is None else known % proposal.leak.number
        if proposal.found is None:
            carried = self.tr("Carried from the last inspection")
            so_far = self.tr(", so far by two photos alone") if proposal.may_move else ""
            grade_it = self.tr("Grade it (0 to 5, N not seen) or dismiss it (D).")
            return heading, f"{carried}{so_far}. {grade_it}"
        words = proposal_words(proposal)
        grade = SeepageGrade.DRY if proposal.seems_dry else self._editor.wet_grade
        ask = self.tr("Accept it (A) as %s, grade it (0 to 5, N) or dismiss it (D).")
        return heading, f"{words[:1].upper()}{words[1:]}. {ask % grade_words(grade)}"

    def set_dismissed(self, count: int) -> None:
        """Offer to show so many regions that were said to be no leak."""
        one, several = self.tr("1 dismissed"), self.tr("%d dismissed") % count
        self.answers.show_dismissed.setIconText(one if count == 1 else several)
        self.dismissed_button.setVisible(count > 0)

    def show_look(self, inspection_id: UUID | None, cautions: Sequence[Caution] = ()) -> None:
        """Warn of what can hurt somebody at this look, and of what makes it doubtful."""
        self.cautions.set_cautions(cautions)
        self.warnings.show_look(inspection_id)

    @property
    def hint(self) -> str:
        """What is said below the grades."""
        return self._hint.text()

    def _say(self, heading: str, hint: str) -> None:
        self._grade_heading.setText(heading)
        self._hint.setText(hint)
        self._hint.setVisible(bool(hint))
        self._fit_hint()

    def _fit_hint(self) -> None:
        # The layout reckons with too few lines of a wrapped text: other things would be covered.
        room = self.contentsRect().width() - self._rows.contentsMargins().left()
        self._hint.setMinimumHeight(max(0, self._hint.heightForWidth(room)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave room for all lines of the hint."""
        super().resizeEvent(event)
        self._fit_hint()

    def showEvent(self, event: QShowEvent) -> None:
        """Tell that somebody looks at the marks."""
        super().showEvent(event)
        self.seen.emit(True)

    def hideEvent(self, event: QHideEvent) -> None:
        """Tell that nobody looks at them any more."""
        super().hideEvent(event)
        self.seen.emit(False)
