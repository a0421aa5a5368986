from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from leaktrack.bootstrap import open_project
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.pages.welcome_page import WelcomePage
from leaktrack.gui.recent_projects import RecentProject
from leaktrack.gui.workbench import inspection_pair
from leaktrack.model.engine import Engine, Zone
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.logbook import EntryKind
from leaktrack.model.record import replaced
from leaktrack.settings import Settings
from leaktrack.workflows.project import Project
from tests.gui.conftest import is_filled


def test_the_first_start_shows_three_ways_in(qtbot):
    page = WelcomePage((RecentProject(Path("gone"), "gone", is_there=False),))
    qtbot.addWidget(page)

    for button, wish in (
        (page.demo_button, page.demo_wanted),
        (page.new_button, page.new_wanted),
        (page.open_button, page.open_wanted),
    ):
        with qtbot.waitSignal(wish):
            QTest.mouseClick(button, Qt.MouseButton.LeftButton)


@pytest.mark.usefixtures("demo_folder")  # what is found in its photos is found by then
def test_the_demo_is_built_as_a_copy_of_its_own_and_shown(
    window: MainWindow, qtbot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(
        "leaktrack.gui.project_opening.QStandardPaths.writableLocation", lambda _: str(tmp_path)
    )
    window.show()

    window.menus.actions["demo"].trigger()

    qtbot.waitUntil(lambda: is_filled(window), timeout=60_000)
    assert window.workbench.session.project.folder == tmp_path / "leaktrack-demo"
    assert window.windowTitle() == "leaktrack-demo – leaktrack"


def test_a_new_project_begins_with_its_engine(window: MainWindow, qtbot, tmp_path: Path):
    window.create_project(tmp_path / "V6", "V6 from the barn")

    qtbot.waitUntil(lambda: window.workbench is not None, timeout=30_000)
    engines = window.workbench.session.project.all(Engine)
    assert [engine.name for engine in engines] == ["V6 from the barn"]
    assert window.workbench.work.current_key == "engine"


def test_a_folder_without_a_project_is_a_message_not_a_box(
    window: MainWindow, qtbot, tmp_path: Path, caplog
):
    window.show()

    window.open_project(tmp_path)

    qtbot.waitUntil(window.messages.isVisible, timeout=10_000)
    assert window.workbench is None
    assert QApplication.activeModalWidget() is None
    caplog.clear()


def test_a_failure_can_be_copied_with_its_details(window: MainWindow, caplog):
    window.show_failure(BadInput("A name is needed. Nothing was changed. Type one."))

    window.messages._on_copy()

    copied = QApplication.clipboard().text()
    assert copied.startswith("A name is needed.")
    assert "BadInput" in copied
    caplog.clear()


def test_a_project_that_another_program_holds_says_who(window: MainWindow, demo_copy: Path, qtbot):
    with open_project(demo_copy):
        window.show_project(open_project(demo_copy))
        qtbot.waitUntil(lambda: is_filled(window), timeout=10_000)

    texts = [label.text() for label in window.workbench.findChildren(QLabel)]
    assert any("Open for looking only" in text for text in texts)
    assert window.workbench.session.project.holder != ""


def test_an_edit_can_be_undone_from_the_menu(open_window: MainWindow):
    session = open_window.workbench.session
    zone = session.project.all(Zone)[0]
    undo = next(each for each in open_window.menus.all_actions() if each.text().startswith("&Undo"))

    session.do("Rename zone", replaced(zone, replace(zone, name="Lid")))
    assert undo.text() == "&Undo Rename zone"

    undo.trigger()
    assert session.project.get(Zone, zone.id) == zone


def test_closing_the_window_waits_for_the_work_under_way(open_window: MainWindow):
    finished = Event()
    started = Event()
    session = open_window.workbench.session

    def work() -> None:
        started.set()
        Event().wait(0.3)
        finished.set()

    session.background.run(work, then=lambda _: None, owner=open_window)
    started.wait(5)

    open_window.close()

    assert finished.is_set()


def test_a_closed_project_can_be_opened_for_writing_again(open_window: MainWindow, demo_copy: Path):
    open_window.show_welcome()

    with open_project(demo_copy) as again:
        assert not again.is_read_only


def test_f6_walks_through_all_panels_and_comes_back(open_window: MainWindow):
    bench = open_window.workbench
    open_window.activateWindow()
    bench.logbook.list.setFocus()
    seen = []

    for _ in range(5):
        open_window.menus.actions["next_panel"].trigger()
        seen.append(QApplication.focusWidget())

    assert len(set(seen)) == 5
    assert seen[-1] is bench.logbook.list


def test_shift_f6_walks_the_other_way(open_window: MainWindow):
    bench = open_window.workbench
    bench.logbook.list.setFocus()

    open_window.menus.actions["previous_panel"].trigger()

    assert QApplication.focusWidget() is bench.strip.chart


def test_two_inspections_are_compared_by_one_key(open_window: MainWindow):
    open_window.menus.actions["compare_before"].trigger()

    session = open_window.workbench.session
    newest, before = sorted(
        session.project.all(Inspection), key=lambda each: each.looked_at, reverse=True
    )[:2]
    assert session.entry == (EntryKind.INSPECTION, newest.id)
    assert session.earlier_entry == (EntryKind.INSPECTION, before.id)
    assert open_window.workbench.work.current_key == "compare"


def test_the_first_inspection_has_none_before_it(open_window: MainWindow):
    inspections = open_window.workbench.session.project.all(Inspection)
    first = min(inspections, key=lambda each: each.looked_at)

    assert inspection_pair(inspections, (EntryKind.INSPECTION, first.id)) is None


def test_the_keys_for_zones_go_around_the_sheet(open_window: MainWindow):
    bench = open_window.workbench
    bench.session.pick(zone_id=bench.sheet.cards[-1].zone_id)

    open_window.menus.actions["next_zone"].trigger()

    assert bench.session.zone_id == bench.sheet.cards[0].zone_id


def test_panels_can_be_hidden_and_the_layout_reset(open_window: MainWindow):
    action = open_window.menus.actions["show_strip"]

    action.trigger()
    assert not open_window.workbench.strip.isVisible()

    open_window.menus.actions["reset_layout"].trigger()
    assert open_window.workbench.strip.isVisible()
    assert action.isChecked()


def test_the_size_is_remembered(qtbot, tmp_path: Path, make_window: Callable):
    kept: list[Settings] = []
    window = make_window(Settings(theme="light"))
    window._keep_settings = kept.append
    window.resize(1010, 777)

    window.close()

    assert kept[-1].window_size == (1010, 777)


def test_an_opened_project_is_listed_as_recent(open_window: MainWindow, demo_copy: Path):
    assert open_window.settings.recent_projects == (str(demo_copy.absolute()),)


def test_gloves_mode_keeps_the_page_and_enlarges_targets(open_window: MainWindow, qtbot):
    open_window.workbench.work.show_page("photos")

    open_window.menus.actions["gloves"].trigger()
    qtbot.waitUntil(lambda: is_filled(open_window), timeout=10_000)

    assert open_window.workbench.work.current_key == "photos"
    assert open_window.workbench.work.bar.tabRect(0).height() >= 44


def test_text_grows_up_to_twice_its_size(window: MainWindow):
    window.show()
    for _ in range(20):
        window.menus.actions["larger_text"].trigger()

    assert window.settings.text_percent == 200


def test_photos_dropped_on_the_window_go_to_the_page_photos(
    open_window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    page = open_window.workbench.work.page("photos")
    added: list[object] = []
    monkeypatch.setattr(page, "add_sources", added.extend)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(tmp_path / "a.jpg"))])
    flags = (Qt.DropAction.CopyAction, mime, Qt.MouseButton.LeftButton)
    enter = QDragEnterEvent(QPoint(5, 5), *flags, Qt.KeyboardModifier.NoModifier)
    drop = QDropEvent(QPoint(5, 5), *flags, Qt.KeyboardModifier.NoModifier)

    open_window.dragEnterEvent(enter)
    open_window.dropEvent(drop)

    assert enter.isAccepted()
    assert added == [tmp_path / "a.jpg"]
    assert open_window.workbench.work.current_key == "photos"


def test_the_page_of_a_run_has_a_tab_only_while_it_is_shown(open_window: MainWindow):
    work = open_window.workbench.work
    run = next(place for place in range(work.bar.count()) if work.bar.tabText(place) == "Run")
    assert not work.bar.isTabVisible(run)

    work.show_page("run")
    assert work.bar.isTabVisible(run)

    work.show_page("photos")
    assert not work.bar.isTabVisible(run)


def test_pages_are_made_when_they_are_first_shown(open_window: MainWindow):
    work = open_window.workbench.work
    before = set(work._pages)

    work.show_page("report")

    assert set(work._pages) - before == {"report"}


def test_a_project_that_was_not_closed_says_that_nothing_is_lost(
    window: MainWindow, demo_copy: Path, qtbot, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(Project, "was_closed_cleanly", False)

    window.show_project(open_project(demo_copy))

    assert "not closed cleanly" in window.messages.text
