"""All numbers behind what a task is worth, each with where it comes from; folded at first."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import TonedLabel
from leaktrack.gui.look.theme import GAP, GAP_S, Tone
from leaktrack.gui.plan.why_words import factor_words
from leaktrack.model.redo_benefit import Factor


class FactorList(QWidget):
    """A button that unfolds a table of three columns."""

    def __init__(self) -> None:
        super().__init__()
        self._factors: tuple[Factor, ...] = ()
        self.button = QToolButton()
        self.button.setCheckable(True)
        self.button.setProperty("quiet", "true")
        self.button.setText(self.tr("All numbers and their sources"))
        self.button.setAccessibleName(self.button.text())
        self.button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.button.setArrowType(Qt.ArrowType.RightArrow)
        self.table = QWidget()
        self._grid = QGridLayout(self.table)
        self._grid.setContentsMargins(GAP, 0, 0, 0)
        self._grid.setHorizontalSpacing(GAP)
        self._grid.setVerticalSpacing(GAP_S)
        self._grid.setColumnStretch(0, 1)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(GAP_S)
        rows.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        rows.addWidget(self.table)
        self.table.hide()
        self.button.toggled.connect(self._on_toggled)

    def show_factors(self, factors: Sequence[Factor]) -> None:
        """Show these; none hides the list."""
        self.setVisible(bool(factors))
        if tuple(factors) == self._factors:
            return
        self._factors = tuple(factors)
        if self.button.isChecked():
            self._fill()

    def _on_toggled(self, is_open: bool) -> None:
        arrow = Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow
        self.button.setArrowType(arrow)
        self.table.setVisible(is_open)
        if is_open:
            self._fill()

    def _fill(self) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        for row, factor in enumerate(self._factors):
            name, number, standing = factor_words(factor)
            label = TonedLabel(name, Tone.TEXT)
            value = QLabel(number)
            for column, each in enumerate((label, value, TonedLabel(standing))):
                self._grid.addWidget(each, row, column, Qt.AlignmentFlag.AlignTop)
