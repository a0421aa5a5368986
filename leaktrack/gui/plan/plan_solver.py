"""Solves the teardown while the person looks on; what became stale meanwhile is stopped."""

from collections.abc import Callable
from enum import IntEnum
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, Signal

from leaktrack.gui.background import Background, Job
from leaktrack.model.errors import Cancelled, LeakTrackError
from leaktrack.workflows.project import Project
from leaktrack.workflows.weigh_in_stages import (
    Staged,
    TeardownRecords,
    Weighing,
    changed,
    choose,
    choose_at_once,
    explain,
    gather,
    order,
    put_on_days,
)

QUIET_MS = 150
"""Nobody who toggles several tasks in a row waits for the order and the reasons of each."""


class Step(IntEnum):
    """What is under way."""

    NOTHING = 0
    GATHERING = 1
    CHOOSING = 2
    ORDERING = 3
    EXPLAINING = 4


class PlanSolver(QObject):
    """Answers in stages: a first choice, the proven one, its order, the reasons."""

    found = Signal(object)
    """What is known now (Staged)."""
    step_changed = Signal(object)
    """What is under way now (Step)."""
    failed = Signal(object)
    """It cannot be solved (LeakTrackError); what was found before is stale."""

    def __init__(
        self, project: Project, background: Background, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._project = project
        self._background = background
        self._engine_id: UUID | None = None
        self._weighing: Weighing | None = None
        self._job: Job | None = None
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(QUIET_MS)
        self._later.timeout.connect(self._gather)
        self.step = Step.NOTHING

    @property
    def is_busy(self) -> bool:
        """Whether something better is still to come."""
        return self._job is not None or self._later.isActive()

    def renew(self, engine_id: UUID, read: TeardownRecords) -> None:
        """Solve it for the records of now; a first answer comes at once where it can.

        Args:
            engine_id: Whose teardown it is.
            read: Its tasks, steps and terms.
        """
        self.stop()
        if engine_id != self._engine_id:
            self._engine_id, self._weighing = engine_id, None
        near = changed(self._weighing, read) if self._weighing is not None else None
        if near is None:
            self._gather()
            return
        self._weighing = near
        self._go(Step.CHOOSING, partial(choose_at_once, near), self._on_first)
        # Something else may have changed as well: a leak, a verdict, a time that was recorded.
        self._later.start()

    def stop(self) -> None:
        """Stop what is under way."""
        self._later.stop()
        if self._job is not None:
            self._job.cancel()
            self._job = None
        self._tell(Step.NOTHING)

    def _gather(self) -> None:
        if self._engine_id is None:
            return
        if self._job is not None:
            self._job.cancel()
        self._go(Step.GATHERING, partial(gather, self._project, self._engine_id), self._on_gathered)

    def _on_first(self, staged: Staged | None) -> None:
        self._job = None
        if staged is not None:
            self.found.emit(staged)

    def _on_gathered(self, weighing: Weighing) -> None:
        self._weighing = weighing
        self._go(Step.CHOOSING, partial(choose_at_once, weighing), self._on_first_of_gathered)

    def _on_first_of_gathered(self, staged: Staged | None) -> None:
        weighing = self._weighing
        if weighing is None:
            return
        if staged is not None:
            self.found.emit(staged)
        self._go(Step.CHOOSING, partial(choose, weighing), self._on_chosen, is_long=True)

    def _on_chosen(self, staged: Staged) -> None:
        self.found.emit(staged)
        self._go(Step.ORDERING, partial(self._ordered, staged), self._on_ordered, is_long=True)

    def _ordered(self, staged: Staged) -> Staged:
        return put_on_days(self._project, order(staged))

    def _on_ordered(self, staged: Staged) -> None:
        self.found.emit(staged)
        self._tell(Step.EXPLAINING)
        jobs: list[Job] = []

        def pause(*_told: object) -> None:
            if any(job.is_cancelled for job in jobs):
                raise Cancelled("asking why was stopped")

        def work() -> Staged:
            return explain(staged, pause)

        self._job = self._background.run(
            work, then=self._on_explained, failed=self._on_failed, owner=self, is_long=True
        )
        jobs.append(self._job)

    def _on_explained(self, staged: Staged) -> None:
        self._job = None
        self.found.emit(staged)
        self._tell(Step.NOTHING)

    def _on_failed(self, error: LeakTrackError) -> None:
        self._job = None
        self._weighing = None
        self._tell(Step.NOTHING)
        self.failed.emit(error)

    def _go(
        self,
        step: Step,
        work: Callable[[], object],
        then: Callable[..., object],
        *,
        is_long: bool = False,
    ) -> None:
        # What became stale may still be at work: the first answer must not wait for its thread.
        self._tell(step)
        self._job = self._background.run(
            work, then=then, failed=self._on_failed, owner=self, is_long=is_long
        )

    def _tell(self, step: Step) -> None:
        if step is not self.step:
            self.step = step
            self.step_changed.emit(step)
