"""The spans of footage that show a sealing job, as a list."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QListWidgetItem

from leaktrack.gui.look.theme import GAP_S, icon
from leaktrack.model.photo import Clip
from leaktrack.model.sealing_job import Evidence
from leaktrack.workflows.clips import time_code

_MOST_ROWS = 4


class SpanList(QListWidget):
    """One row per span. Enter or a click shows it, Delete asks to take it away."""

    opened = Signal(object)
    """Show this piece of evidence (Evidence)."""
    removal_wanted = Signal(object)
    """Take this piece of evidence (Evidence) away from the job."""

    def __init__(self) -> None:
        super().__init__()
        self._spans: tuple[Evidence, ...] = ()
        self.setAccessibleName(self.tr("Spans of footage"))
        self.setWordWrap(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.itemClicked.connect(lambda _item: self._open())

    @property
    def current(self) -> Evidence | None:
        """The span that the keyboard is on."""
        row = self.currentRow()
        return self._spans[row] if 0 <= row < len(self._spans) else None

    def show_spans(self, spans: Sequence[Evidence], clips: Mapping[UUID, Clip]) -> None:
        """Show these spans; the current one stays current."""
        kept = self.current
        self._spans = tuple(spans)
        with QSignalBlocker(self):
            self.clear()
            for span in self._spans:
                clip = None if span.clip_id is None else clips.get(span.clip_id)
                self.addItem(QListWidgetItem(icon("clip"), self._words(span, clip)))
            ids = [each.id for each in self._spans]
            self.setCurrentRow(ids.index(kept.id) if kept and kept.id in ids else -1)
        line = self.sizeHintForRow(0) if self._spans else 0
        rows = min(len(self._spans), _MOST_ROWS)
        self.setFixedHeight(max(line, self.fontMetrics().height() + GAP_S) * rows + 3 * GAP_S)
        self.setVisible(bool(self._spans))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Show with Enter, ask for removal with Delete."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open()
        elif event.key() == Qt.Key.Key_Delete and self.current is not None:
            self.removal_wanted.emit(self.current)
        else:
            super().keyPressEvent(event)

    def _open(self) -> None:
        if self.current is not None:
            self.opened.emit(self.current)

    def _words(self, span: Evidence, clip: Clip | None) -> str:
        name = clip.name if clip is not None else self.tr("a clip that is gone")
        start = time_code(span.start_ms or 0)
        end = self.tr("the end") if span.end_ms is None else time_code(span.end_ms)
        note = f": {span.note}" if span.note else ""
        return self.tr("%s, %s to %s") % (name, start, end) + note
