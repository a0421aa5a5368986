"""Walks through the demo engine in the window: all pages and entries, keyboard only, locked."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLabel, QWidget

from leaktrack.bootstrap import open_project
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.page_kinds import PAGES, key_of
from leaktrack.gui.panels.zone_card import ZoneCardButton
from leaktrack.model.inspection import Inspection
from tests.gui import looking
from tests.story.conftest import ROOT
from tests.story.person import Person

pytestmark = [pytest.mark.gui, pytest.mark.slow]

MOST_TAB_STOPS = 300
PAGE_KEYS = [key_of(kind) for kind in PAGES]
TITLES = [kind.title for kind in PAGES]
PLACES = list(zip(PAGE_KEYS, TITLES, strict=True))


@pytest.fixture
def demo(person: Person, window: MainWindow, demo_copy: Path) -> Person:
    """Somebody before the demo engine, with everything read."""
    window.open_project(demo_copy)
    person.wait(lambda: window.workbench is not None)
    person.click_row(person.find(QAbstractItemView, "Logbook"), "After 4 hours")
    person.wait(lambda: len(cards(person)) == 4)
    return person


def cards(person: Person) -> list[ZoneCardButton]:
    return [each for each in person.window.findChildren(ZoneCardButton) if each.isVisible()]


def complaint(window: MainWindow) -> str:
    """What the window complains of; empty where it does not."""
    return window.messages.text if window.messages.isVisible() else ""


def test_every_page_shows_every_zone_of_the_demo(demo: Person, window: MainWindow):
    shown = []
    for keys, title in PLACES:
        demo.press(keys)
        page = demo.find(QWidget, title)
        for card in cards(demo):
            QTest.mouseClick(card, Qt.MouseButton.LeftButton)
            QApplication.processEvents()
            shown.append((title, window.workbench.session.zone_id))
        assert page.isVisible()

    assert len(set(shown)) == len(PLACES) * 4
    assert complaint(window) == ""


def test_every_entry_of_the_logbook_opens_its_page(demo: Person, window: MainWindow):
    logbook = demo.find(QAbstractItemView, "Logbook")
    shown = []

    for row in range(logbook.model().rowCount()):
        logbook.scrollTo(logbook.model().index(row, 0))
        place = logbook.visualRect(logbook.model().index(row, 0)).center()
        QTest.mouseClick(logbook.viewport(), Qt.MouseButton.LeftButton, pos=place)
        QApplication.processEvents()
        shown.append(window.workbench.work.current_key)

    assert set(shown) == {"job", "run", "check", "inspect", "redo"}
    assert complaint(window) == ""


def test_two_ticked_inspections_are_compared(demo: Person, window: MainWindow):
    logbook = demo.find(QAbstractItemView, "Logbook")
    logbook.setFocus()
    demo.press("Space")
    demo.click_row(logbook, "Baseline")
    logbook.setFocus()
    demo.press("Space")

    demo.wait(lambda: window.workbench.work.current_key == "compare")
    session = window.workbench.session
    picked = (session.earlier_entry[1], session.entry[1])
    titles = [session.project.get(Inspection, inspection_id).title for inspection_id in picked]
    assert titles == ["Baseline, not yet run", "After 4 hours"]


@pytest.mark.thorough  # page by page in the tests of the window
def test_the_tab_key_leads_around_every_page_and_comes_back(demo: Person, window: MainWindow):
    came_back = []
    for keys, title in PLACES:
        demo.press(keys)
        demo.find(QWidget, title)
        window.workbench.logbook.list.setFocus()
        stops = looking.tab_stops(window, MOST_TAB_STOPS)
        if stops[-1] is window.workbench.logbook.list and len(set(stops)) > 8:
            came_back.append(title)

    assert came_back == TITLES


def test_f6_leads_through_all_panels_of_every_page_and_comes_back(demo: Person, window: MainWindow):
    seen = {}
    for keys, title in PLACES:
        demo.press(keys)
        window.workbench.logbook.list.setFocus()
        places = []
        while QApplication.focusWidget() not in places:
            places.append(QApplication.focusWidget())
            demo.press("F6")
        seen[title] = (QApplication.focusWidget() is places[0], len(places) >= 4)

    assert seen == dict.fromkeys(TITLES, (True, True))


HOLD = """
import sys, time
from pathlib import Path
from leaktrack.bootstrap import open_project
with open_project(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def held_elsewhere(demo_copy: Path) -> Iterator[Path]:
    """A project that another process has open."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, demo_copy],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as holder:
        assert holder.stdout.readline() == "held\n"
        yield demo_copy
        holder.stdin.close()
        holder.wait(30)


def test_while_another_process_holds_it_everything_can_be_looked_at(
    person: Person, window: MainWindow, held_elsewhere: Path
):
    window.open_project(held_elsewhere)
    person.wait(lambda: window.workbench is not None)
    said = " ".join(label.text() for label in window.findChildren(QLabel) if label.isVisible())
    assert "Open for looking only, held by" in said

    for keys, title in PLACES:
        person.press(keys)
        assert person.find(QWidget, title).isVisible()
    assert complaint(window) == ""


def test_what_is_held_elsewhere_can_be_changed_once_it_is_closed_there(
    person: Person, window: MainWindow, demo_copy: Path
):
    with open_project(demo_copy):
        window.open_project(demo_copy)
        person.wait(lambda: window.workbench is not None)
        assert window.workbench.session.project.is_read_only

    window.open_project(demo_copy)

    person.wait(lambda: not window.workbench.session.project.is_read_only)
