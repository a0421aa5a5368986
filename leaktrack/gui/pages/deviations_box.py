"""Where a sealing job departs from its material's rule, said prominently."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import Card, Heading, IconPicture, TonedLabel
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.model.sealing_job import Deviation, DeviationKind
from leaktrack.model.words import FACTS, deviation_sentence
from leaktrack.workflows.view_sealing_job import JobView


class DeviationsBox(QWidget):
    """One line per departure, then what was not recorded; or that none is known."""

    def __init__(self) -> None:
        super().__init__()
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self.heading = Heading("", 2)
        self._card = Card()
        self._rows.addWidget(self._card)
        self.sentences: tuple[str, ...] = ()

    def show_job(self, view: JobView) -> None:
        """Show a job's departures."""
        departures = [each for each in view.deviations if not _is_gap(each)]
        gaps = [each for each in view.deviations if _is_gap(each)]
        self._rows.removeWidget(self._card)
        self._card.hide()
        self._card.deleteLater()
        self._card = Card("attention" if departures else "true")
        self._card.setAccessibleName(self.tr("Departures from the rule"))
        self._rows.addWidget(self._card)
        self.heading = Heading(self._title(view, len(departures)), 2)
        self._card.rows.addWidget(self.heading)
        self.sentences = tuple(_capital(deviation_sentence(each)) for each in departures)
        for sentence in self.sentences:
            self._card.rows.addWidget(_line("attention", sentence, Tone.ATTENTION))
        if gaps:
            names = ", ".join(FACTS.get(each.subject, each.subject) for each in gaps)
            text = self.tr("Not recorded, so it cannot be checked: %s.") % names
            self.sentences = (*self.sentences, text)
            self._card.rows.addWidget(_line("unknown", text, Tone.QUIET))
        if view.rule is not None and view.rule.source:
            self._card.rows.addWidget(TonedLabel(self.tr("Whose rule: %s") % view.rule.source))

    def _title(self, view: JobView, count: int) -> str:
        if view.rule is None:
            return self.tr("No rule to hold this job against")
        name = view.material.name if view.material is not None else ""
        if count == 0:
            return self.tr("No departure from the rule of %s is known") % name
        if count == 1:
            return self.tr("One departure from the rule of %s") % name
        return self.tr("%d departures from the rule of %s") % (count, name)


def _is_gap(deviation: Deviation) -> bool:
    return deviation.kind is DeviationKind.NOT_RECORDED


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]


def _line(icon_name: str, text: str, tone: Tone) -> QWidget:
    line = QWidget()
    row = QHBoxLayout(line)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(GAP)
    row.addWidget(IconPicture(icon_name, tone), 0, Qt.AlignmentFlag.AlignTop)
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    row.addWidget(label, 1)
    return line
