"""How many bolts a joint has, and what is known about each."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.field_grid import FieldGrid
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.row_list import RowList
from leaktrack.gui.look.theme import GAP
from leaktrack.gui.pages.fact_fields import unit_for, yes_no
from leaktrack.gui.session import Session
from leaktrack.model.engine import Bolt, Joint
from leaktrack.model.errors import BadInput, LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.workflows.set_up_engine import amend, set_bolt_count


class BoltsList(QWidget):
    """The number of bolts, then a row for each."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._joint: Joint | None = None
        self.count_field = NumberField(self.tr("Number of bolts"), is_whole=True)
        self.count_field.answered.connect(self._on_count)
        self.list = RowList(
            session,
            self.tr("Bolts"),
            self._fields,
            self._build,
            lambda _place, bolt: self.tr("Bolt %d") % bolt.number,
            empty_text=self.tr("This joint has no bolts; places along it are told as a share."),
            is_table=True,
        )
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP)
        rows.addWidget(FieldGrid((self.count_field,)))
        rows.addWidget(self.list)

    def show_joint(self, joint: Joint) -> None:
        """Show a joint's bolts."""
        if self._joint is None or self._joint.id != joint.id:
            self.count_field.forget()
        self._joint = joint
        bolts = self._session.project.all(Bolt, joint_id=joint.id)
        self.count_field.set_value(len(bolts))
        self.count_field.lock(self._session.project.is_read_only)
        self.list.show_records(bolts, joint.id)

    def _fields(self) -> dict[str, Field]:
        station = NumberField(self.tr("Place from start"), unit_for(self._session, "station_mm"))
        return {
            "station_mm": station,
            "opens_into_oil": ChoiceField(self.tr("Hole opens into oil"), yes_no()),
            "note": TextField(self.tr("Remark")),
        }

    def _build(self, bolts: Sequence[Bolt]) -> Edit:
        edit = Edit(())
        for before, after in zip(self.list.records, bolts, strict=True):
            if before != after:
                edit = edit.then(amend(before, after))
        return edit

    def _on_count(self, count: Any) -> None:
        if self._joint is None:
            return
        try:
            edit = set_bolt_count(self._session.project, self._joint.id, count or 0)
        except BadInput as error:
            self.count_field.complain(str(error))
        except LeakTrackError as error:
            self._session.report(error)
        else:
            self._session.do(self.tr("Change the number of bolts"), edit)
