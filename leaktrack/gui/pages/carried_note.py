"""How far it is with the leaks carried to the photo in hand, and the way to stop that."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.pages.carried_marks import Asking
from leaktrack.gui.pages.open_proposals import OpenProposals


class CarriedNote(QWidget):
    """Hidden where there is nothing to say. It never gets lower while one photo is shown.

    So what stands around it keeps its place under the hand when an answer comes.
    """

    focus_left = Signal()
    """The button that had the keyboard has gone."""

    def __init__(self, proposals: OpenProposals, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._proposals = proposals
        self._label = TonedLabel()
        self._label.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.cancel_button = push_button(self.tr("Cancel"), proposals.carried.cancel)
        self.cancel_button.setAccessibleName(self.tr("Cancel asking more photos"))
        room = self.cancel_button.sizePolicy()
        room.setRetainSizeWhenHidden(True)
        self.cancel_button.setSizePolicy(room)
        row = self._row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._label, 1)
        row.addWidget(self.cancel_button, 0, Qt.AlignmentFlag.AlignTop)
        proposals.carried.progressed.connect(self._on_progressed)
        self.renew(has_any=False)

    @property
    def words(self) -> str:
        """What is said; empty where the note is hidden."""
        return self._label.text()

    def start_anew(self) -> None:
        """Take no more room than is needed: another photo is shown."""
        self._label.setMinimumHeight(0)

    def renew(self, *, has_any: bool) -> None:
        """Say how far it is.

        Args:
            has_any: Whether a carried leak waits for an answer.
        """
        words = self._words(has_any)
        self._label.setText(words)
        self._keep_height()
        is_asking = self._proposals.carried.asking in (Asking.TWO, Asking.MORE)
        had_focus = self.cancel_button.hasFocus()
        self.cancel_button.setVisible(is_asking)
        if had_focus and not is_asking:
            self.focus_left.emit()
        self.setVisible(bool(words))

    def _words(self, has_any: bool) -> str:
        carried = self._proposals.carried
        if carried.asking is Asking.MORE:
            return self._progress_words(*carried.progress)
        words = self._words_beside_places() if has_any else self._words_without()
        said = words.get(carried.asking, "")
        return f"{said} {carried.problem}" if carried.asking is Asking.FAILED else said

    def _words_beside_places(self) -> dict[Asking, str]:
        if self._proposals.held is not None:
            all_said = self.tr(
                "More photos were asked. The selected place follows when you leave it."
            )
        else:
            all_said = self.tr(
                "More photos of this zone were asked; places are as all of them say."
            )
        return {
            Asking.ALL_SAID: all_said,
            Asking.STOPPED: self.tr("Stopped: places stay as two photos tell them."),
            Asking.FAILED: self.tr("Places stay as two photos tell them; others cannot be asked."),
            Asking.TWO: self._searching(),
        }

    def _words_without(self) -> dict[Asking, str]:
        return {
            Asking.TWO: self._searching(),
            Asking.STOPPED: self.tr("Stopped: leaks of last time were not looked for."),
            Asking.FAILED: self.tr("Leaks of last time cannot be looked for."),
        }

    def _searching(self) -> str:
        return self.tr("Looking for the leaks of last time …")

    def _progress_words(self, done: int, total: int) -> str:
        words = self.tr("Places so far by two photos. Asking more of this zone")
        step = self.tr(", step %d of %d") % (done + 1, total) if total else ""
        return f"{words}{step} …"

    def _on_progressed(self) -> None:
        if self._proposals.carried.asking is Asking.MORE:
            words = self._words(has_any=True)
            if words != self._label.text():
                self._label.setText(words)
                self._keep_height()

    def _keep_height(self) -> None:
        if self._label.text():
            # Not the label's own width, which is set only after this widget's.
            button_px = self.cancel_button.sizeHint().width() + self._row.spacing()
            needed = self._label.heightForWidth(self.contentsRect().width() - button_px)
            self._label.setMinimumHeight(max(needed, self._label.minimumHeight()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Make room for all lines of the words, and for no more."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.start_anew()
            self._keep_height()
