"""Slow work elsewhere, its result here: the one way in which the window uses threads."""

import logging
import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal
from shiboken6 import isValid

from leaktrack.model.errors import Cancelled, LeakTrackError

_log = logging.getLogger(__name__)
T = TypeVar("T")


@dataclass(eq=False)
class Job:
    """One piece of work under way. ``progress`` may be handed to a workflow; it stops on cancel."""

    title: str
    background: "Background"
    done: int = 0
    total: int = 0
    returns_part: bool = False
    _stop: threading.Event = field(default_factory=threading.Event)

    def cancel(self) -> None:
        """Ask the work to stop; it is called back only with a part that it returns."""
        self._stop.set()

    @property
    def is_cancelled(self) -> bool:
        """Whether somebody asked it to stop."""
        return self._stop.is_set()

    def progress(self, done: int, total: int, what: str) -> None:
        """Note how far the work is, from its own thread.

        Raises:
            Cancelled: Somebody asked it to stop.
        """
        if self._stop.is_set():
            raise Cancelled(f"{self.title} was stopped; what was finished is kept.")
        self.done, self.total = done, total
        self.background.relay.emit(lambda: self.background.job_progressed.emit(self, what))


class Background(QObject):
    """Runs functions on a few threads and hands results back on the window's thread.

    Nothing is delivered to an owner that was closed meanwhile, nor from a cancelled job, unless its
    work returns what was finished until then. Quiet work
    has threads of its own: a picture does not wait until hours of footage are indexed. What takes
    seconds without being waited for goes one after the other in a thread of its own; so does what
    takes long and may be stopped, for it stops only at its next step.
    """

    relay = Signal(object)
    job_started = Signal(object)
    job_progressed = Signal(object, str)
    job_ended = Signal(object)

    def __init__(self, parent: QObject | None = None, threads: int = 2) -> None:
        super().__init__(parent)
        self._quiet = ThreadPoolExecutor(threads, thread_name_prefix="leaktrack quiet")
        self._listed = ThreadPoolExecutor(threads, thread_name_prefix="leaktrack")
        self._long = ThreadPoolExecutor(1, thread_name_prefix="leaktrack long")
        self._aside = ThreadPoolExecutor(1, thread_name_prefix="leaktrack aside")
        self._jobs: set[Job] = set()
        self._is_closed = False
        self.told: Callable[[LeakTrackError], LeakTrackError] = lambda error: error
        """Puts a failure into the words of whoever uses the project."""
        # Queued also from the window's own thread: nobody is called back before ``run`` returns.
        self.relay.connect(self._on_relay, Qt.ConnectionType.QueuedConnection)

    def run(
        self,
        work: Callable[[], T],
        *,
        then: Callable[[T], object],
        owner: QObject,
        failed: Callable[[LeakTrackError], object] | None = None,
        is_long: bool = False,
    ) -> Job:
        """Do quiet work, such as decoding a thumbnail; ``is_long`` where it may take seconds."""
        pool = self._long if is_long else self._quiet
        job = Job("", self)
        return self._start(job, lambda _job: work(), then, owner, failed, pool, is_listed=False)

    def run_stoppable(
        self,
        work: Callable[[Job], T],
        *,
        then: Callable[[T], object],
        owner: QObject,
        failed: Callable[[LeakTrackError], object] | None = None,
        is_long: bool = False,
    ) -> Job:
        """Do quiet work that is dropped by ``Job.cancel``; who asked for it shows how far it is."""
        pool = self._aside if is_long else self._quiet
        return self._start(Job("", self), work, then, owner, failed, pool, is_listed=False)

    def run_job(
        self,
        title: str,
        work: Callable[[Job], T],
        *,
        then: Callable[[T], object],
        owner: QObject,
        failed: Callable[[LeakTrackError], object] | None = None,
        returns_part: bool = False,
    ) -> Job:
        """Do work that a person waits for: shown in the status bar, with progress and Cancel.

        Args:
            title: What it is called there.
            work: Does it.
            then: Takes what it returns.
            owner: Whose work it is.
            failed: Takes what went wrong.
            returns_part: When it is stopped, it returns what was finished, and ``then`` takes it.
        """
        job = Job(title, self, returns_part=returns_part)
        return self._start(job, work, then, owner, failed, self._listed, is_listed=True)

    @property
    def is_idle(self) -> bool:
        """Whether nothing is under way."""
        return not self._jobs

    def close(self) -> None:
        """Stop everything and wait for what cannot be stopped."""
        self._is_closed = True
        for job in tuple(self._jobs):
            job.cancel()
        for pool in (self._quiet, self._listed, self._long, self._aside):
            pool.shutdown(wait=True, cancel_futures=True)

    def _start(
        self,
        job: Job,
        work: Callable[[Job], Any],
        then: Callable[[Any], object],
        owner: QObject,
        failed: Callable[[LeakTrackError], object] | None,
        pool: ThreadPoolExecutor,
        *,
        is_listed: bool,
    ) -> Job:
        self._jobs.add(job)
        if is_listed:
            self.job_started.emit(job)

        def on_done(future: "Future[Any]") -> None:
            self.relay.emit(lambda: self._deliver(job, future, then, owner, failed, is_listed))

        def guarded() -> Any:
            if job.is_cancelled:
                raise Cancelled(job.title)
            return work(job)

        pool.submit(guarded).add_done_callback(on_done)
        return job

    def _deliver(
        self,
        job: Job,
        future: "Future[Any]",
        then: Callable[[Any], object],
        owner: QObject,
        failed: Callable[[LeakTrackError], object] | None,
        is_listed: bool,
    ) -> None:
        self._jobs.discard(job)
        if is_listed:
            self.job_ended.emit(job)
        is_dropped = job.is_cancelled and (self._is_closed or not job.returns_part)
        if is_dropped or future.cancelled() or not isValid(owner):
            return
        error = future.exception()
        if error is None:
            then(future.result())
        elif isinstance(error, Cancelled):
            return
        elif isinstance(error, LeakTrackError) and failed is not None:
            failed(self.told(error))
        elif isinstance(error, LeakTrackError):
            _log.warning("background work failed: %s", error)
        else:
            raise error

    def _on_relay(self, call: Callable[[], object]) -> None:
        call()
