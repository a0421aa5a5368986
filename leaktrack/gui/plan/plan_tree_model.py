"""The tree of what comes off as an item model."""

from collections.abc import Iterator, Mapping, Sequence
from enum import IntEnum
from uuid import UUID

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication

from leaktrack.gui.look.theme import Tone, color, icon
from leaktrack.gui.plan.plan_tree import CHOSEN_STATES, NodeState, PlanNode
from leaktrack.gui.plan.plan_words import node_name, node_plan, node_sentence
from leaktrack.model.redo_plan import RedoTask
from leaktrack.model.redo_problem import TaskWhy

Index = QModelIndex | QPersistentModelIndex

_ICONS = {
    NodeState.COMES_OFF: "up",
    NodeState.STAYS_ON: "lock",
    NodeState.IS_OFF: "confirm",
    NodeState.CHOSEN: "sealing_job",
    NodeState.LEFT: "minus",
    NodeState.DONE: "confirm",
    NodeState.OPEN: "question",
}


class TreeColumn(IntEnum):
    """What stands in which column."""

    NAME = 0
    PLAN = 1
    DECISION = 2


class PlanTreeModel(QAbstractItemModel):
    """One row for each step and task; chosen ones are bold and have an icon of their own."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._roots: tuple[PlanNode, ...] = ()
        self._nodes: dict[int, PlanNode] = {}
        self._keys: dict[UUID, int] = {}
        self._shape: tuple[object, ...] = ()
        self._why: Mapping[UUID, TaskWhy] = {}

    def show_tree(self, roots: Sequence[PlanNode], why: Mapping[UUID, TaskWhy]) -> bool:
        """Show a tree; return whether it has another shape than before, so that rows moved."""
        before_why, self._why = self._why, why
        shape = tuple(map(_shape, roots))
        if shape == self._shape:
            others = []
            for node in _every(roots):
                key = node.record.id
                before = self._nodes[self._keys[key]]
                if not _is_same(before, node) or before_why.get(key) != why.get(key):
                    others.append(key)
                self._nodes[self._keys[key]] = node
            self._roots = tuple(roots)
            # Row by row, and only what changed: a view measures and reads out what it is told.
            for key in others:
                index = self.index_of(key)
                last = index.siblingAtColumn(len(TreeColumn) - 1)
                self.dataChanged.emit(index, last)
            return False
        self.beginResetModel()
        self._roots, self._shape = tuple(roots), shape
        self._nodes = dict(enumerate(_every(roots), start=1))
        self._keys = {node.record.id: key for key, node in self._nodes.items()}
        self.endResetModel()
        return True

    def node(self, index: Index) -> PlanNode | None:
        """Return what stands in a row."""
        return self._nodes.get(index.internalId()) if index.isValid() else None

    def why(self, record_id: UUID) -> TaskWhy | None:
        """Return why a task is done or left, as far as known."""
        return self._why.get(record_id)

    def index_of(self, record_id: UUID | None) -> QModelIndex:
        """Return the row of a step or task; an invalid index if there is none."""
        key = self._keys.get(record_id) if record_id is not None else None
        if key is None:
            return QModelIndex()
        return self.createIndex(self._row(self._nodes[key]), 0, key)

    def index(self, row: int, column: int, parent: Index = QModelIndex()) -> QModelIndex:  # noqa: B008
        """Return the index of a row below another one."""
        beside = self._below(parent)
        if not 0 <= row < len(beside) or not 0 <= column < len(TreeColumn):
            return QModelIndex()
        return self.createIndex(row, column, self._keys[beside[row].record.id])

    def parent(self, index: Index) -> QModelIndex:  # type: ignore[override]
        """Return the row above."""
        node = self.node(index)
        above = node.parent if node is not None else None
        if above is None:
            return QModelIndex()
        return self.createIndex(self._row(above), 0, self._keys[above.record.id])

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows hang below one."""
        return len(self._below(parent)) if parent.column() <= 0 else 0

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        del parent
        return len(TreeColumn)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return a column's heading."""
        if orientation is Qt.Orientation.Vertical or role != Qt.ItemDataRole.DisplayRole:
            return None
        return {
            TreeColumn.NAME: self.tr("What comes off, and for what"),
            TreeColumn.PLAN: self.tr("Plan"),
            TreeColumn.DECISION: self.tr("Your word"),
        }[TreeColumn(section)]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what stands in a cell, how it looks, or how it is read out."""
        node = self.node(index)
        if node is None:
            return None
        column = TreeColumn(index.column())
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return node_sentence(node, self.why(node.record.id))
        if role == Qt.ItemDataRole.DisplayRole:
            if column is TreeColumn.NAME:
                return node_name(node)
            plan = node_plan(node, self.why(node.record.id))
            return plan if column is TreeColumn.PLAN else ""
        is_chosen = node.state in CHOSEN_STATES
        if role == Qt.ItemDataRole.DecorationRole and column is TreeColumn.NAME:
            return icon(_ICONS[node.state], Tone.TEXT if is_chosen else Tone.QUIET)
        if role == Qt.ItemDataRole.FontRole and is_chosen:
            font = QFont(QApplication.font())
            font.setBold(True)
            return font
        if role == Qt.ItemDataRole.ForegroundRole and not is_chosen:
            return color(Tone.QUIET)
        return None

    def _below(self, parent: Index) -> Sequence[PlanNode]:
        node = self.node(parent)
        return self._roots if node is None else node.children

    def _row(self, node: PlanNode) -> int:
        return node.row if node.parent is not None else self._roots.index(node)


def _every(roots: Sequence[PlanNode]) -> Iterator[PlanNode]:
    for root in roots:
        yield from root.walk()


def _shape(node: PlanNode) -> tuple[object, ...]:
    return (node.record.id, isinstance(node.record, RedoTask), tuple(map(_shape, node.children)))


def _is_same(before: PlanNode, now: PlanNode) -> bool:
    return (before.record, before.state, before.also, before.ways) == (
        now.record,
        now.state,
        now.also,
        now.ways,
    )
