"""The window must outlive thousands of calls from Qt into Python.

Some versions of the binding on some Pythons drop a reference at each such call that returns None
and abort after a few thousand of them.
"""

from dataclasses import replace

from PySide6.QtGui import QUndoStack

from leaktrack.gui.look.grade_badge import GradeBadge
from leaktrack.gui.undo import EditCommand
from leaktrack.model.engine import Engine
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.record import Edit, replaced

MANY = 5000


def test_five_thousand_repaints_do_no_harm(qtbot):
    badge = GradeBadge(SeepageGrade.SEEP)
    qtbot.addWidget(badge)
    badge.show()

    for _ in range(MANY):
        badge.repaint()

    assert badge.isVisible()


def test_five_thousand_steps_are_undone_and_redone(qapp):
    stack = QUndoStack()
    kept: list[Edit] = []
    engine = Engine(name="V6")
    edit = replaced(engine, replace(engine, name="V6 again"))

    def apply(step: Edit) -> Edit:
        kept.append(step)
        return step.inverse

    stack.push(EditCommand("Rename", edit, apply, print, stack))
    for _ in range(MANY):
        stack.undo()
        stack.redo()

    assert len(kept) == 1 + 2 * MANY
    assert kept[-1] == edit
    assert kept[-2] == edit.inverse
