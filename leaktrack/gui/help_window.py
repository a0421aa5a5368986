"""The manual: chapters at the left, text at the right, all of it offline."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from leaktrack.gui.look.theme import GAP
from leaktrack.places import resource

CHAPTERS = (
    "index",
    "first_steps",
    "engine",
    "sealing_jobs",
    "photos",
    "footage",
    "inspections",
    "marks",
    "compare",
    "joint_strip",
    "trace",
    "redo",
    "seals",
    "report",
    "files",
    "command_line",
    "keyboard",
    "safety",
    "whats_new",
)
"""File names below ``resources/help`` without ending, in reading order."""

SHORTCUTS = "shortcuts"


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter of the manual, in Markdown."""

    key: str
    title: str
    text: str


def title_of(markdown: str, fallback: str) -> str:
    r"""Return the first heading of a text.

    >>> title_of("# Tracing a leak\n\nText", "trace")
    'Tracing a leak'
    """
    heading = next((line for line in markdown.splitlines() if line.startswith("# ")), "")
    return heading.removeprefix("# ").strip() or fallback


def read_chapters(folder: Path) -> tuple[Chapter, ...]:
    """Return the manual's chapters in reading order; files that nobody listed come last."""
    files = {file.stem: file for file in sorted(folder.glob("*.md"))}
    keys = [key for key in CHAPTERS if key in files] + [key for key in files if key not in CHAPTERS]
    texts = {key: files[key].read_text(encoding="utf-8") for key in keys}
    return tuple(Chapter(key, title_of(text, key), text) for key, text in texts.items())


def shortcuts_chapter(actions: Sequence[QAction], title: str) -> Chapter:
    """Return a chapter that lists the keys of all commands, made from the commands themselves."""
    rows = [
        f"| {action.text().replace('&', '')} | {_keys(action)} |"
        for action in actions
        if action.shortcuts()
    ]
    table = "\n".join(("| Command | Keys |", "| --- | --- |", *rows, "", _PANEL_KEYS))
    return Chapter(SHORTCUTS, title, f"# {title}\n\n{table}")


_PANEL_KEYS = """## Inside the panels

| Where | Keys | What |
| --- | --- | --- |
| Logbook | Up, Down | pick an entry |
| Logbook | Space | tick an inspection; two ticked ones are compared |
| Engine sheet | Left, Right | pick a zone |
| Joint strip | Left, Right | step from bolt to bolt and finding to finding; Shift: a tenth |
| Joint strip | Ctrl+Left, Ctrl+Right | jump to the next leak, or gap or the like of a bead |
| Joint strip | Up, Down | move between inspections and seals |
| Joint strip | Enter, Shift+Enter | show the photo, or the footage, of what is at the cursor |
"""


def _keys(action: QAction) -> str:
    native = QKeySequence.SequenceFormat.NativeText
    keys = [each.toString(native) for each in action.shortcuts()]
    # A keyboard may have a key "Undo" of its own; it needs no explaining.
    return ", ".join(key for key in keys if "+" in key or key.startswith("F")).replace("|", "\\|")


class HelpWindow(QDialog):
    """The manual in a window of its own, so that it can stay open beside the work."""

    def __init__(self, chapters: Sequence[Chapter], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Manual"))
        self.setModal(False)
        self._chapters = tuple(chapters)
        self.search = QLineEdit()
        self.search.setPlaceholderText(self.tr("Search the manual"))
        self.search.setAccessibleName(self.tr("Search the manual"))
        self.search.setClearButtonEnabled(True)
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Chapters"))
        self.text = QTextBrowser()
        self.text.setAccessibleName(self.tr("Chapter"))
        self.text.setOpenLinks(False)
        self.text.anchorClicked.connect(self._on_link)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.search)
        column.addWidget(self.list, 1)
        splitter = QSplitter(Qt.Orientation.Horizontal)
        splitter.addWidget(left)
        splitter.addWidget(self.text)
        splitter.setStretchFactor(1, 1)
        splitter.setSizes([220, 580])
        whole = QHBoxLayout(self)
        whole.setContentsMargins(GAP, GAP, GAP, GAP)
        whole.addWidget(splitter)
        self.resize(860, 620)
        self.search.textChanged.connect(self._fill)
        self.list.currentItemChanged.connect(self._on_chapter_picked)
        self._fill("")

    def show_chapter(self, key: str) -> None:
        """Open a chapter; the first one where there is none of that name."""
        self.search.clear()
        row = next((row for row, each in enumerate(self._chapters) if each.key == key), 0)
        self.list.setCurrentRow(row)
        self.show()
        self.activateWindow()

    def _fill(self, wanted: str) -> None:
        self.list.clear()
        for chapter in self._chapters:
            if wanted.casefold() in chapter.text.casefold():
                item = QListWidgetItem(chapter.title)
                item.setData(Qt.ItemDataRole.UserRole, chapter.key)
                self.list.addItem(item)
        self.list.setCurrentRow(0)

    def _on_chapter_picked(self, item: QListWidgetItem | None) -> None:
        key = None if item is None else item.data(Qt.ItemDataRole.UserRole)
        chapter = next((each for each in self._chapters if each.key == key), None)
        self.text.setMarkdown("" if chapter is None else chapter.text)
        if chapter is not None and self.search.text():
            self.text.find(self.search.text())

    def _on_link(self, url: QUrl) -> None:
        key = Path(url.path()).stem
        if any(chapter.key == key for chapter in self._chapters):
            self.show_chapter(key)


def manual(actions: Sequence[QAction], shortcuts_title: str) -> tuple[Chapter, ...]:
    """Return the whole manual, with the keys of these commands."""
    return (*read_chapters(resource("help")), shortcuts_chapter(actions, shortcuts_title))
