"""Fetch a photo's picture off the window's thread: a quick one first, the full one when wanted."""

from collections import OrderedDict
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Job
from leaktrack.gui.photo_view.levels import Levels, levels_of
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.show_photo import full, preview

PREVIEW_PX = 2048
"""Longest side of the quick picture."""

FULL_IMAGES = 2
"""So many pictures at full size are kept: 200 MB for each 50 MP, and a comparison needs two."""


class FullImages(QObject):
    """The full pictures in memory, the last used ones; shared by all views of a session."""

    dropped = Signal(object)
    """The picture of this photo (UUID) must not be held any longer."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._levels: OrderedDict[UUID, Levels] = OrderedDict()

    def get(self, photo_id: UUID) -> Levels | None:
        """Return the full picture of a photo, if it is here."""
        if photo_id in self._levels:
            self._levels.move_to_end(photo_id)
        return self._levels.get(photo_id)

    def put(self, photo_id: UUID, levels: Levels) -> None:
        """Keep a full picture; the one longest unused may have to go."""
        self._levels[photo_id] = levels
        self._levels.move_to_end(photo_id)
        while len(self._levels) > FULL_IMAGES:
            oldest, _ = self._levels.popitem(last=False)
            self.dropped.emit(oldest)


def full_images(session: Session) -> FullImages:
    """Return the session's store of full pictures; made when first asked for."""
    return session.findChild(FullImages) or FullImages(session)


class PhotoLoader(QObject):
    """Loads the picture of one photo at a time for one view; answers for others are dropped."""

    loaded = Signal(object)
    """Show these Levels now."""
    failed = Signal(object)
    """The photo cannot be shown (LeakTrackError)."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._full_images = full_images(session)
        self._full_images.dropped.connect(self._on_dropped)
        self._photo_id: UUID | None = None
        self._preview: Levels | None = None
        self._has_full = False
        self._jobs: list[Job] = []

    def load(self, photo_id: UUID | None) -> None:
        """Turn to another photo, or to none."""
        for job in self._jobs:
            job.cancel()
        self._jobs.clear()
        self._photo_id, self._preview, self._has_full = photo_id, None, False
        if photo_id is None:
            return
        kept = self._full_images.get(photo_id)
        if kept is not None:
            self._on_full(photo_id, kept)
            return
        work = partial(_preview, self._session, photo_id)
        self._start(work, partial(self._on_preview, photo_id))

    def want_full(self) -> None:
        """Fetch the full picture of the photo in hand, unless it is here or on its way."""
        if self._photo_id is None or self._has_full:
            return
        self._has_full = True
        kept = self._full_images.get(self._photo_id)
        if kept is not None:
            self.loaded.emit(kept)
            return
        work = partial(_full, self._session, self._photo_id)
        self._start(work, partial(self._on_full, self._photo_id))

    def _start(self, work: partial[Levels], then: partial[None]) -> None:
        run = self._session.background.run
        self._jobs.append(run(work, then=then, owner=self, failed=self._on_failed))

    def _on_preview(self, photo_id: UUID, levels: Levels) -> None:
        if photo_id != self._photo_id:
            return
        self._preview = levels
        if self._full_images.get(photo_id) is None:
            self.loaded.emit(levels)

    def _on_full(self, photo_id: UUID, levels: Levels) -> None:
        self._full_images.put(photo_id, levels)
        if photo_id == self._photo_id:
            self._has_full = True
            self.loaded.emit(levels)

    def _on_dropped(self, photo_id: UUID) -> None:
        if photo_id != self._photo_id or not self._has_full:
            return
        self._has_full = False
        if self._preview is not None:
            self.loaded.emit(self._preview)
        else:
            self.load(photo_id)

    def _on_failed(self, error: LeakTrackError) -> None:
        self.failed.emit(error)


def _preview(session: Session, photo_id: UUID) -> Levels:
    return levels_of(preview(session.project, photo_id, longest_px=PREVIEW_PX))


def _full(session: Session, photo_id: UUID) -> Levels:
    return levels_of(full(session.project, photo_id))
