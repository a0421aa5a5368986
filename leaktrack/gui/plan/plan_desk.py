"""The plan of the engine in hand: its answer, the tree it comes from, the order, the parts."""

from collections.abc import Mapping
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.look.theme import GAP, Tone, target_size
from leaktrack.gui.look.two_columns import TwoColumns
from leaktrack.gui.plan.answer_card import AnswerCard
from leaktrack.gui.plan.answer_words import answer_words, hint_words
from leaktrack.gui.plan.parts_box import PartsBox
from leaktrack.gui.plan.plan_solver import PlanSolver
from leaktrack.gui.plan.plan_tree import Picked, PlanNode, plan_tree
from leaktrack.gui.plan.plan_tree_view import PlanTreeView
from leaktrack.gui.plan.plan_words import decision_words, estimate_words
from leaktrack.gui.plan.schedule_box import ScheduleBox
from leaktrack.gui.plan.schedule_words import order_words
from leaktrack.gui.plan.tabbed_parts import TabbedParts
from leaktrack.gui.plan.terms_form import TermsForm
from leaktrack.gui.plan.why_panel import WhyPanel
from leaktrack.gui.plan.work_sheet_box import WorkSheetBox
from leaktrack.gui.session import Session
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.redo_benefit import WeighedRedo, WeighedTask
from leaktrack.model.redo_plan import RedoDecision, RedoTask
from leaktrack.model.redo_problem import SolvedState, TaskWhy, WorkKind
from leaktrack.model.words import word
from leaktrack.model.work_sheet import WorkSheet
from leaktrack.workflows.settle_redo import decide
from leaktrack.workflows.weigh_in_stages import Staged, TeardownRecords


class PlanDesk(QWidget):
    """Re-solves whenever a record changes, and shows what is known so far."""

    opened = Signal(object)
    """Edit the task or step with this key (UUID)."""
    answered = Signal()
    """What is known of the answer is another now."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._read: TeardownRecords | None = None
        self._staged: Staged | None = None
        self._because: Mapping[UUID, str] = {}
        self.solver = PlanSolver(session.project, session.background, self)
        self.answer = AnswerCard()
        self.tree = PlanTreeView(target_size(session.settings))
        self.why = WhyPanel(session)
        self.order = ScheduleBox()
        self.parts = PartsBox()
        self.sheet = WorkSheetBox(session)
        self.terms = TermsForm(session)
        self.tabs = TabbedParts(self.tr("Parts of the plan"), self.answer.state)
        self.choice = QWidget()
        self.choice_rows = QVBoxLayout(self.choice)
        self.choice_rows.setContentsMargins(0, 0, 0, 0)
        self.choice_rows.setSpacing(GAP)
        self.choice_rows.addWidget(TwoColumns(self.tree, self.why, shares=(5, 4)), 1)
        self.tabs.add_part("choice", self.tr("What and why"), self.choice, is_filling=True)
        for key, title, part in (
            ("order", self.tr("Order"), self.order),
            ("sheet", self.tr("Work sheet"), self.sheet),
            ("parts", self.tr("Parts"), self.parts),
            ("terms", self.tr("Terms"), self.terms),
        ):
            self.tabs.add_part(key, title, part)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(self.answer)
        rows.addWidget(self.tabs, 1)
        self.solver.found.connect(self._on_found)
        self.solver.failed.connect(self._on_failed)
        self.solver.step_changed.connect(self.answer.show_step)
        self.tree.taken.connect(self._on_taken)
        for each in (self.tree, self.why):
            each.opened.connect(self.opened)
            each.decided.connect(self.decide)

    @property
    def weighed(self) -> WeighedRedo | None:
        """What is known of the answer; None for nothing yet."""
        return self._staged.weighed if self._staged is not None else None

    @property
    def work_sheet(self) -> WorkSheet | None:
        """Who does what on which day; None where that is not known."""
        return self._staged.sheet if self._staged is not None else None

    def reload(self, engine_id: UUID, read: TeardownRecords) -> None:
        """Show tasks and steps as they are now, and solve it anew.

        Args:
            engine_id: Whose teardown it is.
            read: Its tasks, steps and terms.
        """
        if self._read is not None and self._read.terms.engine_id != engine_id:
            self._staged = None
        is_other = read != self._read
        self._read = read
        self.terms.show_terms(read.terms)
        if is_other:
            self._show_tree()
        self.solver.renew(engine_id, read)

    def show_reasons(self, because: Mapping[UUID, str]) -> None:
        """Say why tasks are asked for, by their keys."""
        self._because = because
        self._on_taken(self.tree.current_node)

    def decide(self, task_id: UUID, decision: RedoDecision) -> None:
        """Keep what a person settled about a task."""
        project = self._session.project
        task = project.find(RedoTask, task_id)
        if task is None:
            return
        try:
            edit = decide(project, task_id, decision)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(f"{decision_words(decision)}: {task.name}", edit)

    def _on_found(self, staged: Staged) -> None:
        self._staged = staged
        weighed = staged.weighed
        answer = weighed.answer
        if answer.state is SolvedState.INFEASIBLE:
            self.answer.show_conflict(answer.conflict)
            self.order.say(answer.conflict, Tone.PROBLEM)
            self.sheet.say(answer.conflict)
        else:
            self.answer.show_figures(answer_words(weighed, staged.sheet), hint_words(weighed))
        if staged.sheet is not None and answer.schedule is not None:
            proof = order_words(answer.schedule)
            self.order.show_sheet(staged.sheet, weighed.terms.workers, weighed.name_of, proof)
            self.sheet.show_sheet(staged.sheet)
            self.parts.show_parts(staged.sheet.parts, answer.money or 0.0)
        self._show_tree()
        self.answered.emit()

    def _on_failed(self, error: LeakTrackError) -> None:
        self._staged = None
        self.answer.show_conflict(str(error))
        self.order.say(str(error), Tone.PROBLEM)
        self._show_tree()
        self.answered.emit()

    def _show_tree(self) -> None:
        if self._read is None:
            return
        roots = plan_tree(self._read.tasks, self._read.steps, self._picked())
        is_locked = self._session.project.is_read_only
        self.tree.show_tree(roots, self._reasons(), is_locked=is_locked)

    def _picked(self) -> Picked | None:
        weighed = self.weighed
        if weighed is None or self._staged is None:
            return None
        if weighed.answer.state is SolvedState.INFEASIBLE:
            return None
        return Picked(
            frozenset(UUID(key) for key in weighed.answer.tasks),
            frozenset(UUID(key) for key in weighed.answer.steps),
            self._staged.ways,
        )

    def _reasons(self) -> dict[UUID, TaskWhy]:
        tasks = self.weighed.tasks if self.weighed is not None else ()
        return {one.task.id: one.why for one in tasks if one.why is not None}

    def _on_taken(self, node: PlanNode | None) -> None:
        record_id = node.record.id if node is not None else None
        because = self._because.get(record_id, "") if record_id is not None else ""
        times = self._times(node) if node is not None else ""
        self.why.show_node(node, self._weighed_task(record_id), because, times)

    def _times(self, node: PlanNode) -> str:
        """Return how long a step's or task's own work takes, and by what that is known."""
        known = self.weighed.estimates if self.weighed is not None else {}
        names = {
            WorkKind.TAKE_OFF: word(WorkKind.TAKE_OFF),
            WorkKind.TASK: self.tr("own work"),
            WorkKind.REFIT: word(WorkKind.REFIT),
        }
        found = [(name, known.get((node.record.id, kind))) for kind, name in names.items()]
        said = "; ".join(f"{name} {estimate_words(one)}" for name, one in found if one is not None)
        return said[:1].upper() + said[1:]

    def _weighed_task(self, record_id: UUID | None) -> WeighedTask | None:
        tasks = self.weighed.tasks if self.weighed is not None else ()
        return next((one for one in tasks if one.task.id == record_id), None)
