"""The schedule with its buttons, its key to the shapes, and what the bar in hand says."""

from collections.abc import Mapping

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import TonedLabel, icon_button
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.plan.schedule_chart import ScheduleChart
from leaktrack.gui.plan.schedule_painting import paint_bar
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.words import word
from leaktrack.model.work_sheet import DatedSlot, WorkSheet

_KINDS = (WorkKind.TAKE_OFF, WorkKind.TASK, WorkKind.CURE, WorkKind.REFIT)


class ScheduleBox(QWidget):
    """Who does what when. In place of it: why there is no schedule."""

    def __init__(self) -> None:
        super().__init__()
        self.chart = ScheduleChart()
        self.instead = TonedLabel("", Tone.QUIET)
        self.read_out = TonedLabel("", Tone.TEXT)
        self._proof = ""
        self._hint = self.tr("Arrow keys or a click: what a bar is. Plus and minus: zoom.")
        self.buttons = QWidget()
        tools = QHBoxLayout(self.buttons)
        tools.setContentsMargins(0, 0, 0, 0)
        tools.setSpacing(GAP_S)
        for name, text, act in (
            ("zoom_in", self.tr("Make hours wider"), self.chart.zoom_in),
            ("zoom_out", self.tr("Make hours narrower"), self.chart.zoom_out),
            ("zoom_fit", self.tr("Show the whole schedule"), self.chart.show_all),
        ):
            tools.addWidget(icon_button(name, text, act))
        keys = QWidget()
        row = FlowLayout(GAP, keys)
        for kind in _KINDS:
            row.addWidget(_Key(kind))
        self._head = QWidget()
        head = QHBoxLayout(self._head)
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(keys, 1)
        head.addWidget(self.buttons, 0, Qt.AlignmentFlag.AlignTop)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        for each in (self._head, self.instead, self.chart, self.read_out):
            rows.addWidget(each)
        rows.addStretch(1)
        self.chart.slot_taken.connect(self._on_slot_taken)
        self.say("")

    def show_sheet(
        self, sheet: WorkSheet, workers: int, names: Mapping[str, str], proof: str
    ) -> None:
        """Show who does what when, and how good that order is, in words."""
        self.chart.show_sheet(sheet, workers, names)
        self._proof = proof
        self._on_slot_taken(self.chart.taken)
        self._set_shown(is_shown=bool(sheet.slots))
        self.instead.setText(self.tr("Nothing is chosen, so there is nothing to order."))

    def say(self, sentence: str, tone: Tone = Tone.QUIET) -> None:
        """Show a sentence in place of the schedule."""
        self.instead.set_tone(tone)
        self.instead.setText(sentence)
        self._set_shown(is_shown=False)

    def _set_shown(self, *, is_shown: bool) -> None:
        for each in (self._head, self.chart, self.read_out):
            each.setVisible(is_shown)
        self.instead.setVisible(not is_shown)

    def _on_slot_taken(self, slot: DatedSlot | None) -> None:
        free = " ".join(filter(None, [self._proof, self._hint]))
        self.read_out.setText(free if slot is None else self.chart.words_of(slot))


class _Key(QWidget):
    """One shape with its word."""

    def __init__(self, kind: WorkKind) -> None:
        super().__init__()
        self._kind = kind
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_S)
        row.addWidget(_Swatch(kind))
        label = TonedLabel(word(kind))
        label.setWordWrap(False)
        row.addWidget(label)


class _Swatch(QWidget):
    def __init__(self, kind: WorkKind) -> None:
        super().__init__()
        self._kind = kind

    def sizeHint(self) -> QSize:
        """Return room for a short bar."""
        line = self.fontMetrics().height()
        return QSize(round(1.8 * line), line)

    def minimumSizeHint(self) -> QSize:
        """Return the same."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the bar."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_bar(painter, QRectF(self.rect()).adjusted(1, 1, -1, -1), self._kind, "")
