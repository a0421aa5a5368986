"""Follow a bead in the photo from its start to its end, and hand over the accepted path."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Job
from leaktrack.gui.photo_view import FollowTool, PhotoView, Tool
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.follow_bead import follow_bead


class BeadFollowing(QObject):
    """Takes the tool in hand and follows between the clicks, while the window goes on."""

    accepted = Signal(object)
    """The path that the person accepted, a tuple of PointPx."""
    changed = Signal()
    """A bead began to be followed, or is followed no more."""

    def __init__(self, session: Session, view: PhotoView, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._view = view
        self._running: Job | None = None
        self._tool: FollowTool | None = None
        view.tool_changed.connect(self._on_tool_changed)

    @property
    def is_under_way(self) -> bool:
        """Whether a bead is being followed."""
        return self._tool is not None

    def start(self) -> None:
        """Let the person click the bead in the photo shown."""
        photo_id = self._view.photo_id
        if photo_id is None:
            return
        tool = FollowTool(self)
        tool.asked.connect(partial(self._follow, tool, photo_id))
        tool.finished.connect(self.accepted)
        self._tool = tool
        self._view.set_tool(tool)
        self._view.setFocus()
        self.changed.emit()

    def stop(self) -> None:
        """Put the tool away; nothing is kept of it."""
        if self._tool is not None:
            self._view.set_tool(None)

    def _follow(self, tool: FollowTool, photo_id: UUID, clicks: tuple[PointPx, ...]) -> None:
        self._cancel()
        project = self._session.project

        def failed(error: LeakTrackError) -> None:
            tool.show_path(clicks, ())
            self._session.report(error)

        self._running = self._session.background.run_job(
            self.tr("Following the bead"),
            lambda job: follow_bead(project, photo_id, clicks, job.progress),
            then=lambda path: tool.show_path(clicks, path),
            owner=self,
            failed=failed,
        )

    def _on_tool_changed(self, tool: Tool | None) -> None:
        if tool is not self._tool and self._tool is not None:
            self._tool = None
            self._cancel()
            self.changed.emit()

    def _cancel(self) -> None:
        if self._running is not None:
            self._running.cancel()
            self._running = None
