"""How far the photos are made ready that nobody waits for: quiet, at the foot of the window."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QWidget

from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP

if TYPE_CHECKING:
    from leaktrack.gui.photo_index import PhotoIndex


class IndexRow(QWidget):
    """A count with Pause and Stop; out of sight while there is nothing to tell."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._index: PhotoIndex | None = None
        self.words = TonedLabel()
        self.words.setWordWrap(False)
        self.pause_button = push_button(self.tr("Pause"), self._on_pause, is_quiet=True)
        self.stop_button = push_button(self.tr("Stop"), self._on_stop, is_quiet=True)
        self.stop_button.setAccessibleName(self.tr("Stop getting photos ready"))
        self.stop_button.setToolTip(
            self.tr("Until the project is opened again; photos are then got ready when needed")
        )
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.words)
        row.addWidget(self.pause_button)
        row.addWidget(self.stop_button)
        self.hide()

    def watch(self, index: "PhotoIndex | None") -> None:
        """Tell of this index from now on; None tells of none."""
        if self._index is not None:
            self._index.changed.disconnect(self._show)
        self._index = index
        if index is not None:
            index.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        index = self._index
        has_begun = index is not None and (index.done > 0 or index.is_paused)
        is_wanted = index is not None and has_begun and index.left > 0 and not index.is_stopped
        self.setVisible(is_wanted)
        if index is None or not is_wanted:
            return
        words = self.tr("Getting photos ready to compare: {done} of {total}")
        self.words.setText(words.format(done=index.done, total=index.done + index.left))
        self.pause_button.setText(self.tr("Go on") if index.is_paused else self.tr("Pause"))
        self.pause_button.setAccessibleName(
            self.tr("Go on getting photos ready")
            if index.is_paused
            else self.tr("Pause getting photos ready")
        )

    def _on_pause(self) -> None:
        if self._index is not None:
            self._index.pause(not self._index.is_paused)

    def _on_stop(self) -> None:
        if self._index is not None:
            self._index.stop()
