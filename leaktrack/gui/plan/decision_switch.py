"""Must, let it decide, never: the toggle of the task in hand, as buttons with words."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QWidget

from leaktrack.gui.look.flow_layout import FlowLayout
from leaktrack.gui.look.toggle_button import ToggleButton
from leaktrack.gui.plan.decision_painting import ICONS, ORDER
from leaktrack.gui.plan.plan_words import decision_words
from leaktrack.model.redo_plan import RedoDecision, RedoTask


class DecisionSwitch(QWidget):
    """Three buttons of which one is pressed; arrow keys go from one to the next."""

    decided = Signal(object, object)
    """The person settled this about a task (UUID, RedoDecision)."""

    def __init__(self) -> None:
        super().__init__()
        self._task: RedoTask | None = None
        self.buttons: dict[RedoDecision, ToggleButton] = {}
        self._group = QButtonGroup(self)
        row = FlowLayout(parent=self)
        for decision in ORDER:
            button = ToggleButton(decision_words(decision), ICONS[decision], _nothing)
            self.buttons[decision] = button
            self._group.addButton(button)
            row.addWidget(button)
        # Told also where an arrow key moved on: that presses the next button without a click.
        self._group.buttonToggled.connect(self._on_toggled)

    def show_task(self, task: RedoTask, *, is_locked: bool) -> None:
        """Show what is settled about a task."""
        self._task = None  # what is shown now is no word of the person
        for decision, button in self.buttons.items():
            button.setChecked(decision is task.decision)
            button.setAccessibleName(f"{decision_words(decision)}: {task.name}")
            button.setEnabled(not is_locked)
        self._task = task

    def _on_toggled(self, button: ToggleButton, is_on: bool) -> None:
        if self._task is None or not is_on:
            return
        decision = next(each for each, one in self.buttons.items() if one is button)
        if decision is not self._task.decision:
            self.decided.emit(self._task.id, decision)


def _nothing() -> None:
    """Do nothing: the group tells what is pressed."""
