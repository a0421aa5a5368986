"""All clips of the project, day by day, with what is wrong with their files."""

from uuid import UUID

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QListWidgetItem

from leaktrack.gui.look.theme import Tone, color, icon
from leaktrack.model.footage_sequence import FootageSequence
from leaktrack.model.photo import Clip
from leaktrack.workflows.clips import time_code
from leaktrack.workflows.index_clips import ClipState, FootageState

_ID_ROLE = Qt.ItemDataRole.UserRole
_LEAST_CHARACTERS, _ICON_PX = 13, 48


class ClipsList(QListWidget):
    """A heading per day and a row per clip. Going to a row shows the clip."""

    clip_chosen = Signal(object)
    """Show this clip (UUID)."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName(self.tr("Clips"))
        self.setWordWrap(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.currentItemChanged.connect(lambda item, _before: self._choose(item))

    @property
    def clip_ids(self) -> list[UUID]:
        """The clips listed, in order."""
        items = (self.item(row) for row in range(self.count()))
        return [item.data(_ID_ROLE) for item in items if item.data(_ID_ROLE) is not None]

    def words_of(self, clip_id: UUID) -> str:
        """Return what is said of a clip; empty if it is not listed."""
        items = (self.item(row) for row in range(self.count()))
        return next((item.text() for item in items if item.data(_ID_ROLE) == clip_id), "")

    def show_footage(self, state: FootageState, clip_id: UUID | None) -> None:
        """Show all clips, with the one in hand as the current row."""
        with QSignalBlocker(self):
            self.clear()
            for day in state.days:
                self._add_heading(day)
                for clip in day.clips:
                    self._add_clip(clip, state.states[clip.id])
        self.take(clip_id)

    def take(self, clip_id: UUID | None) -> None:
        """Make a clip the current row without choosing it."""
        with QSignalBlocker(self):
            for row in range(self.count()):
                if clip_id is not None and self.item(row).data(_ID_ROLE) == clip_id:
                    self.setCurrentRow(row)

    def minimumSizeHint(self) -> QSize:
        """Return room for the longest words of a clip."""
        width = _LEAST_CHARACTERS * self.fontMetrics().averageCharWidth() + _ICON_PX
        return QSize(width, super().minimumSizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose the current clip again with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(self.currentItem())
        else:
            super().keyPressEvent(event)

    def _add_heading(self, day: FootageSequence) -> None:
        words = self.tr("Day not known") if day.day is None else f"{day.day:%Y-%m-%d}"
        item = QListWidgetItem(words)
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        font = self.font()
        font.setBold(True)
        item.setFont(font)
        item.setForeground(color(Tone.QUIET))
        self.addItem(item)

    def _add_clip(self, clip: Clip, state: ClipState) -> None:
        at = "" if clip.recorded is None else f"{clip.recorded.local:%H:%M}, "
        lines = [clip.name, f"{at}{time_code(clip.duration_ms)[:-4]} long"]
        if state.is_missing:
            lines.append(self.tr("file not found; look for it below"))
        elif state.share >= 1:
            lines.append(self.tr("ready to be searched"))
        elif state.share > 0:
            lines.append(self.tr("%d %% ready to be searched") % round(100 * state.share))
        else:
            lines.append(self.tr("not indexed yet"))
        item = QListWidgetItem(icon("problem" if state.is_missing else "clip"), "\n".join(lines))
        item.setData(_ID_ROLE, clip.id)
        item.setToolTip(state.note)
        if state.is_missing:
            item.setForeground(color(Tone.PROBLEM))
        self.addItem(item)

    def _choose(self, item: QListWidgetItem | None) -> None:
        if item is not None and item.data(_ID_ROLE) is not None:
            self.clip_chosen.emit(item.data(_ID_ROLE))
