"""Tell by two clicks which way is down in a photo, and which way air blew over the engine."""

from collections.abc import Callable
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from leaktrack.gui.look.theme import icon
from leaktrack.gui.photo_view import ArrowTool, PhotoView
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.draw_direction import draw_air, draw_down
from leaktrack.workflows.project import Project

_Draw = Callable[[Project, UUID, PointPx, PointPx], Edit]


class DirectionDrawing(QObject):
    """Two commands; each takes the arrow in hand and keeps what is drawn as one step."""

    def __init__(self, session: Session, view: PhotoView, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._view = view
        down, air = self.tr("Draw which &way is down"), self.tr("Draw which way the a&ir blew")
        self.down_action = self._action(
            "down", down, draw_down, self.tr("Click a place, then one straight below it.")
        )
        self.air_action = self._action(
            "move", air, draw_air, self.tr("Click where the air came from, then where it went.")
        )
        self.actions = [self.down_action, self.air_action]

    def set_enabled(self, is_enabled: bool) -> None:
        """Allow both, or none."""
        for action in self.actions:
            action.setEnabled(is_enabled)

    def _action(self, icon_name: str, text: str, draw: _Draw, hint: str) -> QAction:
        action = QAction(icon(icon_name), text, self)
        action.triggered.connect(lambda _checked=False: self._start(text, draw, hint))
        return action

    def _start(self, text: str, draw: _Draw, hint: str) -> None:
        photo_id = self._view.photo_id
        if photo_id is None:
            return
        tool = ArrowTool(hint, self.tr("Click where the arrow points to."), self)
        tool.finished.connect(partial(self._on_drawn, photo_id, text.replace("&", ""), draw))
        self._view.set_tool(tool)
        self._view.setFocus()

    def _on_drawn(
        self, photo_id: UUID, label: str, draw: _Draw, ends: tuple[PointPx, PointPx]
    ) -> None:
        try:
            self._session.do(label, draw(self._session.project, photo_id, *ends))
        except LeakTrackError as error:
            self._session.report(error)
