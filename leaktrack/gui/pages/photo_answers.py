"""What a slow workflow says about photos: asked for once, off the window's thread."""

import logging
from collections.abc import Callable
from functools import partial
from typing import Generic, TypeVar
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.project import Project

_log = logging.getLogger(__name__)

T = TypeVar("T")


class PhotoAnswers(QObject, Generic[T]):
    """Remembers one workflow's answer for each photo.

    Args:
        session: The open project.
        ask: The workflow; takes the project and the photo.
    """

    ready = Signal(object)
    """The answer for this photo (UUID) is here, or there will be none."""

    def __init__(
        self, session: Session, ask: Callable[[Project, UUID], T], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._ask = ask
        self._answers: dict[UUID, T] = {}
        self._asked: set[UUID] = set()
        self._failed: set[UUID] = set()

    def get(self, photo_id: UUID) -> T | None:
        """Return the answer if it is here; otherwise ask for it."""
        if photo_id not in self._asked:
            self._asked.add(photo_id)
            self._session.background.run(
                partial(self._ask, self._session.project, photo_id),
                then=partial(self._on_answered, photo_id),
                failed=partial(self._on_failed, photo_id),
                owner=self,
            )
        return self._answers.get(photo_id)

    def is_waiting(self, photo_id: UUID) -> bool:
        """Return whether the answer is asked for and not here yet."""
        has_ended = photo_id in self._answers or photo_id in self._failed
        return photo_id in self._asked and not has_ended

    def forget(self) -> None:
        """Ask anew from now on: what the answers rest on has changed."""
        self._answers.clear()
        self._asked.clear()
        self._failed.clear()

    def _on_failed(self, photo_id: UUID, error: LeakTrackError) -> None:
        # The photo itself shows what is wrong with its file; these answers are extras.
        _log.info("no answer for photo %s: %s", photo_id, error)
        self._failed.add(photo_id)
        self.ready.emit(photo_id)

    def _on_answered(self, photo_id: UUID, answer: T) -> None:
        if photo_id in self._asked:
            self._answers[photo_id] = answer
            self.ready.emit(photo_id)
