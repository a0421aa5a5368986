"""A small picture above the timeline of what lies below the mouse."""

from PySide6.QtCore import QObject, QPoint, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from leaktrack.gui.footage.clip_pictures import ClipPictures
from leaktrack.gui.footage.timeline import Timeline
from leaktrack.gui.look.theme import GAP_S, Tone, color
from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.workflows.clips import time_code


class HoverPicture(QObject):
    """Follows the mouse over a timeline; takes no focus and hides nothing that is clicked."""

    def __init__(self, timeline: Timeline, pictures: ClipPictures) -> None:
        super().__init__(timeline)
        self._timeline = timeline
        self._pictures = pictures
        self._sequence = FootageSequence()
        self._at: tuple[int, int] | None = None
        self.popup = QWidget(timeline, Qt.WindowType.ToolTip)
        self.picture = QLabel()
        self.code = QLabel()
        self.code.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        rows = QVBoxLayout(self.popup)
        rows.setContentsMargins(GAP_S, GAP_S, GAP_S, GAP_S)
        rows.setSpacing(0)
        rows.addWidget(self.picture)
        rows.addWidget(self.code)
        timeline.hovered.connect(self._on_hovered)
        timeline.left.connect(self.hide)
        pictures.ready.connect(self._show)

    def show_sequence(self, sequence: FootageSequence) -> None:
        """Show pictures of these clips from now on."""
        self._sequence = sequence
        self.hide()

    def hide(self) -> None:
        """Show nothing."""
        self._at = None
        self.popup.hide()

    def _on_hovered(self, ms: int, x: int) -> None:
        self._at = (ms, x)
        self._show()

    def _show(self) -> None:
        if self._at is None or not self._sequence.clips:
            return
        ms, x = self._at
        clip, at_ms = self._sequence.at(ms)
        picture = self._pictures.get(clip, at_ms)
        if picture is None:
            picture = QPixmap(160, 90)
            picture.fill(color(Tone.UNSEEN))
        self.picture.setPixmap(picture)
        name = f"{clip.name}\n" if len(self._sequence.clips) > 1 else ""
        self.code.setText(name + time_code(at_ms)[:-4])
        self.popup.adjustSize()
        left = x - self.popup.width() // 2
        above = QPoint(left, -self.popup.height() - GAP_S)
        self.popup.move(self._timeline.mapToGlobal(above))
        self.popup.show()
