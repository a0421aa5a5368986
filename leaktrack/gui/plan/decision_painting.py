"""The three-way toggle of a task in a row of the tree: must, let it decide, never."""

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QHelpEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QToolTip,
)

from leaktrack.gui.look.theme import Tone, color, icon
from leaktrack.gui.plan.plan_tree import PlanNode
from leaktrack.gui.plan.plan_tree_model import PlanTreeModel
from leaktrack.gui.plan.plan_words import decision_words
from leaktrack.model.redo_plan import RedoDecision, RedoTask

ORDER = (RedoDecision.MUST, RedoDecision.DECIDE, RedoDecision.NEVER)
ICONS = {
    RedoDecision.MUST: "pin",
    RedoDecision.DECIDE: "propose",
    RedoDecision.NEVER: "rule_out",
}
_CORNER_PX = 5.0
_INSET_PX = 2


class DecisionDelegate(QStyledItemDelegate):
    """Draws three segments side by side; the one in force is filled and ringed.

    Args:
        side_px: Smallest side of a segment.
    """

    decided = Signal(object, object)
    """The person settled this about the task with this key (UUID, RedoDecision)."""

    def __init__(self, side_px: int, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.side_px = side_px
        self.is_locked = False

    @property
    def width(self) -> int:
        """Room for the three segments."""
        return len(ORDER) * (self.side_px + 6)

    def segment(self, cell: QRect, decision: RedoDecision) -> QRect:
        """Return where a segment lies in its cell."""
        width = max(self.side_px, min(cell.width() // len(ORDER), 2 * self.side_px))
        left = cell.left() + ORDER.index(decision) * width
        return QRect(left, cell.top(), width, cell.height())

    def decision_at(self, cell: QRect, x: int) -> RedoDecision | None:
        """Return the segment that lies at x."""
        hit = (each for each in ORDER if self.segment(cell, each).contains(x, cell.center().y()))
        return next(hit, None)

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return room for three targets."""
        height = super().sizeHint(option, index).height()
        return QSize(self.width, max(height, self.side_px))

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the row's ground, and the segments where there is something to decide."""
        super().paint(painter, option, index)
        task = _task(index)
        if task is None:
            return
        cell = _rect(option)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for decision in ORDER:
            inner = QRectF(self.segment(cell, decision)).adjusted(
                _INSET_PX, _INSET_PX, -_INSET_PX, -_INSET_PX
            )
            is_on = task.decision is decision
            if is_on:
                painter.setPen(QPen(color(Tone.ACCENT), 2))
                painter.setBrush(color(Tone.BASE))
                painter.drawRoundedRect(inner, _CORNER_PX, _CORNER_PX)
            tone = Tone.TEXT if is_on else Tone.BORDER
            side = min(inner.height() - 4, painter.fontMetrics().height() + 1)
            box = QRectF(0, 0, side, side)
            box.moveCenter(inner.center())
            icon(ICONS[decision], tone).paint(painter, box.toRect())
        painter.restore()

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> bool:
        """Settle it where a segment is clicked."""
        task = _task(index)
        if (
            task is not None
            and not self.is_locked
            and isinstance(event, QMouseEvent)
            and event.type() is QEvent.Type.MouseButtonRelease
            and event.button() is Qt.MouseButton.LeftButton
        ):
            cell = _rect(option)
            decision = self.decision_at(cell, event.position().toPoint().x())
            if decision is not None and decision is not task.decision:
                self.decided.emit(task.id, decision)
                return True
        return super().editorEvent(event, model, option, index)

    def helpEvent(
        self,
        event: QHelpEvent,
        view: QAbstractItemView,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> bool:
        """Say what a segment settles."""
        if event.type() is QEvent.Type.ToolTip and _task(index) is not None:
            cell = _rect(option)
            decision = self.decision_at(cell, event.pos().x())
            if decision is not None:
                QToolTip.showText(event.globalPos(), decision_words(decision), view)
                return True
        return super().helpEvent(event, view, option, index)


def after(decision: RedoDecision) -> RedoDecision:
    """Return what comes after a decision when the space bar goes round."""
    return ORDER[(ORDER.index(decision) + 1) % len(ORDER)]


def _task(index: QModelIndex | QPersistentModelIndex) -> RedoTask | None:
    model = index.model()
    node: PlanNode | None = model.node(index) if isinstance(model, PlanTreeModel) else None
    record = node.record if node is not None else None
    return record if isinstance(record, RedoTask) and not record.is_done else None


def _rect(option: QStyleOptionViewItem) -> QRect:
    cell: QRect = option.rect
    return cell
