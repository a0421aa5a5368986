"""All written work as rows that can be ticked off and opened: wanted, idle, done."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.panels import Card, CautionBox, Heading, TonedLabel
from leaktrack.gui.look.theme import GAP_L, Tone
from leaktrack.gui.pages.redo_contents import (
    RedoContents,
    reason_words,
    step_words,
    task_words,
    totals_words,
)
from leaktrack.gui.pages.redo_rows import RedoRow, RedoRows, RowText
from leaktrack.gui.session import Session
from leaktrack.model.redo_plan import AccessStep, PlannedTask, RedoTask


class RedoLists(QWidget):
    """What something asks for, in the order of coming off; what is idle, and what is done."""

    ticked = Signal(object, bool)
    """This record (UUID) is done, or is not."""
    opened = Signal(object)
    """Edit this record (UUID)."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._contents: RedoContents | None = None
        self.tasks = RedoRows(
            self.tr("Asked for"), self.tr("Nothing asks for work now, as far as verdicts tell.")
        )
        self.steps = RedoRows(
            self.tr("What comes off for it, in this order"),
            self.tr("No access step is needed, or none is written yet."),
        )
        self.idle = RedoRows(self.tr("Written, but not asked for"))
        self.done = RedoRows(self.tr("Done"))
        self.totals = TonedLabel("", Tone.TEXT)
        self.cautions = CautionBox()
        sums = Card()
        sums.rows.addWidget(Heading(self.tr("All that is asked for"), 2))
        sums.rows.addWidget(self.totals)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_L)
        for each in (self.tasks, sums, self.cautions, self.steps, self.idle, self.done):
            rows.addWidget(each)
        rows.addStretch(1)
        for rows_ in (self.tasks, self.steps, self.idle, self.done):
            rows_.ticked.connect(self.ticked)
            rows_.opened.connect(self.opened)

    def show_contents(self, contents: RedoContents) -> None:
        """Show all work of an engine."""
        self._contents = contents
        is_locked = self._session.project.is_read_only
        redo = contents.redo
        planned = redo.tasks if redo else ()
        self.tasks.show_rows(
            [self._task_row(one.task, one) for one in planned], is_locked=is_locked
        )
        steps = redo.steps if redo else ()
        texts = [self._step_row(step, contents, f"{place}.") for place, step in enumerate(steps, 1)]
        self.steps.show_rows(texts, is_locked=is_locked)
        self.idle.show_rows(
            self._plain_rows(contents.idle_tasks, contents.idle_steps, contents),
            is_locked=is_locked,
        )
        self.done.show_rows(
            self._plain_rows(contents.done_tasks, contents.done_steps, contents),
            is_locked=is_locked,
        )
        self.totals.setText("\n".join(totals_words(redo)) if redo else "")
        self.cautions.set_cautions(redo.cautions if redo else ())

    def follow(self, record_id: UUID) -> None:
        """Keep the keyboard on a row that went to another list."""
        row = self.row(record_id)
        if row is not None and self.isVisible():
            row.tick.setFocus(Qt.FocusReason.OtherFocusReason)

    def row(self, record_id: UUID | None) -> RedoRow | None:
        """Return the row of a record."""
        if record_id is None:
            return None
        lists = (self.tasks, self.steps, self.idle, self.done)
        found = (rows.row(record_id) for rows in lists)
        return next((row for row in found if row is not None), None)

    def _plain_rows(
        self, tasks: Sequence[RedoTask], steps: Sequence[AccessStep], contents: RedoContents
    ) -> list[RowText]:
        return [
            *(self._task_row(task, None) for task in tasks),
            *(self._step_row(step, contents) for step in steps),
        ]

    def _task_row(self, task: RedoTask, planned: PlannedTask | None) -> RowText:
        return RowText(
            record_id=task.id,
            name=task.name,
            detail=task_words(task, planned),
            reason=because_words(self._session, planned) if planned else "",
            is_done=task.is_done,
            done_text=self.tr("Done"),
        )

    def _step_row(self, step: AccessStep, contents: RedoContents, number: str = "") -> RowText:
        return RowText(
            record_id=step.id,
            name=step.name,
            detail=step_words(step, contents.steps),
            number=number,
            is_done=step.is_done,
            done_text=self.tr("Off"),
        )


def because_words(session: Session, planned: PlannedTask) -> str:
    """Return why a task is asked for; empty where nothing asks."""
    words = [reason_words(session.project, *reason) for reason in planned.reasons]
    because = session.tr("Because: %s") % "; ".join(dict.fromkeys(words))
    return because if words else ""
