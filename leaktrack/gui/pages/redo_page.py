"""The redo page: what to do in the coming teardown, in which order, and what it costs."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.forms.fields import TextField
from leaktrack.gui.look.panels import (
    Card,
    CautionBox,
    EmptyState,
    Heading,
    ScrolledPage,
    TonedLabel,
    push_button,
)
from leaktrack.gui.look.theme import GAP, GAP_L, Tone
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.pages.plan_card import PlanCard
from leaktrack.gui.pages.redo_contents import (
    RedoContents,
    reason_words,
    redo_contents,
    step_words,
    task_words,
    totals_words,
)
from leaktrack.gui.pages.redo_editor import RedoEditor
from leaktrack.gui.pages.redo_rows import RedoRow, RedoRows, RowText
from leaktrack.gui.pages.redo_wanted import WantedCard
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.model.redo_plan import AccessStep, PlannedTask, RedoTask
from leaktrack.workflows.plan_redo import (
    amend_access_step,
    amend_task,
    keep_plan,
    new_access_step,
    new_task,
)


class RedoPage(LazyPage):
    """The redo list of the engine in hand; a task or step of it opens in an editor."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._edited_id: UUID | None = None
        self.problem = TonedLabel("", Tone.PROBLEM)
        self.wanted = WantedCard()
        self.tasks = RedoRows(
            self.tr("To do"), self.tr("Nothing asks for work now, as far as verdicts tell.")
        )
        self.steps = RedoRows(
            self.tr("What comes off, in this order"),
            self.tr("No access step is needed, or none is written yet."),
        )
        self.idle = RedoRows(self.tr("Written, but not needed now"))
        self.done = RedoRows(self.tr("Done"))
        self.totals = TonedLabel("", Tone.TEXT)
        self.cautions = CautionBox()
        self.plan_card = PlanCard(session)
        self.note_field = TextField(self.tr("Remark on the plan"))
        self.editor = RedoEditor(session)
        self._make_buttons()
        self._build()
        self._connect()
        self.listen()

    def reload(self) -> None:
        """Read the redo list again."""
        if self.session.engine_id is None:
            self.show_empty_state("no engine")
            return
        contents = redo_contents(self.session.project, self.session.engine_id)
        self._show_contents(contents)
        self.editor.reload()
        if self.stack.currentWidget() is self.editor and self.editor.record is not None:
            return
        if contents.is_empty:
            self.show_empty_state("nothing")
        else:
            self.show_content()

    def open_record(self, record_id: UUID, focus: str = "") -> None:
        """Edit a task or a step."""
        project = self.session.project
        record = project.find(RedoTask, record_id) or project.find(AccessStep, record_id)
        if record is not None:
            self._edited_id = record_id
            self.stack.setCurrentWidget(self.editor)
            self.editor.open_record(record, focus)

    def add_task(self) -> None:
        """Write a task that nothing has asked for yet."""
        self._add(self.tr("Write a task"), self.tr("New task"))

    def add_step(self) -> None:
        """Write an access step."""
        engine_id = self.session.engine_id
        if engine_id is None:
            return
        step, edit = new_access_step(self.session.project, engine_id, self.tr("New step"), 0.0)
        self.session.do(self.tr("Write an access step"), edit)
        self.open_record(step.id)

    def keep_plan(self) -> None:
        """Keep the list of this moment as the plan that was decided on."""
        engine_id = self.session.engine_id
        if engine_id is None:
            return
        note = " ".join(self.note_field.line.text().split())
        try:
            edit = keep_plan(self.session.project, engine_id, note)
        except LeakTrackError as error:
            self.session.report(error)
            return
        self.note_field.line.clear()
        self.session.do(self.tr("Keep the plan"), edit)

    def _add(
        self, label: str, name: str, joint_id: UUID | None = None, check_id: UUID | None = None
    ) -> None:
        engine_id = self.session.engine_id
        if engine_id is None:
            return
        try:
            task, edit = new_task(
                self.session.project, engine_id, name, 0.0, joint_id=joint_id, check_id=check_id
            )
        except LeakTrackError as error:
            self.session.report(error)
            return
        self.session.do(label, edit)
        self.open_record(task.id, "hours" if joint_id or check_id else "name")

    def _on_ticked(self, record_id: UUID, is_done: bool) -> None:
        project = self.session.project
        task = project.find(RedoTask, record_id)
        step = project.find(AccessStep, record_id)
        try:
            edit = Edit(())
            if task is not None:
                edit = amend_task(project, task, replace(task, is_done=is_done))
            elif step is not None:
                edit = amend_access_step(project, step, replace(step, is_done=is_done))
        except LeakTrackError as error:
            self.session.report(error)
            return
        label = self.tr("Tick off %s") if is_done else self.tr("Take back the tick of %s")
        record = task or step
        if record is not None:
            self.session.do(label % record.name, edit)
            self._follow(record_id)

    def _follow(self, record_id: UUID) -> None:
        """Keep the keyboard on a row that went to another list."""
        row = self._row(record_id)
        if row is not None:
            row.tick.setFocus(Qt.FocusReason.OtherFocusReason)

    def _row(self, record_id: UUID) -> RedoRow | None:
        lists = (self.tasks, self.steps, self.idle, self.done)
        found = (rows.row(record_id) for rows in lists)
        return next((row for row in found if row is not None), None)

    def _show_contents(self, contents: RedoContents) -> None:
        is_locked = self.session.project.is_read_only
        redo, project = contents.redo, self.session.project
        self.problem.setText(contents.problem)
        self.problem.setVisible(bool(contents.problem))
        self.wanted.show_wanted(project, redo.without_task if redo else (), is_locked=is_locked)
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
        self.keep_button.setEnabled(bool(planned) and not is_locked)
        self.note_field.setEnabled(bool(planned) and not is_locked)
        for button in (self.task_button, self.step_button):
            button.setEnabled(not is_locked)
        self.plan_card.show_plans(contents.plans)

    def _plain_rows(
        self, tasks: Sequence[RedoTask], steps: Sequence[AccessStep], contents: RedoContents
    ) -> list[RowText]:
        return [
            *(self._task_row(task, None) for task in tasks),
            *(self._step_row(step, contents) for step in steps),
        ]

    def _task_row(self, task: RedoTask, planned: PlannedTask | None) -> RowText:
        reasons = planned.reasons if planned else ()
        words = [reason_words(self.session.project, *reason) for reason in reasons]
        because = self.tr("Because: %s") % "; ".join(dict.fromkeys(words))
        return RowText(
            record_id=task.id,
            name=task.name,
            detail=task_words(task, planned),
            reason=because if words else "",
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

    def _make_buttons(self) -> None:
        self.task_button = push_button(self.tr("New &task"), self.add_task, icon_name="add")
        self.step_button = push_button(self.tr("New access &step"), self.add_step, icon_name="add")
        self.keep_button = push_button(
            self.tr("&Keep this plan"), self.keep_plan, icon_name="redo_plan", is_primary=True
        )

    def _connect(self) -> None:
        self.wanted.task_wanted.connect(partial(self._add, self.tr("Write a task")))
        self.editor.closed.connect(self._on_editor_closed)
        for rows in (self.tasks, self.steps, self.idle, self.done):
            rows.ticked.connect(self._on_ticked)
            rows.opened.connect(self.open_record)

    def _on_editor_closed(self) -> None:
        self.show_content()
        self.reload()
        row = self._row(self._edited_id) if self._edited_id is not None else None
        button = self.task_button if row is None else row.edit_button
        button.setFocus(Qt.FocusReason.OtherFocusReason)

    def _build(self) -> None:
        head = QHBoxLayout()
        head.addWidget(Heading(self.tr("Redo")), 1)
        head.addWidget(self.task_button)
        head.addWidget(self.step_button)
        sums = Card()
        sums.rows.addWidget(Heading(self.tr("Altogether"), 2))
        sums.rows.addWidget(self.totals)
        keep = QHBoxLayout()
        keep.addWidget(self.note_field, 1)
        keep.addWidget(self.keep_button, 0, Qt.AlignmentFlag.AlignBottom)
        sums.rows.addLayout(keep)
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.addLayout(head)
        for each in (
            self.problem, self.wanted, self.tasks, sums, self.cautions, self.steps, self.plan_card,
            self.idle, self.done,
        ):  # fmt: skip
            rows.addWidget(each)
        rows.addStretch(1)
        self.set_content(ScrolledPage(content))
        self.stack.addWidget(self.editor)
        self.add_empty_state("no engine", EmptyState(
            self.tr("No engine yet"),
            self.tr("What to redo is worked out for one engine. Describe it first."),
        ))  # fmt: skip
        self.add_empty_state("nothing", EmptyState(
            self.tr("Nothing to redo"),
            self.tr(
                "Suspect or confirm a cause on the page Trace, or record a check that failed: "
                "then the work for it is listed here, with what must come off to reach it."
            ),
            self.tr("Write a task all the same"),
            self.add_task,
        ))  # fmt: skip
