"""The two limits between grades on which sources differ, to be set by the person."""

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QDoubleSpinBox, QFormLayout

from leaktrack.gui.forms.units import unit_of
from leaktrack.settings import (
    LEAST_AT_ONCE_MIN,
    LEAST_HEAVY_MM,
    MOST_AT_ONCE_MIN,
    MOST_HEAVY_MM,
    Settings,
)


class GradeLimitFields(QObject):
    """Two number boxes; they speak the units that the settings had when they were made."""

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
        self._unit = unit_of("heavy_seep_mm", settings.units)
        self._heavy, self._at_once = QDoubleSpinBox(), QDoubleSpinBox()
        self._heavy.setDecimals(1 if self._unit.factor == 1 else 2)
        self._heavy.setRange(self._unit.shown(LEAST_HEAVY_MM), self._unit.shown(MOST_HEAVY_MM))
        self._heavy.setSuffix(f" {self._unit.symbol}")
        self._heavy.setValue(self._unit.shown(settings.heavy_seep_mm))
        self._heavy.setToolTip(
            self.tr(
                "Wider after half an hour is a drip. Sources say 4 inches (101.6 mm) or 3 inches "
                "(76.2 mm)."
            )
        )
        self._at_once.setDecimals(1)
        self._at_once.setRange(LEAST_AT_ONCE_MIN, MOST_AT_ONCE_MIN)
        self._at_once.setSuffix(" min")
        self._at_once.setValue(settings.at_once_min)
        self._at_once.setToolTip(
            self.tr(
                "What is wet again so soon after wiping is a heavy seep. No source says a time."
            )
        )
        self._shown = (self._heavy.value(), self._at_once.value())

    @property
    def boxes(self) -> tuple[QDoubleSpinBox, QDoubleSpinBox]:
        """The boxes, in their order."""
        return self._heavy, self._at_once

    @property
    def heavy_seep_mm(self) -> float:
        """The size as chosen; what was not touched stays as exact as it was."""
        if self._heavy.value() == self._shown[0]:
            return self._settings.heavy_seep_mm
        return self._unit.stored(self._heavy.value())

    @property
    def at_once_min(self) -> float:
        """The time as chosen."""
        if self._at_once.value() == self._shown[1]:
            return self._settings.at_once_min
        return self._at_once.value()

    def add_to(self, form: QFormLayout) -> None:
        """Add both as rows of a form."""
        form.addRow(self.tr("&Heavy seep up to"), self._heavy)
        form.addRow(self.tr("Wet again at &once, within"), self._at_once)
