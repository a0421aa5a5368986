"""The whole window, page by page, for people who cannot see, hit or read what others can."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from leaktrack.bootstrap import open_project
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.page_kinds import PAGES
from leaktrack.settings import Settings
from tests.gui.conftest import is_filled
from tests.gui.looking import cut, letters, tab_stops, too_small, unnamed


def _wait_for_none(qtbot, complaints: Callable[[], list[str]]) -> None:
    """Wait until a page has been read and laid out, and nothing is to be complained of."""

    def check() -> None:
        assert complaints() == []

    qtbot.waitUntil(check, timeout=10_000)


pytestmark = pytest.mark.slow
EVERY_PAGE = pytest.mark.parametrize("key", [page.key for page in PAGES])


@pytest.fixture
def show_page(
    make_window: Callable[[Settings], MainWindow], demo_copy: Path, qtbot
) -> Callable[..., MainWindow]:
    """Returns a window that shows a page of the demo project, as the settings ask."""

    def show(key: str, **chosen: object) -> MainWindow:
        window = make_window(Settings(**{"theme": "light", **chosen}))
        window.resize(1280, 800)
        window.show()
        window.show_project(open_project(demo_copy))
        qtbot.waitUntil(lambda: is_filled(window), timeout=20_000)
        window.workbench.work.show_page(key)
        qtbot.wait(300)  # pages read what they show in the background
        return window

    return show


@EVERY_PAGE
def test_every_control_can_be_named_hit_and_read(show_page, key: str, qtbot):
    window = show_page(key)

    _wait_for_none(qtbot, lambda: unnamed(window))
    _wait_for_none(qtbot, lambda: too_small(window, 24))
    _wait_for_none(qtbot, lambda: cut(window))
    assert set(letters(window)) & set("fevrmh") == set()  # those of the menu bar


@EVERY_PAGE
def test_everything_to_be_hit_is_large_enough_for_gloves(show_page, key: str, qtbot):
    window = show_page(key, gloves_mode=True)

    _wait_for_none(qtbot, lambda: too_small(window, 44))


@EVERY_PAGE
def test_text_half_as_large_again_is_not_cut_and_does_not_enlarge_the_window(
    show_page, key: str, qtbot
):
    window = show_page(key, text_percent=150)

    _wait_for_none(qtbot, lambda: cut(window))
    assert (window.width(), window.height()) == (1280, 800)


@EVERY_PAGE
def test_the_tab_key_leads_around_and_back(show_page, key: str, qtbot):
    window = show_page(key)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.workbench.logbook.list.setFocus()
    start = QApplication.focusWidget()

    stops = tab_stops(window)

    assert stops[-1] is start
    assert len(set(stops)) == len(stops)


def test_the_welcome_page_is_for_everybody_too(make_window):
    window = make_window(Settings(theme="light", text_percent=150))
    window.resize(1280, 800)
    window.show()

    assert unnamed(window) == []
    assert too_small(window, 24) == []
    assert cut(window) == []
