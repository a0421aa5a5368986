"""One piece of work on the work sheet."""

from collections.abc import Iterator

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from leaktrack.gui.forms.numbers import parse_number
from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.plan.own_number_field import TookField
from leaktrack.gui.plan.schedule_words import hours_words
from leaktrack.model.errors import BadInput
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_sentences import part_words, work_words
from leaktrack.model.words import word
from leaktrack.model.work_sheet import SheetLine

_FIELD_CHARACTERS = 16


class SheetRow(Card):
    """What to do, by whom and with what; how long it took, and that it is done."""

    done = Signal(object)
    """It is done; it took so many hours (float), or nobody noted them (None)."""

    def __init__(self, line: SheetLine, *, is_locked: bool) -> None:
        super().__init__()
        self.line = line
        name = work_words(line.kind, line.name)
        self.heading = Heading(name, 3)
        self.hours_field = TookField(self.tr("It took"), line.whole_hours)
        self.done_button: QPushButton = push_button(
            self.tr("Done"), self._on_done, icon_name="confirm"
        )
        self.done_button.setAccessibleName(self.tr("Done: %s") % name)
        self.hours_field.editor.setAccessibleName(self.tr("Hours it took: %s") % name)
        self.hours_field.setFixedWidth(self.fontMetrics().averageCharWidth() * _FIELD_CHARACTERS)
        self.hours_field.lock(is_locked)
        self.done_button.setEnabled(not is_locked)
        words = QVBoxLayout()
        words.setSpacing(GAP_S)
        words.addWidget(self.heading)
        words.addWidget(TonedLabel(self._when()))
        for text in self._with_what():
            words.addWidget(TonedLabel(text, Tone.TEXT))
        for caution in line.cautions:
            words.addWidget(TonedLabel(word(caution), Tone.ATTENTION))
        row = QHBoxLayout()
        row.setSpacing(GAP)
        row.addLayout(words, 1)
        tick = QHBoxLayout()
        tick.setSpacing(GAP)
        tick.addWidget(self.hours_field)
        tick.addWidget(self.done_button, 0, Qt.AlignmentFlag.AlignBottom)
        beside = QVBoxLayout()
        beside.addLayout(tick)
        beside.addStretch(1)
        row.addLayout(beside)
        self.rows.addLayout(row)
        # A cure ends by itself; what goes on tomorrow is ticked off where it ends.
        is_ticked_here = line.kind is not WorkKind.CURE and not line.goes_on
        self.hours_field.setVisible(is_ticked_here)
        self.done_button.setVisible(is_ticked_here)

    def _when(self) -> str:
        line = self.line
        begin, end = hours_words(line.begin_h), hours_words(line.end_h)
        parts = [self.tr("Person %d") % line.worker] if line.worker is not None else []
        if line.kind is WorkKind.CURE:
            parts.append(
                self.tr("by itself, %s from %s on") % (hours_words(line.whole_hours), begin)
            )
        else:
            parts.append(self.tr("from %s to %s of the day") % (begin, end))
        if line.is_continued:
            parts.append(self.tr("goes on from the day before"))
        if line.goes_on and line.kind is not WorkKind.CURE:
            parts.append(self.tr("goes on the next day"))
        return ", ".join(parts)

    def _with_what(self) -> Iterator[str]:
        line = self.line
        if line.tools:
            yield self.tr("Tools: %s") % ", ".join(line.tools)
        if line.parts:
            yield self.tr("Parts: %s") % ", ".join(map(part_words, line.parts))
        yield from line.instructions

    def _on_done(self) -> None:
        text = self.hours_field.line.text().strip()
        try:
            hours = parse_number(text, QLocale().decimalPoint()) if text else None
        except BadInput as error:
            self.hours_field.complain(str(error))
            return
        self.done.emit(hours)
