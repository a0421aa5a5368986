"""What something asks for but nobody has written a task for yet."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import Card, Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.pages.redo_contents import reason_words
from leaktrack.model.engine import Joint
from leaktrack.model.inspection import Check
from leaktrack.model.redo_plan import TaskReason
from leaktrack.workflows.project import Project


class WantedCard(Card):
    """One line for each, with a button that writes the task."""

    task_wanted = Signal(str, object, object, object)
    """Write a task of this name, for this joint and this check (UUID or None), for this reason."""

    def __init__(self) -> None:
        super().__init__("attention")
        self.buttons: list[QPushButton] = []
        self.rows.addWidget(Heading(self.tr("Wanted, but without a task"), 2))
        self._place = QVBoxLayout()
        self._place.setSpacing(GAP)
        self.rows.addLayout(self._place)

    def show_wanted(
        self, project: Project, wanted: Sequence[tuple[TaskReason, UUID]], *, is_locked: bool
    ) -> None:
        """Show these; none hides the card."""
        while (item := self._place.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        self.buttons = []
        for reason, about_id in wanted:
            self._place.addWidget(self._line(project, reason, about_id, is_locked=is_locked))
        self.setVisible(bool(wanted))

    def _line(
        self, project: Project, reason: TaskReason, about_id: UUID, *, is_locked: bool
    ) -> QWidget:
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        words = reason_words(project, reason, about_id)
        row.addWidget(TonedLabel(words[:1].upper() + words[1:], Tone.TEXT), 1)
        check, joint = project.find(Check, about_id), project.find(Joint, about_id)
        name = self.tr("Seal again: %s") % joint.name if joint else check.name if check else words
        joint_id = joint.id if joint else check.joint_id if check else None
        wish = partial(self.task_wanted.emit, name, joint_id, check.id if check else None, reason)
        button = push_button(self.tr("Write a task"), wish, icon_name="add")
        button.setAccessibleName(self.tr("Write a task: %s") % name)
        button.setEnabled(not is_locked)
        self.buttons.append(button)
        row.addWidget(button)
        return line
