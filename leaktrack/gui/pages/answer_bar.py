"""One button for each answer to a proposal, below the list of marks."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QToolButton, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.theme import GAP_S
from leaktrack.gui.pages.proposal_commands import ProposalCommands

_WITH_WORDS = Qt.ToolButtonStyle.ToolButtonTextBesideIcon
_ICON_ONLY = Qt.ToolButtonStyle.ToolButtonIconOnly


class AnswerBar(QWidget):
    """Shown while something waits for an answer; words stand on what is answered most."""

    def __init__(self, commands: ProposalCommands, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Answers to proposals"))
        self._row = FlowLayout(GAP_S, self)
        self._worded = []
        for action in commands.on_proposals:
            button = _button(action)
            self._row.addWidget(button)
            if action in (commands.accept, commands.dismiss):
                self._worded.append(button)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the words off where they would take a second line."""
        super().resizeEvent(event)
        self._set_style(_WITH_WORDS)
        if self._row.sizeHint().width() > self.width():
            self._set_style(_ICON_ONLY)

    def _set_style(self, style: Qt.ToolButtonStyle) -> None:
        for button in self._worded:
            button.setToolButtonStyle(style)


def _button(action: QAction) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setToolButtonStyle(_ICON_ONLY)
    button.setAccessibleName(action.text().replace("&", ""))
    return button
