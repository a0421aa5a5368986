"""Edit one task or one access step of the redo list."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from leaktrack.gui.forms.check_list_field import CheckListField
from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import NumberField, TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.units import Unit
from leaktrack.gui.look.panels import Heading, ScrolledPage, push_button
from leaktrack.gui.look.theme import GAP, GAP_L
from leaktrack.gui.plan.decision_painting import ORDER
from leaktrack.gui.plan.needs_field import NeedsField
from leaktrack.gui.plan.plan_words import decision_words
from leaktrack.gui.plan.work_fields import PartsField, ToolsField
from leaktrack.gui.session import Session
from leaktrack.model.caution import Caution
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.inspection import Check
from leaktrack.model.record import Edit
from leaktrack.model.redo_plan import AccessStep, RedoTask
from leaktrack.workflows.find_engine import joints_of_engine
from leaktrack.workflows.plan_redo import (
    amend_access_step,
    amend_task,
    remove_access_step,
    remove_task,
)
from leaktrack.workflows.project import Project

_NUMBERS = ("hours", "refit_hours", "money", "cure_h")
_OWN_LETTERS = "efhmrvb"
"""Of the menu bar and of the button that leads back."""


class RedoEditor(QWidget):
    """A form for a task or a step in place of the list."""

    closed = Signal()
    """Show the list again."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._record: RedoTask | AccessStep | None = None
        self.heading = Heading("")
        self.back_button = push_button(
            self.tr("&Back to the list"), self.close_record, icon_name="previous"
        )
        self.task_form = self._task_form()
        self.step_form = self._step_form()
        self.remove_button = push_button("", self._remove, icon_name="remove", is_quiet=True)
        head = QHBoxLayout()
        head.addWidget(self.heading, 1)
        head.addWidget(self.back_button, 0, Qt.AlignmentFlag.AlignTop)
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(GAP_L, GAP, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.addLayout(head)
        rows.addWidget(self.task_form)
        rows.addWidget(self.step_form)
        rows.addWidget(self.remove_button)
        rows.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(ScrolledPage(content))

    @property
    def record(self) -> RedoTask | AccessStep | None:
        """What is being edited."""
        return self._record

    @property
    def form(self) -> RecordForm:
        """The form shown."""
        return self.task_form if isinstance(self._record, RedoTask) else self.step_form

    def open_record(self, record: RedoTask | AccessStep, focus: str = "") -> None:
        """Edit a record; ``focus`` names the field to begin with."""
        self._record = record
        self._show()
        field = self.form.fields[focus or "name"]
        field.editor.setFocus(Qt.FocusReason.OtherFocusReason)
        if isinstance(field, TextField):
            field.line.selectAll()

    def reload(self) -> None:
        """Read the record again; go back where it is not there any more."""
        if self._record is None:
            return
        self._record = self._session.project.find(type(self._record), self._record.id)
        if self._record is None:
            self.closed.emit()
        else:
            self._show()

    def close_record(self) -> None:
        """Go back to the list."""
        self._record = None
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Escape lead back to the list."""
        if event.key() == Qt.Key.Key_Escape:
            self.close_record()
        else:
            super().keyPressEvent(event)

    def _show(self) -> None:
        record = self._record
        if record is None:
            return
        is_task = isinstance(record, RedoTask)
        self.heading.setText(record.name)
        self.task_form.setVisible(is_task)
        self.step_form.setVisible(not is_task)
        self._offer(record)
        self.form.show_record(record)
        self.remove_button.setText(self.tr("Remove task") if is_task else self.tr("Remove step"))
        self.remove_button.setAccessibleName(self.remove_button.text())
        self.remove_button.setEnabled(not self._session.project.is_read_only)

    def _offer(self, record: RedoTask | AccessStep) -> None:
        project, engine_id = self._session.project, record.engine_id
        steps = project.all(AccessStep, engine_id=engine_id)
        needs = self.form.fields["needs"]
        if isinstance(needs, CheckListField):
            needs.set_choices({step.id: step.name for step in steps if step.id != record.id})
        joints, checks = self.task_form.fields["joint_id"], self.task_form.fields["check_id"]
        if isinstance(joints, ChoiceField) and isinstance(checks, ChoiceField):
            own = joints_of_engine(project, engine_id)
            joints.set_choices({joint.id: joint.name for joint in own})
            every = project.all(Check, engine_id=engine_id)
            checks.set_choices({check.id: check.name for check in every})

    def _task_form(self) -> RecordForm:
        form = RecordForm(self._session, self._amend_with(amend_task))
        form.add_group(
            "",
            {
                "name": TextField(self.tr("What is done")),
                "joint_id": ChoiceField(
                    self.tr("Joint sealed again"), {}, absent=self.tr("no joint")
                ),
                "check_id": ChoiceField(
                    self.tr("Check that asks for it"), {}, absent=self.tr("no check")
                ),
                "hours": NumberField(self.tr("Work"), _hours),
                "money": NumberField(self.tr("Money for parts and fluids")),
                "cure_h": NumberField(self.tr("Curing before the engine may run"), _hours),
                "does_cure_block_refit": FlagField(self.tr("Nothing goes back on before it cured")),
                "decision": ChoiceField(
                    self.tr("Your word"),
                    {each: decision_words(each) for each in ORDER},
                    is_required=True,
                ),
                "is_done": FlagField(self.tr("Done")),
            },
        )
        self._add_lists(form)
        return form

    def _step_form(self) -> RecordForm:
        form = RecordForm(self._session, self._amend_with(amend_access_step))
        form.add_group(
            "",
            {
                "name": TextField(self.tr("What comes off")),
                "hours": NumberField(self.tr("Taking it off"), _hours),
                "refit_hours": NumberField(self.tr("Putting it back"), _hours),
                "money": NumberField(self.tr("Money for parts and fluids")),
                "is_done": FlagField(self.tr("Off already")),
            },
        )
        self._add_lists(form)
        return form

    def _add_lists(self, form: RecordForm) -> None:
        needs = NeedsField(
            self.tr("What must be off before it"), self.tr("There is no other access step yet.")
        )
        cautions = CheckListField(self.tr("What can hurt somebody here"))
        cautions.set_choices({caution: _hazard(caution) for caution in Caution})
        form.add_group(
            "",
            {
                "parts": PartsField(self.tr("Parts and fluids, one in each line")),
                "tools": ToolsField(self.tr("Tools, with commas between")),
                "needs": needs,
                "cautions": cautions,
            },
            wide=("needs",),
        )
        give_mnemonics(
            (each for each in form.fields.values() if not isinstance(each, CheckListField)),
            _OWN_LETTERS,
        )

    def _amend_with(self, amend: Callable[[Project, Any, Any], Edit]) -> Callable[[Any, Any], Edit]:
        def build(before: Any, after: Any) -> Edit:
            emptied = {name: 0.0 for name in _NUMBERS if getattr(after, name, 0.0) is None}
            return amend(self._session.project, before, replace(after, **emptied))

        return build

    def _remove(self) -> None:
        record = self._record
        if record is None:
            return
        build: Callable[[Project, UUID], Edit]
        build = remove_task if isinstance(record, RedoTask) else remove_access_step
        try:
            edit = build(self._session.project, record.id)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.remove_button.text(), edit)


def _hours() -> Unit:
    return Unit("h", 2)


def _hazard(caution: Caution) -> str:
    """Return a hazard's first words: the whole caution stands on the page itself."""
    return caution.value.replace("_", " ").capitalize()
