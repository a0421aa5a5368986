"""The manual lists every entry of every menu with its key, and none that is not there."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtGui import QAction, QKeySequence, QUndoGroup
from PySide6.QtWidgets import QMainWindow

from leaktrack.bootstrap import create_project
from leaktrack.gui.background import Background
from leaktrack.gui.help_window import CHAPTERS
from leaktrack.gui.menus import Menus
from leaktrack.gui.page_kinds import PAGES
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.gui.session import Session
from leaktrack.places import resource
from leaktrack.settings import Settings

pytestmark = pytest.mark.gui

MENUS_AND_KEYS = (resource("help") / "keyboard.md").read_text(encoding="utf-8")
OF_MENUS = MENUS_AND_KEYS.partition("\n## In a photo")[0]
# The one entry of the menu Marks on other pages; the manual tells of it in a sentence.
UNNUMBERED = {kind.title for kind in PAGES if kind.own_key}
ON_OTHER_PAGES = "Show the page Inspect"


@pytest.fixture
def entries(qtbot, tmp_path: Path) -> Iterator[dict[str, QAction]]:
    """All entries of all menus by what people read, with those of the page Inspect."""
    window = QMainWindow()
    qtbot.addWidget(window)
    menus = Menus(window, QUndoGroup(window))
    background = Background()
    with create_project(tmp_path / "bench") as project:
        page = InspectPage(Session(project, background, Settings()))
        qtbot.addWidget(page)
        menus.set_page_commands(page.commands())
        yield {words(action): action for action in _entries(menus)}
        background.close()


def _entries(menus: Menus) -> Iterator[QAction]:
    yield menus.recent.menuAction()
    yield from menus.all_actions()


def words(action: QAction) -> str:
    """What people read; a page stands in the menu Page, most begin with their number there."""
    text = action.text().replace("&", "").strip()
    if not isinstance(action.parent(), Menus):
        return text
    if re.match(r"\d ", text):
        return f"Page, {text[2:]}"
    return f"Page, {text}" if text in UNNUMBERED else text


def listed() -> dict[str, str]:
    """The entries that the manual lists, with their keys."""
    rows = re.findall(r"^\| ([^|]+?) \| ([^|]*?) ?\| [^|]*\|$", OF_MENUS, re.MULTILINE)
    return {name: keys for name, keys in rows if name not in ("Entry", "---")}


def test_every_menu_entry_is_listed_and_no_other(entries):
    assert sorted(listed()) == sorted(entries)


def test_every_key_is_listed_with_its_entry(entries):
    keys = {
        name: {key.toString(QKeySequence.SequenceFormat.PortableText) for key in action.shortcuts()}
        for name, action in entries.items()
    }
    told = listed()

    wrong = {name: (told[name], each) for name, each in keys.items() if {told[name]} - each - {""}}
    untold = [name for name, each in keys.items() if each and not told[name]]
    assert (wrong, untold) == ({}, [])


def test_the_menus_have_their_headings(entries, qtbot):
    window = QMainWindow()
    qtbot.addWidget(window)
    titles = [menu.title().replace("&", "") for menu in Menus(window, QUndoGroup(window)).top]

    assert re.findall(r"^## (\S+)$", OF_MENUS, re.MULTILINE) == titles


def test_the_entry_of_the_menu_marks_on_other_pages_is_told(qtbot):
    window = QMainWindow()
    qtbot.addWidget(window)
    (entry,) = Menus(window, QUndoGroup(window)).marks.actions()

    assert f"**{words(entry)}**" in MENUS_AND_KEYS


def test_every_chapter_has_its_place_in_the_manual_s_window():
    assert {file.stem for file in resource("help").glob("*.md")} == set(CHAPTERS)
