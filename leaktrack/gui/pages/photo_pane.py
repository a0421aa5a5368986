"""The photo in hand with its tools above, and what is wrong with it."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import Card, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP_S, Tone, icon
from leaktrack.gui.photo_view import PhotoView
from leaktrack.gui.session import Session

_WITH_WORDS = Qt.ToolButtonStyle.ToolButtonTextUnderIcon
_ICON_ONLY = Qt.ToolButtonStyle.ToolButtonIconOnly


class PhotoPane(QWidget):
    """A photo view below a bar of tools; notes about the photo stand between the two."""

    scale_wanted = Signal()
    """Measure the photo's scale from the target in it."""
    length_wanted = Signal()
    """Measure the photo's scale from a length that the person clicks and types."""
    footage_wanted = Signal()
    """Find in the footage what is selected, or the whole photo."""
    lines_wanted = Signal()
    """Keep the joint lines that were carried to this photo."""

    def __init__(
        self,
        session: Session,
        view: PhotoView,
        commands: Sequence[QAction],
        search_note: QWidget,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.view = view
        self._bar = QWidget()
        self._bar.setAccessibleName(self.tr("Tools for marks"))
        self._icon_px = 28 if session.settings.gloves_mode else 18
        buttons = FlowLayout(GAP_S, self._bar)
        self._tools = [self._button(action, _WITH_WORDS) for action in commands]
        self.scale_action = self._new_scale_action()
        self.length_action = self._new_length_action()
        self.scale_actions = (self.scale_action, self.length_action)
        self.footage_action = self._new_footage_action()
        for action in (*self.scale_actions, self.footage_action):
            self._tools.append(self._button(action, _WITH_WORDS))
        zooms = [self._button(action, _ICON_ONLY) for action in self._zoom_actions()]
        for button in (*self._tools, *zooms):
            buttons.addWidget(button)
        self._buttons = buttons
        self._caption = TonedLabel()
        self.keep_button = push_button(
            self.tr("Keep the line"), self.lines_wanted.emit, icon_name="draw_joint_line"
        )
        self._carried = QWidget()
        self._carried_text = TonedLabel()
        carried = QHBoxLayout(self._carried)
        carried.setContentsMargins(0, 0, 0, 0)
        carried.addWidget(self._carried_text, 1)
        carried.addWidget(self.keep_button)
        self._warnings = Card("attention")
        self._warning_text = TonedLabel("", Tone.TEXT)
        self._warnings.rows.addWidget(self._warning_text)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self._bar)
        rows.addWidget(self._warnings)
        rows.addWidget(self._caption)
        rows.addWidget(self._carried)
        rows.addWidget(search_note)
        rows.addWidget(view, 1)
        self.set_warnings(())
        self.set_carried("")

    @property
    def caption(self) -> str:
        """What photo this is."""
        return self._caption.text()

    def set_caption(self, text: str) -> None:
        """Say what photo this is."""
        self._caption.setText(text)
        self._caption.setVisible(bool(text))

    def set_carried(self, text: str) -> None:
        """Say that joint lines were carried here, and offer to keep them; empty: none were."""
        self._carried_text.setText(text)
        self._carried.setVisible(bool(text))

    def set_warnings(self, warnings: Sequence[str]) -> None:
        """Say what is wrong with the photo; nothing hides the place for it."""
        self._warning_text.setText("\n".join(warnings))
        self._warnings.setVisible(bool(warnings))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the words off the tools where they would take a second line."""
        super().resizeEvent(event)
        self._set_style(_WITH_WORDS)
        if self._buttons.sizeHint().width() > self.width():
            self._set_style(_ICON_ONLY)

    def _set_style(self, style: Qt.ToolButtonStyle) -> None:
        for button in self._tools:
            button.setToolButtonStyle(style)

    def _button(self, action: QAction, style: Qt.ToolButtonStyle) -> QToolButton:
        button = QToolButton()
        button.setDefaultAction(action)
        button.setToolButtonStyle(style)
        button.setIconSize(QSize(self._icon_px, self._icon_px))
        button.setAccessibleName(action.text().replace("&", ""))
        return button

    def _new_scale_action(self) -> QAction:
        action = QAction(
            icon("measure"), self.tr("&Measure the scale from the printed target"), self
        )
        action.setIconText(self.tr("Scale"))
        action.setToolTip(self.tr("Measure the scale from the printed target in the photo"))
        action.triggered.connect(lambda _checked=False: self.scale_wanted.emit())
        return action

    def _new_length_action(self) -> QAction:
        action = QAction(icon("length"), self.tr("Measure the scale from a known &length"), self)
        action.setIconText(self.tr("Length"))
        action.setToolTip(self.tr("Click both ends of something and type how long it is"))
        action.triggered.connect(lambda _checked=False: self.length_wanted.emit())
        return action

    def _new_footage_action(self) -> QAction:
        action = QAction(icon("video"), self.tr("Find this in the &footage"), self)
        action.setIconText(self.tr("Footage"))
        action.setToolTip(self.tr("Find the selected mark, or the whole photo, in the footage"))
        action.triggered.connect(lambda _checked=False: self.footage_wanted.emit())
        return action

    def _zoom_actions(self) -> list[QAction]:
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
