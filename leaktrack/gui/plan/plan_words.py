"""Words of the plan: of its tree, its figures and its reasons."""

from functools import partial

from PySide6.QtCore import QCoreApplication

from leaktrack.gui.plan.plan_tree import NodeState, PlanNode
from leaktrack.gui.plan.schedule_words import hours_words
from leaktrack.model.redo_plan import AccessStep, RedoDecision, RedoTask
from leaktrack.model.redo_problem import TaskWhy
from leaktrack.model.redo_terms import WorkEstimate

_tr = partial(QCoreApplication.translate, "plan_words")


def decision_words(decision: RedoDecision) -> str:
    """Return what a person settled about a task."""
    return {
        RedoDecision.MUST: _tr("Must be done"),
        RedoDecision.DECIDE: _tr("Let it decide"),
        RedoDecision.NEVER: _tr("Never"),
    }[decision]


def state_words(state: NodeState) -> str:
    """Return what becomes of a step or task."""
    return {
        NodeState.COMES_OFF: _tr("comes off"),
        NodeState.STAYS_ON: _tr("stays on"),
        NodeState.IS_OFF: _tr("off already"),
        NodeState.CHOSEN: _tr("redo"),
        NodeState.LEFT: _tr("leave"),
        NodeState.DONE: _tr("done"),
        NodeState.OPEN: _tr("not worked out"),
    }[state]


def node_name(node: PlanNode) -> str:
    """Return a step's or task's name, with the way in where there is a choice."""
    if not node.ways:
        return node.record.name
    way = " + ".join(node.ways[0])
    if node.state in (NodeState.COMES_OFF, NodeState.CHOSEN):
        return _tr("%s – by way of: %s") % (node.record.name, way)
    return _tr("%s – by %d ways") % (node.record.name, len(node.ways))


def node_plan(node: PlanNode, why: TaskWhy | None) -> str:
    """Return what becomes of it, and what that takes."""
    words = state_words(node.state)
    if isinstance(node.record, AccessStep):
        if node.state in (NodeState.COMES_OFF, NodeState.STAYS_ON, NodeState.OPEN):
            return f"{words}, {hours_words(node.record.hours + node.record.refit_hours)}"
        return words
    if why is None or why.marginal_hours is None or node.state is NodeState.DONE:
        return words
    return f"{words}, +{hours_words(why.marginal_hours)}"


def node_sentence(node: PlanNode, why: TaskWhy | None) -> str:
    """Return a row as it is read out, and shown on hovering."""
    parts = [f"{node.record.name}: {node_plan(node, why)}"]
    if isinstance(node.record, RedoTask) and node.state is not NodeState.DONE:
        parts.append(decision_words(node.record.decision))
    if node.parent is not None:
        parts.append(_tr("after %s") % ", ".join([node.parent.record.name, *node.also]))
    if node.ways:
        ways = _tr(" or ").join(" + ".join(way) for way in node.ways)
        parts.append(_tr("ways in: %s") % ways)
    return "; ".join(parts)


def estimate_words(estimate: WorkEstimate) -> str:
    """Return hours, with how many times were recorded and how far they lie apart.

    >>> estimate_words(WorkEstimate(2.0, 2.0)), estimate_words(WorkEstimate(2.5, 2.0, 12, 0.4))
    ('2 h', '2.5 h ± 0.4 h, by 12 recorded times')
    """
    hours = hours_words(estimate.hours)
    if not estimate.count:
        return hours
    spread = f" ± {hours_words(estimate.spread_h)}" if estimate.spread_h is not None else ""
    times = _tr("%d recorded times") if estimate.count != 1 else _tr("%d recorded time")
    return _tr("%s, by %s") % (f"{hours}{spread}", times % estimate.count)
