"""Ask how long something is."""

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QInputDialog, QLineEdit, QWidget

from leaktrack.gui.forms.numbers import parse_number
from leaktrack.gui.forms.units import unit_of


def ask_for_length(parent: QWidget, title: str, label: str, units: str) -> float | None:
    """Return the length that the person typed, in mm; None if they changed their mind.

    Args:
        parent: Where the question stands.
        title: Of the question.
        label: What is asked for; the unit is added.
        units: The setting: metric or imperial.

    Raises:
        BadInput: It is no number, or can be read in two ways.
    """
    unit = unit_of("length_mm", units)
    text, is_accepted = QInputDialog.getText(
        parent, title, f"{label} ({unit.symbol})", QLineEdit.EchoMode.Normal, ""
    )
    if not is_accepted or not text.strip():
        return None
    return unit.stored(parse_number(text, QLocale().decimalPoint()))
