"""The forms for the engine itself, a face, a zone and a joint."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField, FlagField
from leaktrack.gui.forms.field_grid import give_mnemonics
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.look.panels import Heading, TonedLabel
from leaktrack.gui.look.theme import GAP_L
from leaktrack.gui.pages.dipstick_list import DipstickList
from leaktrack.gui.pages.fact_fields import unit_for
from leaktrack.gui.session import Session
from leaktrack.model.engine import FaceSide, SealKind
from leaktrack.model.words import word
from leaktrack.workflows.set_up_engine import amend

OWN_LETTERS = "efhmrvzjocdup"
"""Of the menu bar and of the Engine page's buttons."""


class PartEditor(QWidget):
    """A form for one part of the engine, with a heading and a word of advice."""

    wide: tuple[str, ...] = ()
    """Names of fields that take a row of their own."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.heading = Heading("")
        self.form = RecordForm(session, amend)
        fields = self.make_fields()
        self.form.add_group("", fields, wide=self.wide)
        give_mnemonics(fields.values(), OWN_LETTERS)
        self.rows = QVBoxLayout(self)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.rows.setSpacing(GAP_L)
        self.rows.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.rows.addWidget(self.heading)
        self.rows.addWidget(TonedLabel(self.advice()))
        self.rows.addWidget(self.form)

    def make_fields(self) -> dict[str, Field]:
        """Return the fields by their names in the record."""
        raise NotImplementedError

    def advice(self) -> str:
        """Return what to bear in mind."""
        raise NotImplementedError

    def show_part(self, part: Any) -> None:
        """Show a part."""
        self.heading.setText(part.name)
        self.form.show_record(part)

    def take_focus(self) -> None:
        """Let the person type another name."""
        field = self.form.fields["name"]
        field.editor.setFocus()
        if isinstance(field, TextField):
            field.line.selectAll()


class EngineEditor(PartEditor):
    """The engine itself."""

    wide = ("description",)

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.dipstick = DipstickList(session)
        self.rows.addWidget(self.dipstick)

    def show_part(self, part: Any) -> None:
        """Show the engine with its dipstick."""
        super().show_part(part)
        self.dipstick.show_engine(part.id)

    def make_fields(self) -> dict[str, Field]:
        """Return the fields by their names in the record."""
        return {
            "name": TextField(self.tr("Name")),
            "oil_capacity_ml": NumberField(
                self.tr("Oil it holds"), unit_for(self.session, "oil_capacity_ml")
            ),
            "description": NoteField(self.tr("Description")),
        }

    def advice(self) -> str:
        """Return what to bear in mind."""
        return self.tr("Choose a face at the left and add the zones that you photograph each time.")


class FaceEditor(PartEditor):
    """One face."""

    def make_fields(self) -> dict[str, Field]:
        """Return the fields by their names in the record."""
        sides = {side: word(side) for side in FaceSide}
        return {
            "name": TextField(self.tr("Name")),
            "side": ChoiceField(self.tr("Side"), sides, is_required=True),
        }

    def advice(self) -> str:
        """Return what to bear in mind."""
        return self.tr(
            "A zone is a part of this face that one photo shows whole. The side says where the "
            "face lies on the engine sheet."
        )


class ZoneEditor(PartEditor):
    """One zone."""

    def make_fields(self) -> dict[str, Field]:
        """Return the fields by their names in the record."""
        return {"name": TextField(self.tr("Name"))}

    def advice(self) -> str:
        """Return what to bear in mind."""
        return self.tr(
            "Add the joints that this zone shows. Their lines are drawn once, on a clear and dry "
            "photo: the zone's reference."
        )


class JointFields(PartEditor):
    """One joint, without its bolts and its lines."""

    wide = ("note",)

    def make_fields(self) -> dict[str, Field]:
        """Return the fields by their names in the record."""
        kinds = {kind: word(kind) for kind in SealKind}
        return {
            "name": TextField(self.tr("Name")),
            "seal_kind": ChoiceField(self.tr("Sealed by"), kinds, is_required=True),
            "length_mm": NumberField(self.tr("Length"), unit_for(self.session, "length_mm")),
            "gap_mm": NumberField(self.tr("Gap when closed"), unit_for(self.session, "gap_mm")),
            "face_mm": NumberField(self.tr("Width of the face"), unit_for(self.session, "face_mm")),
            "is_closed": FlagField(self.tr("Runs back into its own start, as around a lid")),
            "note": NoteField(self.tr("Note")),
        }

    def advice(self) -> str:
        """Return what to bear in mind."""
        return self.tr("Bolts are counted along the joint from its start.")
