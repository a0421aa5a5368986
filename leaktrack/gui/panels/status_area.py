"""The foot of the window: what was done last, and the work that somebody waits for."""

import time

from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.background import Background, Job
from leaktrack.gui.look.panels import ElidedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_S
from leaktrack.gui.panels.index_row import IndexRow

ESTIMATE_AFTER_S = 10.0
"""Work that takes longer also says how long it will still take."""


def remaining_words(done: int, total: int, passed_s: float) -> str:
    """Return how long work will still take, once that can be told.

    >>> remaining_words(100, 400, 20)
    'about 1 min left'
    >>> remaining_words(300, 400, 30), remaining_words(1, 400, 2)
    ('about 10 s left', '')
    """
    if done <= 0 or total <= 0 or passed_s < ESTIMATE_AFTER_S:
        return ""
    left_s = passed_s / done * (total - done)
    if left_s >= 55:
        return f"about {max(1, round(left_s / 60))} min left"
    return f"about {max(1, round(left_s))} s left"


class JobRow(QWidget):
    """One piece of work under way, with its progress and Cancel."""

    def __init__(self, job: Job, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._job = job
        self._started_s = time.monotonic()
        self._title = QLabel(job.title)
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setMinimumWidth(180)
        self._bar.setAccessibleName(job.title)
        self._cancel = push_button(self.tr("Cancel"), self._on_cancel)
        self._cancel.setAccessibleName(self.tr("Cancel: {title}").format(title=job.title))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self._title, 1)
        row.addWidget(self._bar)
        row.addWidget(self._cancel)

    @property
    def words(self) -> str:
        """How far it is, as the bar says."""
        return self._bar.text()

    def show_progress(self, what: str) -> None:
        """Show how far the work is."""
        job = self._job
        self._title.setText(f"{job.title}: {what}" if what else job.title)
        if job.total <= 0:
            return
        left = remaining_words(job.done, job.total, time.monotonic() - self._started_s)
        count = self.tr("{done} of {total}").format(done=job.done, total=job.total)
        self._bar.setRange(0, job.total)
        self._bar.setValue(job.done)
        self._bar.setFormat(", ".join(each for each in (count, left) if each))

    def _on_cancel(self) -> None:
        self._job.cancel()
        self._cancel.setEnabled(False)
        self._title.setText(self.tr("Stopping: {title}").format(title=self._job.title))


class StatusArea(QWidget):
    """One line that says what was done last, and one row for each piece of work under way."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: dict[int, JobRow] = {}
        self._line = ElidedLabel()
        self.index_row = IndexRow()
        self._jobs = QVBoxLayout()
        self._jobs.setSpacing(GAP_S)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP, 0, GAP, GAP_S)
        rows.setSpacing(GAP_S)
        rows.addLayout(self._jobs)
        foot = QHBoxLayout()
        foot.setSpacing(GAP)
        foot.addWidget(self._line, 1)
        foot.addWidget(self.index_row)
        rows.addLayout(foot)

    @property
    def job_rows(self) -> tuple[JobRow, ...]:
        """The rows of work under way."""
        return tuple(self._rows.values())

    def say(self, text: str) -> None:
        """Say what was done last."""
        self._line.set_whole_text(text)

    def watch(self, background: Background) -> None:
        """List the work of this background from now on."""
        background.job_started.connect(self._on_started)
        background.job_progressed.connect(self._on_progressed)
        background.job_ended.connect(self._on_ended)

    def _on_started(self, job: Job) -> None:
        row = JobRow(job)
        self._rows[id(job)] = row
        self._jobs.addWidget(row)

    def _on_progressed(self, job: Job, what: str) -> None:
        if (row := self._rows.get(id(job))) is not None:
            row.show_progress(what)

    def _on_ended(self, job: Job) -> None:
        if (row := self._rows.pop(id(job), None)) is not None:
            self._jobs.removeWidget(row)
            row.hide()
            row.deleteLater()
        if job.is_cancelled:
            self.say(
                self.tr("{title} was stopped; what was finished is kept.").format(title=job.title)
            )
