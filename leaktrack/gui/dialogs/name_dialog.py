"""Ask for a name."""

from PySide6.QtWidgets import QInputDialog, QLineEdit, QWidget


def ask_for_name(parent: QWidget, title: str, label: str, name: str = "") -> str:
    """Return the name that the person typed; empty if they changed their mind."""
    text, is_accepted = QInputDialog.getText(parent, title, label, QLineEdit.EchoMode.Normal, name)
    return text.strip() if is_accepted else ""
