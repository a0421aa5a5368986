"""Where a new project shall be and what engine it is about; which folder to open."""

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.panels import TonedLabel, push_button
from leaktrack.gui.look.theme import GAP, GAP_L

_FORBIDDEN = '<>:"/\\|?*'


@dataclass(frozen=True, slots=True)
class NewProjectWish:
    """What the person asked for."""

    folder: Path
    engine_name: str


def folder_name(engine_name: str) -> str:
    """Return a folder's name for an engine that every system takes.

    >>> folder_name("V6: rebuilt / 2026")
    'V6 rebuilt 2026'
    """
    plain = "".join(" " if each in _FORBIDDEN or ord(each) < 32 else each for each in engine_name)
    return " ".join(plain.split()).strip(". ")


class NewProjectDialog(QDialog):
    """Asks for the engine's name and for a place; the folder is named after the engine."""

    def __init__(self, parent_folder: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("New project"))
        self.engine_name = QLineEdit()
        self.engine_name.setPlaceholderText(self.tr("What people call it"))
        self.place = QLineEdit(str(parent_folder))
        self._folder = TonedLabel()
        self._folder.setMinimumWidth(self.fontMetrics().averageCharWidth() * 50)
        self._buttons = QDialogButtonBox()
        self._create = self._buttons.addButton(
            self.tr("Make &project"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        self._create.setProperty("primary", "true")
        self._buttons.addButton(self.tr("&Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
        self._build_layout()
        self.engine_name.textChanged.connect(self._on_changed)
        self.place.textChanged.connect(self._on_changed)
        self._on_changed()

    @classmethod
    def ask(cls, parent: QWidget | None = None) -> NewProjectWish | None:
        """Return the wish; None if the person changed their mind."""
        dialog = cls(documents_folder(), parent)
        return dialog.wish() if dialog.exec() else None

    def wish(self) -> NewProjectWish:
        """Return what the fields say."""
        name = self.engine_name.text().strip()
        return NewProjectWish(Path(self.place.text().strip()) / folder_name(name), name)

    def _build_layout(self) -> None:
        place = QHBoxLayout()
        place.setSpacing(GAP)
        place.addWidget(self.place, 1)
        place.addWidget(push_button(self.tr("C&hoose…"), self._on_choose, icon_name="folder"))
        form = QFormLayout()
        form.setSpacing(GAP)
        form.addRow(self.tr("&Engine"), self.engine_name)
        kept_in = QLabel(self.tr("&Kept in"))
        kept_in.setBuddy(self.place)
        form.addRow(kept_in, place)
        form.addRow("", self._folder)
        self._buttons.accepted.connect(self.accept)
        self._buttons.rejected.connect(self.reject)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(GAP_L, GAP_L, GAP_L, GAP_L)
        rows.setSpacing(GAP_L)
        rows.addLayout(form)
        rows.addWidget(self._buttons)

    def _on_changed(self) -> None:
        wish = self.wish()
        is_complete = bool(folder_name(wish.engine_name)) and bool(self.place.text().strip())
        is_free = is_complete and not wish.folder.exists()
        self._create.setEnabled(is_free)
        if not is_complete:
            self._folder.setText(self.tr("Give the engine a name; the folder is named after it."))
        elif is_free:
            self._folder.setText(self.tr("New folder: {path}").format(path=wish.folder))
        else:
            self._folder.setText(self.tr("{path} is there already.").format(path=wish.folder))

    def _on_choose(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, self.tr("Keep it in"), self.place.text())
        if chosen:
            self.place.setText(chosen)


def documents_folder() -> Path:
    """Return where people keep their documents on this machine."""
    place = QStandardPaths.StandardLocation.DocumentsLocation
    return Path(QStandardPaths.writableLocation(place) or Path.home())


def ask_for_project(parent: QWidget) -> Path | None:
    """Return a project folder that the person chose; None if they changed their mind."""
    title = parent.tr("Open a project folder")
    chosen = QFileDialog.getExistingDirectory(parent, title, str(documents_folder()))
    return Path(chosen) if chosen else None
