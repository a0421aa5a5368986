"""What was worked out of photos and waits for a person's word: keep it, or discard it."""

from collections.abc import Callable
from functools import partial
from typing import Generic, TypeVar
from uuid import UUID

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtWidgets import QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.look.panels import push_button
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit

T = TypeVar("T")
_tr = partial(QCoreApplication.translate, "Proposals")


class Proposals(QObject, Generic[T]):
    """At most one proposal for each photo, worked out one at a time, and the two answers to it.

    Args:
        session: Where the work runs and what is kept is recorded.
        box: Shows them; what comes after it has gone is dropped.
        show: Called when something else is to be shown.
        keep, drop: Called when the person answers.
    """

    def __init__(
        self,
        session: Session,
        box: QWidget,
        show: Callable[[], None],
        keep: Callable[[], None],
        drop: Callable[[], None],
    ) -> None:
        super().__init__(box)
        self._session = session
        self._show = show
        self._waiting: dict[UUID, T] = {}
        self._running: Job | None = None
        self.keep_button = push_button(_tr("&Keep this"), keep, icon_name="confirm")
        self.drop_button = push_button(_tr("Discard"), drop, icon_name="remove")
        session.background.job_ended.connect(self._on_ended)

    @property
    def is_running(self) -> bool:
        """Whether one is being worked out."""
        return self._running is not None

    def of(self, photo_id: UUID | None) -> T | None:
        """Return what waits for an answer in a photo."""
        return None if photo_id is None else self._waiting.get(photo_id)

    def clear(self) -> None:
        """Forget all: something else is in hand."""
        self._waiting.clear()

    def work_out(
        self, photo_id: UUID, what: str, work: Callable[[Job], T], is_wanted: Callable[[], bool]
    ) -> None:
        """Work one out in the background.

        Args:
            photo_id: Of the photo that it is of.
            what: The work, for the status bar.
            work: Does it.
            is_wanted: Asked when it is done: what it was for may no longer be in hand.
        """

        def done(found: T) -> None:
            if is_wanted():
                self._waiting[photo_id] = found
            self._show()

        def failed(error: LeakTrackError) -> None:
            self._show()
            self._session.report(error)

        self._running = self._session.background.run_job(
            what, work, then=done, owner=self, failed=failed
        )
        self._show()

    def _on_ended(self, job: Job) -> None:
        if job is self._running:
            self._running = None
            if job.is_cancelled:  # then nobody is called back
                self._show()

    def keep(self, photo_id: UUID | None, label: str, build: Callable[[T], Edit]) -> None:
        """Record what waits in a photo, as one step that can be taken back."""
        found = self.of(photo_id)
        if photo_id is None or found is None:
            return
        try:
            edit = build(found)
        except LeakTrackError as error:
            self._session.report(error)
            return
        del self._waiting[photo_id]
        self._session.do(label, edit)

    def drop(self, photo_id: UUID, label: str, build: Callable[[], Edit]) -> None:
        """Discard what waits in a photo; where nothing does, take away what was kept.

        Args:
            photo_id: The photo.
            label: Of the step that takes away what was kept.
            build: Builds that step.
        """
        if self._waiting.pop(photo_id, None) is not None:
            self._show()
            return
        try:
            edit = build()
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(label, edit)

    def show_buttons(self, *, is_waiting: bool, is_kept: bool) -> None:
        """Offer the answers that make sense."""
        can_change = not self._session.project.is_read_only
        self.keep_button.setVisible(is_waiting and can_change)
        self.drop_button.setVisible(is_waiting or (is_kept and can_change))
        self.drop_button.setText(_tr("Discard") if is_waiting else _tr("Remove"))
