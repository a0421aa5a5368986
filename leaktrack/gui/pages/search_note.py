"""How the search of the photo in hand went, above the photo; with the ways to end it."""

from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import Tone
from leaktrack.gui.pages.wet_finder import WetFinder


class SearchNote(QWidget):
    """Hidden while nobody has searched the photo."""

    def __init__(self, finder: WetFinder, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._finder = finder
        self._photo_id: UUID | None = None
        self._words = TonedLabel("", Tone.TEXT)
        self.cancel_button = push_button(self.tr("Cancel"), self._on_cancel)
        self.cancel_button.setAccessibleName(self.tr("Cancel the search for wet areas"))
        self.put_away_button = push_button(self.tr("Put away"), self._on_put_away)
        self.put_away_button.setAccessibleName(self.tr("Put away what the search found"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._words, 1)
        for button in (self.cancel_button, self.put_away_button):
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self.show_photo(None, 0)

    @property
    def words(self) -> str:
        """How the search went."""
        return self._words.text()

    def show_photo(self, photo_id: UUID | None, waiting: int) -> None:
        """Say how the search of a photo went, where so many of the things found wait."""
        self._photo_id = photo_id
        words = self._finder.says(photo_id, waiting) if photo_id is not None else ""
        is_searching = photo_id is not None and self._finder.is_searching(photo_id)
        self._words.setText(words)
        self.cancel_button.setVisible(is_searching)
        self.put_away_button.setVisible(not is_searching)
        self.setVisible(bool(words))

    def _on_cancel(self) -> None:
        if self._photo_id is not None:
            self._finder.cancel(self._photo_id)

    def _on_put_away(self) -> None:
        if self._photo_id is not None:
            self._finder.put_away(self._photo_id)
