"""Materials, each with the rule of its maker."""

from dataclasses import asdict
from uuid import UUID

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSplitter, QVBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.field_grid import FieldGrid, give_mnemonics
from leaktrack.gui.forms.fields import Field, NumberField, TextField
from leaktrack.gui.forms.forms import RecordForm
from leaktrack.gui.forms.note_field import NoteField
from leaktrack.gui.forms.when_seen import WhenSeen
from leaktrack.gui.look.panels import CautionBox, Heading, ScrolledPage, TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L, Tone, icon
from leaktrack.gui.pages.fact_fields import unit_for
from leaktrack.gui.session import Session
from leaktrack.model.caution import Caution
from leaktrack.model.engine import SealKind
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.record import Edit
from leaktrack.model.sealing_job import BeadPlace, Closing, Material, SealingRule
from leaktrack.model.words import word
from leaktrack.workflows.set_up_engine import amend, new_material, remove_material, set_rule

_OWN_LETTERS = "efhmrvtd"
"""Of the menu bar and of the buttons here."""

_LIST_CHARACTERS = 30


class MaterialEditor(QWidget):
    """The list of materials at the left, the material in hand at the right."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._ids: list[UUID] = []
        self._material: Material | None = None
        self.list = QListWidget()
        self.form = RecordForm(session, amend)
        self.rule_form = RecordForm(session, self._amend_rule)
        self.heading = Heading("")
        self.source_warning = TonedLabel(
            self.tr("Say whose rule this is, so that others can look it up."), Tone.ATTENTION
        )
        self.empty = TonedLabel(
            self.tr(
                "No material yet. Add the sealants, gaskets and rings that you use, each with the "
                "rule of its maker."
            )
        )
        self.add_button = push_button(
            self.tr("Add ma&terial"), self.add_material, icon_name="add", is_primary=True
        )
        self.remove_button = push_button(
            self.tr("Remove"), self.remove_material, icon_name="remove", is_quiet=True
        )
        self._build()
        session.records_changed.connect(WhenSeen(self, self.reload).request)
        self.reload()

    def reload(self) -> None:
        """Read the materials again."""
        materials = self._session.project.all(Material)
        kept = self._material.id if self._material is not None else None
        self._ids = [each.id for each in materials]
        row = self._ids.index(kept) if kept in self._ids else 0
        with QSignalBlocker(self.list):
            self.list.clear()
            for each in materials:
                item = QListWidgetItem(icon("material"), each.name)
                item.setToolTip(f"{each.name}, {word(each.seal_kind)}")
                self.list.addItem(item)
            self.list.setCurrentRow(row)
        self.empty.setVisible(not materials)
        self._show_current()

    def add_material(self) -> None:
        """Add a material and let the person type its name."""
        names = {each.name for each in self._session.project.all(Material)}
        name = fresh_name(self.tr("New material"), names)
        material, edit = new_material(name, SealKind.LIQUID_GASKET)
        self._material = material
        self._session.do(self.tr("Add material"), edit)
        field = self.form.fields["name"]
        field.editor.setFocus()
        if isinstance(field, TextField):
            field.line.selectAll()

    def remove_material(self) -> None:
        """Take the material in hand away; refused while a job uses it."""
        if self._material is None:
            return
        try:
            edit = remove_material(self._session.project, self._material.id)
        except LeakTrackError as error:
            self._session.report(error)
            return
        self._session.do(self.tr("Remove material"), edit)

    def _show_current(self) -> None:
        row = self.list.currentRow()
        self._material = None
        if 0 <= row < len(self._ids):
            self._material = self._session.project.find(Material, self._ids[row])
        is_locked = self._session.project.is_read_only
        self._details.setVisible(self._material is not None)
        self.add_button.setEnabled(not is_locked)
        self.remove_button.setEnabled(self._material is not None and not is_locked)
        if self._material is None:
            return
        self.heading.setText(self._material.name)
        self.form.show_record(self._material)
        rules = self._session.project.all(SealingRule, material_id=self._material.id)
        rule = rules[0] if rules else SealingRule(material_id=self._material.id)
        self.rule_form.show_record(rule)
        self.source_warning.setVisible(bool(rules) and not rule.source)

    def _amend_rule(self, _before: SealingRule, after: SealingRule) -> Edit:
        fields = asdict(after)
        del fields["id"], fields["material_id"]
        return set_rule(self._session.project, after.material_id, **fields)

    def _build(self) -> None:
        kinds = {kind: word(kind) for kind in SealKind}
        self.form.add_group(
            "",
            {
                "name": TextField(self.tr("Name")),
                "seal_kind": ChoiceField(self.tr("Kind"), kinds, is_required=True),
                "colour": TextField(self.tr("Colour")),
                "note": NoteField(self.tr("Note")),
            },
            wide=("note",),
        )
        for title, fields in self._rule_groups():
            self.rule_form.add_group(title, fields, wide=("source",) if "source" in fields else ())
        give_mnemonics((*self.form.fields.values(), *self.rule_form.fields.values()), _OWN_LETTERS)
        self.list.setAccessibleName(self.tr("Materials"))
        self.list.setTabKeyNavigation(False)
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setMinimumWidth(self.fontMetrics().averageCharWidth() * _LIST_CHARACTERS)
        self.list.currentRowChanged.connect(lambda _row: self._show_current())
        delete = QShortcut(QKeySequence(QKeySequence.StandardKey.Delete), self.list)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove_material)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        column.addWidget(FieldGrid((self.add_button, self.remove_button), cell_characters=18))
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(ScrolledPage(self._right()))
        split.setStretchFactor(1, 1)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(split)

    def _right(self) -> QWidget:
        self._details = QWidget()
        rows = QVBoxLayout(self._details)
        rows.setContentsMargins(GAP_L, 0, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.setAlignment(Qt.AlignmentFlag.AlignTop)
        advice = TonedLabel(
            self.tr(
                "Makers contradict each other: some want the parts together while the sealant is "
                "wet, some after a skin has formed; some want the bead inside the bolt holes, some "
                "around them. So this rule holds for this material alone."
            )
        )
        for each in (
            self.heading,
            self.form,
            Heading(self.tr("Its maker's rule"), 2),
            advice,
            self.rule_form,
            self.source_warning,
            CautionBox((Caution.SEALANT_VAPOUR, Caution.SOLVENT)),
        ):
            rows.addWidget(each)
        rows.setSpacing(GAP)
        rows.addStretch(1)
        return self._details

    def _rule_groups(self) -> tuple[tuple[str, dict[str, Field]], ...]:
        closings = {each: word(each) for each in Closing}
        places = {each: word(each) for each in BeadPlace}
        numbers = {
            "open_time_min": self.tr("Open time at most"),
            "skin_time_min": self.tr("Skin time at least"),
            "cure_before_filling_h": self.tr("Cure before filling"),
            "cure_before_running_h": self.tr("Cure before running"),
            "bead_min_mm": self.tr("Smallest bead"),
            "bead_max_mm": self.tr("Largest bead"),
            "lowest_c": self.tr("Lowest temperature"),
            "highest_c": self.tr("Highest temperature"),
        }
        fields: dict[str, Field] = {
            name: NumberField(label, unit_for(self._session, name))
            for name, label in numbers.items()
        }
        fields["closing"] = ChoiceField(self.tr("Closing the joint"), closings)
        fields["bead_place"] = ChoiceField(self.tr("Bead place"), places)
        fields["source"] = TextField(self.tr("Whose rule, and where it stands"))
        groups = (
            ("", ("source",)),
            (self.tr("Closing"), ("closing", "open_time_min", "skin_time_min")),
            (self.tr("Cure"), ("cure_before_filling_h", "cure_before_running_h")),
            (self.tr("Bead"), ("bead_min_mm", "bead_max_mm", "bead_place")),
            (self.tr("Temperature"), ("lowest_c", "highest_c")),
        )
        return tuple((title, {name: fields[name] for name in names}) for title, names in groups)


def fresh_name(wanted: str, taken: set[str]) -> str:
    """Return a name that nothing has yet: the one wanted, or with a number after it.

    >>> fresh_name("New zone", {"New zone", "New zone 2"})
    'New zone 3'
    """
    lowered = {name.casefold() for name in taken}
    candidates = [wanted, *(f"{wanted} {number}" for number in range(2, len(taken) + 3))]
    return next(name for name in candidates if name.casefold() not in lowered)
