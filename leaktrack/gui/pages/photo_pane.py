"""The photo in hand with its tools above, and what is wrong with it."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QToolBar, QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.panels import Card, TonedLabel
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session
from leaktrack.gui.theme import GAP_S, Tone, icon


class PhotoPane(QWidget):
    """A photo view below a bar of tools; notes about the photo stand between the two."""

    def __init__(
        self, session: Session, view: PhotoView, commands: Sequence[QAction], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.view = view
        self._bar = QToolBar()
        self._bar.setAccessibleName(self.tr("Tools for marks"))
        self._bar.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        side = 28 if session.settings.gloves_mode else 18
        self._bar.setIconSize(QSize(side, side))
        self._bar.addActions(list(commands))
        self._bar.addSeparator()
        self._zoom_actions = self._new_zoom_actions()
        self._bar.addActions(self._zoom_actions)
        self._caption = TonedLabel()
        self._warnings = Card("attention")
        self._warning_text = TonedLabel("", Tone.TEXT)
        self._warnings.rows.addWidget(self._warning_text)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self._bar)
        rows.addWidget(self._warnings)
        rows.addWidget(self._caption)
        rows.addWidget(view, 1)
        self.set_warnings(())

    @property
    def warning_text(self) -> str:
        """What is wrong with the photo, in words."""
        return self._warning_text.text()

    @property
    def caption(self) -> str:
        """What photo this is."""
        return self._caption.text()

    def set_caption(self, text: str) -> None:
        """Say what photo this is."""
        self._caption.setText(text)
        self._caption.setVisible(bool(text))

    def set_warnings(self, warnings: Sequence[str]) -> None:
        """Say what is wrong with the photo; nothing hides the place for it."""
        self._warning_text.setText("\n".join(warnings))
        self._warnings.setVisible(bool(warnings))

    def showEvent(self, event: QShowEvent) -> None:
        """Give each button its room, now that fonts and shapes are known."""
        super().showEvent(event)
        self._fit_buttons()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the program's text size."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.ApplicationFontChange:
            self._fit_buttons()

    def _fit_buttons(self) -> None:
        # Buttons that do not fit go into the bar's menu; without this, all would be cut instead.
        for action in self._bar.actions():
            button = self._bar.widgetForAction(action)
            if isinstance(button, QToolButton):
                if action in self._zoom_actions:
                    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
                button.setMinimumWidth(button.sizeHint().width())

    def _new_zoom_actions(self) -> list[QAction]:
        commands = (
            ("zoom_out", self.tr("Zoom out"), "−", self.view.zoom_out),
            ("zoom_in", self.tr("Zoom in"), "+", self.view.zoom_in),
            ("zoom_fit", self.tr("Show the whole photo"), "F", self.view.fit),
        )
        actions = []
        for name, text, key, run in commands:
            action = QAction(icon(name), text, self)
            action.setToolTip(f"{text} ({key})")
            action.triggered.connect(lambda _checked=False, run=run: run())
            actions.append(action)
        return actions
