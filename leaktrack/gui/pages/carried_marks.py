"""Leaks carried to the photo in hand: as two photos say, then as all photos of the zone do."""

import logging
from enum import Enum, auto
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Job
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.workflows.propose_marks import MarkProposal, propose_at_first, propose_marks

_log = logging.getLogger(__name__)

Carried = tuple[MarkProposal, ...]


class Asking(Enum):
    """How far it is with the photo in hand."""

    NOTHING = auto()
    """There is nothing to be asked, or nobody needs more by now."""
    TWO = auto()
    """The latest photos are being laid over it, one by one."""
    MORE = auto()
    """What these say is there; more photos of the zone are being asked."""
    ALL_SAID = auto()
    """More photos were asked, and what all say is there."""
    STOPPED = auto()
    """A person stopped it; what was there is kept."""
    FAILED = auto()
    """A photo cannot be read; what was there is kept."""


class CarriedMarks(QObject):
    """Carries leaks to one photo at a time; what was carried is remembered for each.

    What comes for a photo that is no longer looked at is dropped, and asked for anew when somebody
    comes back to it.
    """

    changed = Signal(object)
    """Other places are told for this photo (UUID), or asking ended."""
    progressed = Signal()
    """Asking goes on: its words are not what they were."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._photo_id: UUID | None = None
        self._first: dict[UUID, Carried] = {}
        self._last: dict[UUID, Carried] = {}
        self._job: Job | None = None
        self.asking = Asking.NOTHING
        self.problem = ""
        """What went wrong, where asking failed."""
        session.background.job_progressed.connect(self._on_progressed)

    @property
    def progress(self) -> tuple[int, int]:
        """How many of all steps are done; all are 0 before the first."""
        return (0, 0) if self._job is None else (self._job.done, self._job.total)

    def first(self, photo_id: UUID) -> Carried:
        """Return what two photos alone say, as far as it is there."""
        return self._first.get(photo_id, ())

    def best(self, photo_id: UUID) -> Carried:
        """Return the best of what is there by now."""
        first = self.first(photo_id)
        if (last := self._last.get(photo_id)) is None:
            return first
        # A leak that was answered meanwhile is not in the later answer, but may be taken back.
        newer = {each.key: each for each in last}
        return tuple(newer.pop(each.key, each) for each in first) + tuple(newer.values())

    def is_waiting(self, photo_id: UUID) -> bool:
        """Return whether nothing is there yet, but will be."""
        return photo_id == self._photo_id and self.asking is Asking.TWO

    def look_at(self, photo_id: UUID | None) -> None:
        """Carry leaks to this photo, off the window's thread, and to no other; None: to none."""
        if photo_id == self._photo_id:
            return
        self._drop()
        self._photo_id = photo_id
        if photo_id in self._last:
            self.asking = Asking.ALL_SAID
        elif photo_id is not None and photo_id not in self._first:
            self._ask(photo_id, Asking.TWO)

    def ask_more(self, is_wanted: bool) -> None:
        """Ask the other photos of the zone, or no longer; not again where somebody stopped it."""
        if self.asking is Asking.MORE and not is_wanted:
            self._drop()
        elif self.asking is Asking.NOTHING and is_wanted and self._photo_id in self._first:
            self._ask(self._photo_id, Asking.MORE)

    def cancel(self) -> None:
        """Stop at a person's word; the work itself ends at its next step, and nobody waits for it.

        It is asked again when the photo is next looked at.
        """
        if self._job is not None:
            self._drop()
            self._end(Asking.STOPPED)

    def forget(self) -> None:
        """Carry anew from now on: what it rests on has changed."""
        self._first.clear()
        self._last.clear()
        self._drop()
        self._photo_id = None

    def _ask(self, photo_id: UUID, asking: Asking) -> None:
        carry, then = {
            Asking.TWO: (propose_at_first, self._on_first),
            Asking.MORE: (propose_marks, self._on_last),
        }[asking]
        project = self._session.project
        self.asking = asking
        self._job = self._session.background.run_stoppable(
            lambda job: carry(project, photo_id, job.progress),
            then=partial(then, photo_id),
            failed=self._on_failed,
            owner=self,
            is_long=asking is Asking.MORE,
        )

    def _on_first(self, photo_id: UUID, carried: Carried) -> None:
        self._first[photo_id] = carried
        self._end(Asking.NOTHING)

    def _on_last(self, photo_id: UUID, carried: Carried) -> None:
        self._last[photo_id] = carried
        self._end(Asking.ALL_SAID)

    def _on_failed(self, error: LeakTrackError) -> None:
        _log.info("leaks could not be carried to photo %s: %s", self._photo_id, error)
        self.problem = str(error)
        self._end(Asking.FAILED)

    def _on_progressed(self, job: Job, _what: str) -> None:
        if job is self._job:
            self.progressed.emit()

    def _drop(self) -> None:
        if self._job is not None:
            self._job.cancel()  # then nobody is called back
        self._job = None
        self.asking = Asking.NOTHING

    def _end(self, asking: Asking) -> None:
        self._job = None
        self.asking = asking
        self.changed.emit(self._photo_id)
