"""The answer of the plan at first sight: what, how long, ready when, for what."""

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import Card, ElidedLabel, Heading, TonedLabel
from leaktrack.gui.look.theme import GAP_L, Tone
from leaktrack.gui.plan.answer_words import FigureWords
from leaktrack.gui.plan.plan_solver import Step


class Figure(QWidget):
    """A figure with what it is about above it and what it means below."""

    def __init__(self) -> None:
        super().__init__()
        self.caption, self.value, self.note = TonedLabel(), Heading("", 2), TonedLabel()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        for label in (self.caption, self.value, self.note):
            label.setWordWrap(False)
            rows.addWidget(label)

    def show_words(self, words: FigureWords) -> None:
        """Show a figure."""
        self.caption.setText(words.caption)
        self.value.setText(words.value)
        self.note.setText(words.note)
        self.setAccessibleName(words.sentence)


class AnswerCard(Card):
    """The figures side by side; where nothing can be done as asked, what is to blame."""

    def __init__(self) -> None:
        super().__init__()
        self.figures: list[Figure] = []
        self.conflict = TonedLabel("", Tone.PROBLEM)
        self.state = ElidedLabel()
        """What is still being worked out; whoever builds the page gives it a place."""
        self._place = QWidget()
        self._flow = FlowLayout(GAP_L, self._place)
        self.rows.addWidget(self.conflict)
        self.hint = TonedLabel("", Tone.TEXT)
        self.rows.addWidget(self._place)
        self.rows.addWidget(self.hint)
        self.conflict.hide()
        self.hint.hide()
        self.show_step(Step.NOTHING)

    def show_figures(self, figures: Sequence[FigureWords], hint: str = "") -> None:
        """Show what the plan comes to, and what to do where it comes to nothing."""
        self.hint.setText(hint)
        self.hint.setVisible(bool(hint))
        self.set_kind("true")
        self.conflict.hide()
        self._place.show()
        while len(self.figures) < len(figures):
            figure = Figure()
            self.figures.append(figure)
            self._flow.addWidget(figure)
        for figure, words in zip(self.figures, figures, strict=True):
            figure.show_words(words)

    def show_conflict(self, sentence: str) -> None:
        """Say which requirement makes it impossible."""
        self.set_kind("attention")
        self.conflict.setText(sentence)
        self.conflict.show()
        self._place.hide()
        self.hint.hide()

    def show_step(self, step: Step) -> None:
        """Say what is still being worked out."""
        self.state.set_whole_text(
            {
                Step.NOTHING: "",
                Step.GATHERING: self.tr("Weighing the tasks…"),
                Step.CHOOSING: self.tr("Choosing…"),
                Step.ORDERING: self.tr("Working out the order…"),
                Step.EXPLAINING: self.tr("Working out the reasons…"),
            }[step]
        )
