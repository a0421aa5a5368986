"""Get the photos of the open project ready while nobody waits for anything."""

import os
import sys
import threading
from contextlib import suppress
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, Signal

from leaktrack.gui.background import Background
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.index_photos import index_photo, photos_to_index
from leaktrack.workflows.project import Project

LOOK_EVERY_MS = 500
CALM_MS = 4_000
"""Nothing is begun before nobody has waited for anything for so long: opening a project is one
long wait, and so is leafing through photos."""

_NICENESS = 15
"""Out of 19: whatever else wants the processor goes first."""


class PhotoIndex(QObject):
    """Takes one photo after the other, the newest first, on a thread of its own.

    It rests while other work runs, and for a while after. A photo that cannot be read is left out
    until the project is opened again.
    """

    changed = Signal()
    """Another photo is ready, or it rests, goes on, is stopped or has finished."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._background = Background(self, threads=1)
        self._waiting: list[UUID] = []
        self._left_out: set[UUID] = set()
        self._under_way: UUID | None = None
        self._is_paused = False
        self._is_stopped = False
        self._calm_ms = 0
        self._has_news = False
        self.done = 0
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_EVERY_MS)
        self._timer.timeout.connect(self._look)
        session.records_changed.connect(self._on_records_changed)
        self._refill()

    @property
    def left(self) -> int:
        """How many photos are not ready yet, with the one under way."""
        return len(self._waiting) + (self._under_way is not None)

    @property
    def is_paused(self) -> bool:
        """Whether somebody wants it to rest."""
        return self._is_paused

    @property
    def is_stopped(self) -> bool:
        """Whether somebody stopped it, until the project is opened again."""
        return self._is_stopped

    def pause(self, is_wanted: bool) -> None:
        """Rest, or go on; the photo under way is finished."""
        self._is_paused = is_wanted
        self.changed.emit()

    def stop(self) -> None:
        """Do no more until the project is opened again; what was finished is kept."""
        self._is_stopped = True
        self._waiting.clear()
        self._timer.stop()
        self.changed.emit()

    def close(self) -> None:
        """Stop and wait for the photo under way."""
        self._timer.stop()
        self._waiting.clear()
        self._background.close()

    def _on_records_changed(self) -> None:
        """Look for new photos once it is calm: an edit must not wait for that."""
        if not self._is_stopped:
            self._has_news = True
            self._calm_ms = 0
            self._timer.start()

    def _refill(self) -> None:
        self._has_news = False
        waiting = photos_to_index(self._session.project)
        passed_over = {*self._left_out, self._under_way}
        self._waiting = [photo_id for photo_id in waiting if photo_id not in passed_over]
        if self._waiting and not self._timer.isActive():
            self._timer.start()
        self.changed.emit()

    def _look(self) -> None:
        """Begin with the next photo if nobody has waited for anything for a while."""
        is_calm = self._session.background.is_idle
        self._calm_ms = self._calm_ms + LOOK_EVERY_MS if is_calm else 0
        if self._calm_ms < CALM_MS:
            return
        if self._has_news:
            self._refill()
        if not self._is_paused:
            self._begin()

    def _begin(self) -> None:
        if self._under_way is not None:
            return
        if not self._waiting:
            self._timer.stop()
            return
        photo_id = self._waiting.pop(0)
        self._under_way = photo_id
        project = self._session.project
        self._background.run(
            lambda: _index(project, photo_id),
            then=lambda _: self._on_ended(),
            failed=lambda error: self._on_failed(photo_id, error),
            owner=self,
        )

    def _on_ended(self) -> None:
        self._under_way = None
        self.done += 1
        self.changed.emit()
        self._look_on()

    def _on_failed(self, photo_id: UUID, _error: LeakTrackError) -> None:
        # Whoever looks at that photo is told; here nobody waits for it.
        self._left_out.add(photo_id)
        self._under_way = None
        self.changed.emit()
        self._look_on()

    def _look_on(self) -> None:
        """Go on at once while it is calm, rather than at the next look."""
        is_calm = self._session.background.is_idle and self._calm_ms >= CALM_MS
        if is_calm and not self._is_paused:
            self._begin()


def _index(project: Project, photo_id: UUID) -> None:
    _give_way()
    index_photo(project, photo_id)


def _give_way() -> None:
    """Let other threads go first, where the system can do that for one thread alone."""
    if sys.platform == "linux":
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), _NICENESS)
