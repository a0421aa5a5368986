"""Why the task in hand is done or left, with the numbers behind it, which can be changed here."""

from dataclasses import replace
from functools import partial
from typing import Any
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import Field
from leaktrack.gui.forms.units import Unit
from leaktrack.gui.look.panels import Heading, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, Tone
from leaktrack.gui.plan.decision_switch import DecisionSwitch
from leaktrack.gui.plan.factor_list import FactorList
from leaktrack.gui.plan.own_number_field import OwnNumberField
from leaktrack.gui.plan.plan_tree import CHOSEN_STATES, NodeState, PlanNode
from leaktrack.gui.plan.plan_words import node_plan, node_sentence
from leaktrack.gui.plan.why_words import hours_sentence, turn_sentence, worth_sentence
from leaktrack.gui.session import Session
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.redo_benefit import WeighedTask
from leaktrack.model.redo_plan import RedoTask
from leaktrack.model.words import word
from leaktrack.workflows.plan_redo import amend_task

_CELL_CHARACTERS = 18


class WhyPanel(QWidget):
    """Shows the task or step in hand."""

    decided = Signal(object, object)
    """The person settled this about a task (UUID, RedoDecision)."""
    opened = Signal(object)
    """Edit the record with this key (UUID)."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._node: PlanNode | None = None
        self.heading = Heading("", 2)
        self.state = TonedLabel("", Tone.QUIET)
        self.because = TonedLabel("", Tone.TEXT)
        self.times = TonedLabel("", Tone.QUIET)
        self.switch = DecisionSwitch()
        self.reasons = TonedLabel("", Tone.TEXT)
        self.worth = TonedLabel("", Tone.TEXT)
        self.chance_field = OwnNumberField(self.tr("Chance it comes back"), _per_cent)
        self.mess_field = OwnNumberField(self.tr("Mess, if it does"), _money)
        self.chance_from = TonedLabel()
        self.factors = FactorList()
        self.edit_button = push_button(self.tr("Edit…"), self._open, icon_name="edit")
        self.fields = {"chance": self.chance_field, "mess": self.mess_field}
        self._numbers = FieldGrid(tuple(self.fields.values()), cell_characters=_CELL_CHARACTERS)
        self._of_tasks = (
            self.switch, self.reasons, self.worth, self._numbers, self.chance_from, self.factors,
        )  # fmt: skip
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        for each in (
            self.heading, self.state, self.because, self.times, self.switch, self.reasons,
            self.worth, self._numbers, self.chance_from, self.factors, self.edit_button,
        ):  # fmt: skip
            rows.addWidget(each)
        rows.addStretch(1)
        self.switch.decided.connect(self.decided)
        for name, field in self.fields.items():
            field.answered.connect(partial(self._on_answered, name, field))

    @property
    def record_id(self) -> UUID | None:
        """Key of what is shown."""
        return self._node.record.id if self._node is not None else None

    def show_node(
        self, node: PlanNode | None, weighed: WeighedTask | None, because: str, times: str
    ) -> None:
        """Show a step or task.

        Args:
            node: What is in hand; None for nothing.
            weighed: What is known of a task so far.
            because: Why it is asked for; empty for nothing to say.
            times: How long its own work takes, and by what.
        """
        is_other = self.record_id != (node.record.id if node is not None else None)
        self._node = node
        self.setVisible(node is not None)
        if node is None:
            return
        record = node.record
        is_locked = self._session.project.is_read_only
        self.heading.setText(record.name)
        self.because.setText(because)
        self.because.setVisible(bool(because))
        self.times.setText(times)
        self.times.setVisible(bool(times))
        self.edit_button.setAccessibleName(self.tr("Edit: %s") % record.name)
        why = weighed.why if weighed is not None else None
        is_task = isinstance(record, RedoTask) and node.state is not NodeState.DONE
        sentence = node_plan(node, why) if is_task else node_sentence(node, why).partition(": ")[2]
        self.state.setText(sentence[:1].upper() + sentence[1:])
        for each in self._of_tasks:
            each.setVisible(is_task)
        if isinstance(record, RedoTask) and is_task:
            self.switch.show_task(record, is_locked=is_locked)
            if is_other:
                for field in self.fields.values():
                    field.forget()
            self._show_numbers(record, weighed, is_locked=is_locked)
            self._show_reasons(node, weighed)

    def _show_numbers(
        self, task: RedoTask, weighed: WeighedTask | None, *, is_locked: bool
    ) -> None:
        benefit = weighed.benefit if weighed is not None else None
        worked_out = {
            "chance": benefit.chance if benefit is not None else None,
            "mess": benefit.mess if benefit is not None else None,
        }
        for name, field in self.fields.items():
            value = getattr(task, name)
            if value is None:
                field.show_worked_out(worked_out[name])
            field.set_value(value)
            field.lock(is_locked)
        said = self.tr("The chance comes from: %s") % word(benefit.chance_from) if benefit else ""
        self.chance_from.setText(said)
        self.factors.show_factors(benefit.factors if benefit is not None else ())

    def _show_reasons(self, node: PlanNode, weighed: WeighedTask | None) -> None:
        if weighed is None:
            self.reasons.setText(self.tr("Not weighed yet."))
            self.worth.setText("")
            return
        is_chosen = node.state in CHOSEN_STATES
        sentences = [
            hours_sentence(weighed, is_chosen=is_chosen),
            turn_sentence(weighed, is_chosen=is_chosen),
        ]
        said = " ".join(filter(None, sentences))
        if weighed.why is None:
            said = self.tr("The reasons are being worked out…")
        self.reasons.setText(said or self.tr("There was no time to work out the reasons."))
        self.worth.setText(worth_sentence(weighed.benefit))

    def _open(self) -> None:
        if self._node is not None:
            self.opened.emit(self._node.record.id)

    def _on_answered(self, name: str, field: Field, value: Any) -> None:
        record_id, project = self.record_id, self._session.project
        task = project.find(RedoTask, record_id) if record_id is not None else None
        if task is None:
            return
        try:
            edit = amend_task(project, task, replace(task, **{name: value}))
        except BadInput as error:
            field.complain(str(error))
        except LeakTrackError as error:
            self._session.report(error)
        else:
            self._session.do(self.tr("Change %s") % field.name, edit)


def _per_cent() -> Unit:
    return Unit("%", 1, 100.0)


def _money() -> Unit:
    return Unit("", 2)
