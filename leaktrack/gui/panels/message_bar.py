"""A line above the work: a foreseen failure or a piece of news, never a modal box."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from leaktrack.gui.look.panels import Card, IconPicture, icon_button, push_button
from leaktrack.gui.look.theme import GAP, Tone


class MessageBar(Card):
    """What happened, what is kept, what to do; stays until it is closed or replaced."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("attention", parent)
        self._details = ""
        self._extra: QPushButton | None = None
        self._picture = IconPicture("message")
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self._text.setProperty("ring", "true")
        self._text.setAccessibleName(self.tr("Message"))
        self._copy = push_button(self.tr("Copy details"), self._on_copy, icon_name="copy")
        self._close = icon_button("close", self.tr("Close message"), self.hide)
        self._row = QHBoxLayout()
        self._row.setSpacing(GAP)
        self._row.addWidget(self._picture)
        self._row.addWidget(self._text, 1)
        self._row.addWidget(self._copy)
        self._row.addWidget(self._close)
        self.rows.addLayout(self._row)
        self.hide()

    @property
    def text(self) -> str:
        """What it says."""
        return self._text.text()

    def show_failure(self, text: str, details: str) -> None:
        """Say that something went wrong, in the words of the failure itself."""
        self._show("attention", "problem", Tone.PROBLEM, text, details)

    def show_news(
        self, text: str, button_text: str = "", on_click: Callable[[], object] | None = None
    ) -> None:
        """Say something worth knowing, with one way on."""
        self._show("news", "message", Tone.ACCENT, text, "")
        if button_text and on_click is not None:
            self._extra = push_button(button_text, on_click)
            self._row.insertWidget(2, self._extra)

    def _show(self, kind: str, icon_name: str, tone: Tone, text: str, details: str) -> None:
        self.set_kind(kind)
        if self._extra is not None:
            self._extra.deleteLater()
            self._extra = None
        self._details = details
        self._picture.set_icon(icon_name, tone)
        self._text.setText(text)
        self._copy.setVisible(bool(details))
        self.show()

    def _on_copy(self) -> None:
        QGuiApplication.clipboard().setText(f"{self._text.text()}\n\n{self._details}")
