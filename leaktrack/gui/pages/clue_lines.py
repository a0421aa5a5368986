"""The clues of one origin, a line each: what it says, how much that weighs, and what shows it."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import IconPicture, TonedLabel, icon_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.model.clue_words import capital, clue_sentence, is_gap_in_record, weight_words
from leaktrack.model.trace import Clue, ClueKind
from leaktrack.model.words import FACTS

_SAYS_NOTHING = 0.05
"""A weight below this speaks neither for nor against."""

_OF_OTHER_RECORDS = frozenset(
    {
        ClueKind.LEAKED_BEFORE,
        ClueKind.WET_AT_BASELINE,
        ClueKind.DRY_AT_BASELINE,
        ClueKind.NOT_CLEANED,
        ClueKind.SEVERAL_AT_ONCE,
        ClueKind.ONE_AT_A_TIME,
        ClueKind.HIGH_PRESSURE,
        ClueKind.PRESSURE_NORMAL,
    }
)
"""What another leak or an inspection says; what the job says stands on the job's own page."""


class ClueLines(QWidget):
    """Lines below each other; what was not recorded comes together in the last one."""

    clue_wanted = Signal(object)
    """Show what shows this Clue: its photo, or its record."""

    def __init__(self, clues: Sequence[Clue]) -> None:
        super().__init__()
        self.sentences: list[str] = []
        self.buttons: list[QToolButton] = []
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        gaps = []
        for clue in clues:
            if is_gap_in_record(clue) and clue.deviation is not None:
                gaps.append(FACTS.get(clue.deviation.subject, clue.deviation.subject))
            else:
                rows.addWidget(self._line(clue))
        if gaps:
            text = self.tr("Not recorded: %s") % ", ".join(gaps)
            self.sentences.append(text)
            rows.addWidget(_row("unknown", Tone.TEXT, text, ""))

    def _line(self, clue: Clue) -> QWidget:
        text = capital(clue_sentence(clue))
        self.sentences.append(text)
        line = _row(*_icon_of(clue), text, weight_words(clue.weight))
        if clue.photo_id is not None:
            self._add_button(line, clue, "photo", self.tr("Show in the photo: %s") % text)
        elif clue.record_id is not None and clue.kind in _OF_OTHER_RECORDS:
            self._add_button(line, clue, "link", self.tr("Open what says so: %s") % text)
        return line

    def _add_button(self, line: QWidget, clue: Clue, icon_name: str, name: str) -> None:
        button = icon_button(icon_name, name, lambda: self.clue_wanted.emit(clue))
        self.buttons.append(button)
        row = line.layout()
        assert isinstance(row, QHBoxLayout)
        row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)


def _row(icon_name: str, tone: Tone, text: str, weight: str) -> QWidget:
    line = QWidget()
    row = QHBoxLayout(line)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(GAP)
    row.addWidget(IconPicture(icon_name, tone), 0, Qt.AlignmentFlag.AlignTop)
    said = QVBoxLayout()
    said.setSpacing(0)
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    said.addWidget(label)
    if weight:
        said.addWidget(TonedLabel(capital(weight)))
    row.addLayout(said, 1)
    return line


def _icon_of(clue: Clue) -> tuple[str, Tone]:
    """Return a plus for what speaks for, a minus for what speaks against, else a question mark."""
    if abs(clue.weight) < _SAYS_NOTHING:
        return "question", Tone.TEXT
    return ("add", Tone.TEXT) if clue.weight > 0 else ("minus", Tone.TEXT)
