"""What became of the photos that were offered last: one line for each that needs a word."""

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QListWidgetItem, QWidget

from leaktrack.gui.look.panels import Card, TonedLabel, icon_button
from leaktrack.gui.look.theme import Tone, icon
from leaktrack.workflows.add_photos import AddedPhoto, AddedPhotos, Outcome

_ROWS_SHOWN = 6


class AddedList(Card):
    """Counts added, duplicate and refused photos; says why one was not added, or what is odd."""

    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("true", parent)
        self._summary = TonedLabel("", Tone.TEXT)
        self._list = QListWidget()
        self._list.setAccessibleName(self.tr("Photos that need a word"))
        self._list.setWordWrap(True)
        self._list.setIconSize(QSize(16, 16))
        self._list.setTabKeyNavigation(False)
        head = QHBoxLayout()
        head.addWidget(self._summary, 1)
        head.addWidget(icon_button("close", self.tr("Close this list"), self._close))
        self.rows.addLayout(head)
        self.rows.addWidget(self._list)
        self.hide()

    @property
    def summary(self) -> str:
        """The counts, in a line."""
        return self._summary.text()

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines below it."""
        return tuple(self._list.item(row).text() for row in range(self._list.count()))

    def show_outcome(self, outcome: AddedPhotos) -> None:
        """Tell what became of everything that was offered."""
        counts = {
            kind: sum(1 for result in outcome.results if result.outcome is kind) for kind in Outcome
        }
        parts = [self.tr("%d added") % counts[Outcome.ADDED]]
        if counts[Outcome.DUPLICATE]:
            parts.append(self.tr("%d here already") % counts[Outcome.DUPLICATE])
        if counts[Outcome.REFUSED]:
            parts.append(self.tr("%d refused") % counts[Outcome.REFUSED])
        if not outcome.results:
            parts = [self.tr("No photos were found there")]
        if outcome.was_cancelled:
            parts.append(self.tr("stopped early; what was finished is kept"))
        self._summary.setText(", ".join(parts))
        self._list.clear()
        for result in outcome.results:
            if result.reason:
                self._list.addItem(_line(result))
        rows = min(_ROWS_SHOWN, self._list.count())
        line = self.fontMetrics().height() + 12
        self._list.setFixedHeight(rows * line + 4)
        self._list.setVisible(rows > 0)
        self.show()

    def _close(self) -> None:
        self.hide()
        self.closed.emit()


def _line(result: AddedPhoto) -> QListWidgetItem:
    icons = {Outcome.DUPLICATE: "copy", Outcome.REFUSED: "problem", Outcome.ADDED: "attention"}
    reason = result.reason
    text = reason if result.name in reason else f"{result.name}: {reason}"
    return QListWidgetItem(icon(icons[result.outcome]), text)
