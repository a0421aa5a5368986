"""What else is seen at one mark: leak, joint, fluid, drops, what happened after wiping, a note."""

from collections.abc import Mapping
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.units import Unit
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.fact_fields import unit_for
from leaktrack.gui.session import Session
from leaktrack.model.leak import Fluid, Leak, LeakMark
from leaktrack.model.words import word

_NEW_LEAK = "new"


class MarkDetails(QWidget):
    """A form for the mark in hand; each answer is told at once, for one step of undo each."""

    answered = Signal(str, object)
    """The name of a field of LeakMark, and its new value."""
    leak_chosen = Signal(object)
    """The mark shows this leak (UUID); None: a new one."""
    joint_chosen = Signal(object)
    """The leak is thought to come from this joint (UUID), or nobody knows (None)."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        yes_no = {True: self.tr("yes"), False: self.tr("no")}
        fluids = {fluid: word(fluid) for fluid in Fluid}
        looked, wiped = self.tr("nobody looked"), self.tr("not wiped")
        self.leak_field = ChoiceField(self.tr("Leak"), {}, is_required=True)
        self.joint_field = ChoiceField(self.tr("Joint"), {}, absent=self.tr("not known yet"))
        self.fields: dict[str, Field] = {
            "fluid": ChoiceField(self.tr("Fluid"), fluids, is_required=True),
            "has_hanging_drop": ChoiceField(self.tr("Hanging drop"), yes_no, absent=looked),
            "do_drops_fall": ChoiceField(self.tr("Drops fall"), yes_no, absent=looked),
            "drops_per_minute": NumberField(self.tr("Drops per minute"), lambda: Unit("", 2)),
            "is_stream": ChoiceField(self.tr("Runs in a stream"), yes_no, absent=looked),
            "drop_edge_mm": NumberField(
                self.tr("Edge it drips from"), unit_for(session, "drop_edge_mm")
            ),
            "pool_mm": NumberField(self.tr("Pool below it"), unit_for(session, "pool_mm")),
            "did_reappear": ChoiceField(self.tr("Wet again after wiping"), yes_no, absent=wiped),
            "reappears_after_min": NumberField(self.tr("Wet again after"), lambda: Unit("min", 1)),
            "wet_for_min": NumberField(self.tr("Getting wet for"), lambda: Unit("min", 1)),
            "note": TextField(self.tr("Note")),
        }
        self._build_layout()
        for name, field in self.fields.items():
            field.answered.connect(lambda value, name=name: self.answered.emit(name, value))
        self.leak_field.answered.connect(
            lambda key: self.leak_chosen.emit(None if key == _NEW_LEAK else key)
        )
        self.joint_field.answered.connect(self.joint_chosen)
        for field in (self.leak_field, self.joint_field, *self.fields.values()):
            field.lock(session.project.is_read_only)
        self.show_mark(None)

    def _build_layout(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(GAP)
        everything = (self.leak_field, self.joint_field, *self.fields.values())
        pairs, note = everything[:-1], everything[-1]
        # Two columns: leak and joint; fluid and drop; drops and wiping ...
        for place, field in enumerate(pairs):
            grid.addWidget(field, place // 2, place % 2)
        grid.addWidget(note, (len(pairs) + 1) // 2, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    def set_choices(self, leaks: Mapping[UUID, str], joints: Mapping[UUID, str]) -> None:
        """Offer these leaks and joints."""
        self.leak_field.set_choices({**leaks, _NEW_LEAK: self.tr("a new leak")})
        self.joint_field.set_choices(joints)

    def show_mark(self, shown: tuple[LeakMark, Leak] | None) -> None:
        """Show a mark and its leak; with None the form is hidden."""
        self.setVisible(shown is not None)
        if shown is None:
            return
        mark, leak = shown
        self.leak_field.set_value(leak.id)
        self.joint_field.set_value(leak.joint_id)
        for name, field in self.fields.items():
            field.set_value(getattr(mark, name))
