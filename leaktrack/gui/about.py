"""Who made this and what it is built on: versions and licences."""

from importlib.metadata import PackageNotFoundError, metadata

from PySide6.QtWidgets import QMessageBox, QWidget

from leaktrack.gui.error_window import diagnostics
from leaktrack.places import resource

_BUILT_ON = (
    "PySide6-Essentials",
    "numpy",
    "scipy",
    "opencv-python-headless",
    "Pillow",
    "pi-heif",
    "av",
    "SQLAlchemy",
    "alembic",
    "typst",
)


def libraries() -> tuple[str, ...]:
    """Return name, version and licence of each library that is installed."""
    found = []
    for name in _BUILT_ON:
        try:
            facts = metadata(name)
        except PackageNotFoundError:
            continue
        told = [facts[key] for key in ("License-Expression", "License") if key in facts]
        licence = next(iter(told), "see its own files")
        found.append(f"{name} {facts['Version']}: {licence.splitlines()[0]}")
    return tuple(found)


def show_about(parent: QWidget) -> None:
    """Show the box About."""
    notice = resource("models", "NOTICE").read_text(encoding="utf-8")
    box = QMessageBox(parent)
    box.setWindowTitle(parent.tr("About leaktrack"))
    box.setText(diagnostics())
    box.setInformativeText(
        parent.tr("leaktrack is free software under the Apache License 2.0. It is built on:")
    )
    box.setDetailedText("\n".join((*libraries(), "", notice)))
    close = box.addButton(parent.tr("C&lose"), QMessageBox.ButtonRole.AcceptRole)
    box.setDefaultButton(close)
    box.exec()
