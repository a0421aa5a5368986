"""The redo page: what to redo in the coming teardown, by which way in, and when it is ready."""

from dataclasses import replace
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.background import Job
from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.panels import EmptyState, Heading, ScrolledPage, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L, Tone
from leaktrack.gui.pages.lazy_page import LazyPage
from leaktrack.gui.pages.plan_card import KeepRow, PlanCard
from leaktrack.gui.pages.redo_contents import RedoContents, redo_contents
from leaktrack.gui.pages.redo_editor import RedoEditor
from leaktrack.gui.pages.redo_lists import RedoLists, because_words
from leaktrack.gui.pages.redo_wanted import WantedCard
from leaktrack.gui.plan.library_dialog import LibraryDialog
from leaktrack.gui.plan.plan_desk import PlanDesk
from leaktrack.gui.plan.plan_files import PlanFiles
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoTask, TaskReason
from leaktrack.model.redo_problem import SolvedState
from leaktrack.workflows.plan_redo import (
    amend_access_step,
    amend_task,
    new_access_step,
    new_task,
)
from leaktrack.workflows.replan import since_plan
from leaktrack.workflows.use_redo_library import add_from_library, offers
from leaktrack.workflows.weigh_in_stages import read_teardown


class RedoPage(LazyPage):
    """The plan of the engine in hand; a task or step of it opens in an editor."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._edited_id: UUID | None = None
        self._followed_id: UUID | None = None
        self._job: Job | None = None
        self.problem = TonedLabel("", Tone.PROBLEM)
        self.wanted = WantedCard()
        self.desk = PlanDesk(session)
        self.lists = RedoLists(session)
        self.plan_card = PlanCard(session)
        self.keep_row = KeepRow(session)
        self.files = PlanFiles(session, self.desk)
        self._editor: RedoEditor | None = None
        self.task_button = push_button(self.tr("New &task"), self.add_task, icon_name="add")
        self.step_button = push_button(self.tr("New access &step"), self.add_step, icon_name="add")
        self.library_button = push_button(
            self.tr("From the library…"), self.take_from_library, icon_name="open"
        )
        self._build()
        self._connect()
        self.listen()

    def reload(self) -> None:
        """Read the work again; what takes a while comes later."""
        engine_id, project = self.session.engine_id, self.session.project
        if engine_id is None:
            self.show_empty_state("no engine")
            return
        self.desk.reload(engine_id, read_teardown(project, engine_id))
        if self._editor is not None:
            self._editor.reload()
        for button in (self.task_button, self.step_button, self.library_button):
            button.setEnabled(not project.is_read_only)
        if self._job is not None:
            self._job.cancel()
        self._job = self.session.background.run(
            partial(redo_contents, project, engine_id), then=self._on_read, owner=self
        )

    @property
    def editor(self) -> RedoEditor:
        """Where a task or step is edited; made when first needed."""
        if self._editor is None:
            self._editor = RedoEditor(self.session)
            self._editor.closed.connect(self._on_editor_closed)
            self.stack.addWidget(self._editor)
        return self._editor

    @property
    def is_read(self) -> bool:
        """Whether all of it shows the records of now."""
        return self._job is None

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

    def take_from_library(self) -> None:
        """Let the person choose steps and tasks of the library."""
        engine_id, project = self.session.engine_id, self.session.project
        if engine_id is None:
            return
        try:
            ids = LibraryDialog.ask(offers(project, engine_id), self)
            edit = add_from_library(project, engine_id, ids) if ids else Edit(())
        except LeakTrackError as error:
            self.session.report(error)
            return
        if edit.changes:
            self.session.do(self.tr("Take from the library"), edit)

    def _add(
        self,
        label: str,
        name: str,
        joint_id: UUID | None = None,
        check_id: UUID | None = None,
        reason: TaskReason | None = None,
    ) -> None:
        engine_id = self.session.engine_id
        if engine_id is None:
            return
        try:
            task, edit = new_task(
                self.session.project,
                engine_id,
                name,
                0.0,
                joint_id=joint_id,
                check_id=check_id,
                # Who confirmed the cause and asks for the work has decided already.
                decision=RedoDecision.MUST
                if reason is TaskReason.CONFIRMED_CAUSE
                else RedoDecision.DECIDE,
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
            self._followed_id = record_id
            self.session.do(label % record.name, edit)

    def _on_read(self, contents: RedoContents) -> None:
        self._job = None
        redo, project = contents.redo, self.session.project
        is_locked = project.is_read_only
        self.problem.setText(contents.problem)
        self.problem.setVisible(bool(contents.problem))
        self.wanted.show_wanted(project, redo.without_task if redo else (), is_locked=is_locked)
        self.lists.show_contents(contents)
        planned = redo.tasks if redo else ()
        self.desk.show_reasons({one.task.id: because_words(self.session, one) for one in planned})
        self.plan_card.show_plans(contents.plans)
        if self._followed_id is not None:
            self.lists.follow(self._followed_id)
            self._followed_id = None
        editor = self._editor
        is_editing = editor is not None and editor.record is not None
        if is_editing and self.stack.currentWidget() is editor:
            return
        if contents.is_empty:
            self.show_empty_state("nothing")
        else:
            self.show_content()

    def _on_answered(self) -> None:
        weighed = self.desk.weighed
        self.keep_row.show_plan(weighed)
        if weighed is not None and weighed.answer.state is not SolvedState.INFEASIBLE:
            self.plan_card.show_since(since_plan(self.session.project, weighed))
        self.files.show_plan(weighed, self.desk.work_sheet)

    def _on_editor_closed(self) -> None:
        self.show_content()
        self.reload()
        row = self.lists.row(self._edited_id)
        if self.desk.tabs.key == "all" and row is not None:
            row.edit_button.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        if self._edited_id is not None:
            self.desk.tree.take(self._edited_id)
        self.desk.tree.setFocus(Qt.FocusReason.OtherFocusReason)

    def _connect(self) -> None:
        self.wanted.task_wanted.connect(partial(self._add, self.tr("Write a task")))
        self.lists.ticked.connect(self._on_ticked)
        for each in (self.lists, self.desk):
            each.opened.connect(self.open_record)
        self.desk.answered.connect(self._on_answered)

    def _build(self) -> None:
        head = QWidget()
        line = FlowLayout(GAP, head)
        for each in (
            Heading(self.tr("Redo")), self.task_button, self.step_button, self.library_button,
            *self.files.buttons,
        ):  # fmt: skip
            line.addWidget(each)
        self.desk.choice_rows.addWidget(self.keep_row)
        self.desk.choice_rows.addWidget(self.plan_card)
        self.desk.tabs.add_part("all", self.tr("All work"), self.lists)
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP_L)
        rows.setSpacing(GAP)
        for each in (head, self.problem, self.wanted):
            rows.addWidget(each)
        rows.addWidget(self.desk, 1)
        for each in (self.problem, self.wanted):
            each.hide()
        self.set_content(ScrolledPage(content))
        self.add_empty_state("no engine", EmptyState(
            self.tr("No engine yet"),
            self.tr("What to redo is worked out for one engine. Describe it first."),
        ))  # fmt: skip
        self.add_empty_state("nothing", EmptyState(
            self.tr("Nothing to redo"),
            self.tr(
                "Suspect or confirm a cause on the page Trace, or record a check that failed: "
                "then the work for it is listed here. Or take steps and tasks from the library, "
                "with their usual hours."
            ),
            self.tr("Take from the library…"),
            self.take_from_library,
        ))  # fmt: skip
