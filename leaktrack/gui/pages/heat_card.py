"""How much of a change the oil's heat and the running time alone would make."""

from collections.abc import Sequence

from leaktrack.gui.look.panels import Card, Heading, TonedLabel
from leaktrack.gui.look.theme import Tone
from leaktrack.model.comparison import LeakChange
from leaktrack.model.heat import HeatFactor
from leaktrack.model.heat_words import HEAT_ASSUMES, beyond_sentences, heat_sentences


class HeatCard(Card):
    """The sentence, what it means for each leak, and small what it assumes."""

    def __init__(self) -> None:
        super().__init__()
        self.words = TonedLabel("", Tone.TEXT)
        self.leaks = TonedLabel("", Tone.TEXT)
        self.assumes = TonedLabel(HEAT_ASSUMES)
        self.rows.addWidget(Heading(self.tr("Heat and running time"), 3))
        for each in (self.words, self.leaks, self.assumes):
            self.rows.addWidget(each)

    def show_factor(self, factor: HeatFactor, changes: Sequence[LeakChange]) -> None:
        """Show what can be said of two inspections and their leaks."""
        sentences = [each for each in heat_sentences(factor) if each != HEAT_ASSUMES]
        self.words.setText("\n".join(sentences))
        self.assumes.setVisible(len(sentences) < len(heat_sentences(factor)))
        told = beyond_sentences(factor, changes)
        self.leaks.setText("\n".join(told))
        self.leaks.setVisible(bool(told))
