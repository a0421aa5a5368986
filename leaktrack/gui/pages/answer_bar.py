"""One button for each answer to a proposal, below the list of marks."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QToolButton, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.theme import GAP_S
from leaktrack.gui.pages.proposal_commands import ProposalCommands
from leaktrack.gui.session import Session

_WITH_WORDS = Qt.ToolButtonStyle.ToolButtonTextBesideIcon
_ICON_ONLY = Qt.ToolButtonStyle.ToolButtonIconOnly


class AnswerBar(QWidget):
    """Shown while something waits for an answer; words stand on what is answered most."""

    def __init__(
        self, session: Session, commands: ProposalCommands, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        icon_px = 28 if session.settings.gloves_mode else 18
        self.setAccessibleName(self.tr("Answers to proposals"))
        self.show_dismissed = commands.show_dismissed
        self._row = FlowLayout(GAP_S, self)
        self._worded = []
        for action in commands.on_proposals:
            button = _button(action, icon_px)
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


def _button(action: QAction, icon_px: int) -> QToolButton:
    button = QToolButton()
    button.setIconSize(QSize(icon_px, icon_px))
    button.setDefaultAction(action)
    button.setToolButtonStyle(_ICON_ONLY)
    button.setAccessibleName(action.text().replace("&", ""))
    return button
