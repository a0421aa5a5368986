"""Choose bolts of a joint line, see the scale that they give with its error, and take it."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.forms.numbers import number_text, parse_number
from leaktrack.gui.forms.units import unit_of
from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP, GAP_L, Tone
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.units import figure
from leaktrack.workflows.project import Project
from leaktrack.workflows.scale_by_spacing import (
    FoundScale,
    ShownBolts,
    scale_by_recorded_places,
    scale_by_spacing,
)


class BoltScaleDialog(QDialog):
    """Asks which bolts tell the scale, and how far they are apart where that is not recorded.

    Args:
        joints: The joints whose bolts the photo shows; one at least.
        units: The setting: metric or imperial.
    """

    def __init__(
        self,
        project: Project,
        photo_id: UUID,
        joints: Sequence[ShownBolts],
        units: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Scale from bolts"))
        self._project, self._photo_id, self._joints = project, photo_id, joints
        self._unit = unit_of("length_mm", units)
        self.found: FoundScale | None = None
        self.joint_box = QComboBox()
        self.joint_box.addItems([joint.name for joint in joints])
        self.recorded = QRadioButton(self.tr("From their &recorded places along the joint"))
        self.measured = QRadioButton(self.tr("From a distance that I &measured"))
        self.first_box, self.last_box = QComboBox(), QComboBox()
        self.distance = QLineEdit()
        self._result = TonedLabel("", Tone.TEXT)
        self._build_layout()
        self.joint_box.currentIndexChanged.connect(self._on_joint)
        for radio in (self.recorded, self.measured):
            radio.toggled.connect(self._work_out)
        for box in (self.first_box, self.last_box):
            box.currentIndexChanged.connect(self._work_out)
        self.distance.textChanged.connect(self._work_out)
        self._on_joint()

    @property
    def says(self) -> str:
        """What is found, or why nothing is."""
        return self._result.text()

    def _build_layout(self) -> None:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.setVerticalSpacing(GAP)
        form.setHorizontalSpacing(GAP_L)
        form.addRow(self.tr("&Joint"), self.joint_box)
        form.addRow(self.recorded)
        form.addRow(self.measured)
        form.addRow(self.tr("&From bolt"), self.first_box)
        form.addRow(self.tr("&To bolt"), self.last_box)
        label = self.tr("&Distance from centre to centre (%s)") % self._unit.symbol
        form.addRow(label, self.distance)
        buttons = QDialogButtonBox()
        self.take_button = buttons.addButton(
            self.tr("Take this &scale"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        self.take_button.setProperty("primary", "true")
        self.take_button.setDefault(True)
        buttons.addButton(self.tr("&Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP_L, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.addLayout(form)
        rows.addWidget(self._result)
        rows.addWidget(buttons)
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * 72)

    @property
    def _joint(self) -> ShownBolts:
        return self._joints[self.joint_box.currentIndex()]

    def _on_joint(self) -> None:
        numbers = [str(number) for number in self._joint.numbers]
        for box, place in ((self.first_box, 0), (self.last_box, len(numbers) - 1)):
            box.blockSignals(True)
            box.clear()
            box.addItems(numbers)
            box.setCurrentIndex(place)
            box.blockSignals(False)
        can_record = len(self._joint.measured) > 1
        self.recorded.setEnabled(can_record)
        (self.recorded if can_record else self.measured).setChecked(True)
        self._work_out()

    def _work_out(self) -> None:
        is_typed = self.measured.isChecked()
        for widget in (self.first_box, self.last_box, self.distance):
            widget.setEnabled(is_typed)
        self.found = None
        if is_typed and not self.distance.text().strip():
            self._say(self.tr("Type how far the two bolts are apart on the engine."))
            return
        try:
            self.found = self._scale(is_typed=is_typed)
        except LeakTrackError as error:
            self._say(str(error))
            return
        words = self.tr(
            "{scale} per pixel. Lengths along the bolts are known to ± {along}\u00a0%, areas to "
            "± {area}\u00a0% (one standard deviation): bolts on a line do not tell how the surface "
            "leans."
        )
        self._say(
            words.format(
                scale=figure(self.found.mm_per_px, "mm"),
                along=number_text(100 * self.found.along_share, 1),
                area=number_text(100 * self.found.area_share, 0),
            )
        )

    def _scale(self, *, is_typed: bool) -> FoundScale:
        where = (self._project, self._photo_id, self._joint.joint_id)
        if not is_typed:
            return scale_by_recorded_places(*where)
        numbers = self._joint.numbers
        bolts = numbers[self.first_box.currentIndex()], numbers[self.last_box.currentIndex()]
        typed = parse_number(self.distance.text(), QLocale().decimalPoint())
        return scale_by_spacing(*where, bolts, self._unit.stored(typed))

    def _say(self, text: str) -> None:
        self._result.setText(text)
        self.take_button.setEnabled(self.found is not None)
