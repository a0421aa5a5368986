"""The tree of what comes off, with a three-way toggle for each task."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from PySide6.QtCore import QEvent, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeView

from leaktrack.gui.look.theme import GAP
from leaktrack.gui.plan.decision_painting import DecisionDelegate, after
from leaktrack.gui.plan.plan_tree import PlanNode
from leaktrack.gui.plan.plan_tree_model import PlanTreeModel, TreeColumn
from leaktrack.model.redo_plan import RedoTask
from leaktrack.model.redo_problem import TaskWhy

_INDENT_PX = 14
_LEAST_LINES = 9


class PlanTreeView(QTreeView):
    """Space goes round must, let it decide and never; Enter edits."""

    decided = Signal(object, object)
    """The person settled this about a task (UUID, RedoDecision)."""
    taken = Signal(object)
    """This PlanNode is in hand; None for none."""
    opened = Signal(object)
    """Edit the record with this key (UUID)."""

    def __init__(self, target_px: int) -> None:
        super().__init__()
        self.nodes = PlanTreeModel(self)
        self.setModel(self.nodes)
        self.delegate = DecisionDelegate(target_px, self)
        self.setItemDelegateForColumn(TreeColumn.DECISION, self.delegate)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setAllColumnsShowFocus(True)
        self.setExpandsOnDoubleClick(False)
        self.setUniformRowHeights(True)
        self.setIndentation(_INDENT_PX)
        self.setTabKeyNavigation(False)
        self.setMouseTracking(True)
        self.setAccessibleName(self.tr("What comes off, and what is done"))
        header = self.header()
        header.setStretchLastSection(False)
        header.setAccessibleName(self.tr("Columns"))
        header.setMinimumSectionSize(target_px)
        header.setSectionResizeMode(TreeColumn.NAME, QHeaderView.ResizeMode.Stretch)
        for column in (TreeColumn.PLAN, TreeColumn.DECISION):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
        self.delegate.decided.connect(self.decided)
        self.doubleClicked.connect(self._on_double_clicked)
        self.selectionModel().currentRowChanged.connect(self._on_current_changed)

    @property
    def current_node(self) -> PlanNode | None:
        """What is in hand."""
        return self.nodes.node(self.currentIndex())

    def show_tree(
        self, roots: Sequence[PlanNode], why: Mapping[UUID, TaskWhy], *, is_locked: bool
    ) -> None:
        """Show a tree; what is in hand and what is folded stays so."""
        self.delegate.is_locked = is_locked
        current = self.current_node
        folded = self._folded()
        scrolled = self.verticalScrollBar().value()
        if self.nodes.show_tree(roots, why):
            self.expandAll()
            for record_id in folded:
                self.collapse(self.nodes.index_of(record_id))
            index = self.nodes.index_of(current.record.id) if current is not None else QModelIndex()
            self.setCurrentIndex(index if index.isValid() else self._first(roots))
            self.verticalScrollBar().setValue(scrolled)
        self.viewport().update()
        self.taken.emit(self.current_node)

    def take(self, record_id: UUID) -> None:
        """Take a step or task in hand."""
        index = self.nodes.index_of(record_id)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def showEvent(self, event: QShowEvent) -> None:
        """Give the columns the width that their words need."""
        super().showEvent(event)
        self._fit_columns()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the text size."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit_columns()

    def _fit_columns(self) -> None:
        # Not by their contents: that would measure all rows whenever one of them changes.
        font = QFont(self.font())
        font.setBold(True)
        metrics = QFontMetrics(font)
        plan = metrics.horizontalAdvance(self.tr("comes off, 00.00 h")) + 2 * GAP
        header = self.header()
        header.resizeSection(TreeColumn.PLAN, plan)
        word = metrics.horizontalAdvance(self.tr("Your word")) + 2 * GAP
        header.resizeSection(TreeColumn.DECISION, max(word, self.delegate.width))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go round the decisions with the space bar; edit with Enter."""
        node = self.current_node
        if node is not None and event.key() == Qt.Key.Key_Space:
            record = node.record
            if isinstance(record, RedoTask) and not record.is_done and not self.delegate.is_locked:
                self.decided.emit(record.id, after(record.decision))
            return
        if node is not None and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.opened.emit(node.record.id)
            return
        super().keyPressEvent(event)

    def minimumSizeHint(self) -> QSize:
        """Return room for some rows."""
        return QSize(200, _LEAST_LINES * max(self.fontMetrics().height(), self.delegate.side_px))

    def sizeHint(self) -> QSize:
        """Return the same: longer trees are scrolled."""
        return self.minimumSizeHint()

    def _first(self, roots: Sequence[PlanNode]) -> QModelIndex:
        """Return the row to begin with: a task, since that is where something is decided."""
        every = (node.record for root in roots for node in root.walk())
        tasks = (one for one in every if isinstance(one, RedoTask) and not one.is_done)
        task = next(tasks, None)
        return self.nodes.index(0, 0) if task is None else self.nodes.index_of(task.id)

    def _folded(self) -> list[UUID]:
        found: list[UUID] = []

        def look(parent: QModelIndex) -> None:
            for row in range(self.nodes.rowCount(parent)):
                index = self.nodes.index(row, 0, parent)
                node = self.nodes.node(index)
                if node is not None and node.children:
                    if not self.isExpanded(index):
                        found.append(node.record.id)
                    look(index)

        look(QModelIndex())
        return found

    def _on_current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        self.taken.emit(self.nodes.node(current))

    def _on_double_clicked(self, index: QModelIndex) -> None:
        node = self.nodes.node(index)
        if node is not None and index.column() != TreeColumn.DECISION:
            self.opened.emit(node.record.id)
