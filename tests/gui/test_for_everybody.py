"""The whole window, page by page, for people who cannot see, hit or read what others can."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from leaktrack.bootstrap import open_project
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.page_kinds import PAGES
from leaktrack.settings import Settings
from tests.gui.conftest import is_filled
from tests.gui.looking import cut, letters, tab_stops, too_small, unnamed

pytestmark = pytest.mark.slow


@pytest.fixture
def open_demo(
    make_window: Callable[[Settings], MainWindow], demo_copy: Path, qtbot
) -> Callable[..., MainWindow]:
    """Returns a window with the demo project, as the settings ask."""

    def open_it(**chosen: object) -> MainWindow:
        window = make_window(Settings(**{"theme": "light", **chosen}))
        window.resize(1280, 800)
        window.show()
        window.show_project(open_project(demo_copy))
        qtbot.waitUntil(lambda: is_filled(window), timeout=20_000)
        return window

    return open_it


def _pages(window: MainWindow, qtbot) -> Iterator[str]:
    """Show one page after the other; opening a window for each would take a second and more."""
    background = window.workbench.session.background
    for page in PAGES:
        window.workbench.work.show_page(page.key)
        qtbot.wait(50)  # until it has asked for what it shows
        qtbot.waitUntil(lambda: background.is_idle, timeout=60_000)
        yield page.key


def _wait_for_none(qtbot, key: str, complaints: Callable[[], list[str]]) -> None:
    """Wait until a page has been read and laid out, and nothing is to be complained of."""

    def check() -> None:
        assert (key, complaints()) == (key, [])

    qtbot.waitUntil(check, timeout=10_000)


def test_every_control_can_be_named_hit_and_read(open_demo, qtbot):
    window = open_demo()

    for key in _pages(window, qtbot):
        _wait_for_none(qtbot, key, lambda: unnamed(window))
        _wait_for_none(qtbot, key, lambda: too_small(window, 24))
        _wait_for_none(qtbot, key, lambda: cut(window))
        assert (key, set(letters(window)) & set("fevrmh")) == (key, set())  # of the menu bar


def test_everything_to_be_hit_is_large_enough_for_gloves(open_demo, qtbot):
    window = open_demo(gloves_mode=True)

    for key in _pages(window, qtbot):
        _wait_for_none(qtbot, key, lambda: too_small(window, 44))


def test_text_half_as_large_again_is_not_cut_and_does_not_enlarge_the_window(open_demo, qtbot):
    window = open_demo(text_percent=150)

    for key in _pages(window, qtbot):
        _wait_for_none(qtbot, key, lambda: cut(window))
        assert (key, window.width(), window.height()) == (key, 1280, 800)


def test_the_tab_key_leads_around_and_back(open_demo, qtbot):
    window = open_demo()

    for key in _pages(window, qtbot):
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        window.workbench.logbook.list.setFocus()
        start = QApplication.focusWidget()

        stops = tab_stops(window)

        assert (key, stops[-1]) == (key, start)
        assert (key, len(set(stops))) == (key, len(stops))


def test_the_welcome_page_is_for_everybody_too(make_window):
    window = make_window(Settings(theme="light", text_percent=150))
    window.resize(1280, 800)
    window.show()

    assert unnamed(window) == []
    assert too_small(window, 24) == []
    assert cut(window) == []
