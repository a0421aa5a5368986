"""A button that lets two photos take turns by themselves, and how fast."""

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from leaktrack.gui.forms.choice_fields import CalmComboBox
from leaktrack.gui.look.toggle_button import ToggleButton

FASTEST_HZ = 3.0
"""Turns per second, never more.

Source:
    WCAG 2.2, success criterion 2.3.1: no more than three flashes within a second. A flash is a pair
    of opposing changes, so three turns a second are half of what is allowed.
"""

_RATE_LETTERS = 14  # of "Blink 0.5 per second", whose letters are narrower than the widest
_USUAL_HZ = 1.0
_RATES_HZ = (0.5, _USUAL_HZ, 2.0, FASTEST_HZ)


class Blinker(QWidget):
    """Is off until somebody wants it, and again when it is out of sight.

    Attributes:
        rate_box: How fast; stands where there is room for it.
    """

    turned = Signal()
    """It is the other photo's turn."""

    def __init__(self) -> None:
        super().__init__()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.turned)
        self.button = ToggleButton(self.tr("&Blink (B)"), "flicker", self._on_clicked)
        self.rate_box = CalmComboBox()
        self.rate_box.setMinimumContentsLength(_RATE_LETTERS)
        self.rate_box.setAccessibleName(self.tr("How fast to blink"))
        self.rate_box.setToolTip(
            self.tr("How often the photos take turns; three times a second at most")
        )
        for rate_hz in _RATES_HZ:
            self.rate_box.addItem(self.tr("Blink %g per second") % rate_hz, rate_hz)
        self.rate_box.setCurrentIndex(_RATES_HZ.index(_USUAL_HZ))
        self.rate_box.activated.connect(lambda _row: self._keep_pace())
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.button)

    @property
    def is_on(self) -> bool:
        """Whether the photos take turns."""
        return self._timer.isActive()

    @property
    def interval_ms(self) -> int:
        """How long each photo is shown."""
        return max(round(1000 / float(self.rate_box.currentData())), round(1000 / FASTEST_HZ))

    def toggle(self) -> None:
        """Begin or stop."""
        if self.is_on or not self.isEnabled():
            self.stop()
        else:
            self._timer.start(self.interval_ms)
            self.button.setChecked(True)
            self.turned.emit()

    def stop(self) -> None:
        """Stop; the photo that is shown stays."""
        self._timer.stop()
        self.button.setChecked(False)

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop where nobody looks."""
        self.stop()
        super().hideEvent(event)

    def _on_clicked(self) -> None:
        # The click has pressed or released the button already.
        self.toggle()

    def _keep_pace(self) -> None:
        if self.is_on:
            self._timer.start(self.interval_ms)
