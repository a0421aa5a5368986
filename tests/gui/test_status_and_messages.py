import sys
from threading import Event, Thread

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from leaktrack.gui.background import Background, Job
from leaktrack.gui.error_window import BugHooks, ErrorWindow, bug_report, diagnostics
from leaktrack.gui.help_window import HelpWindow, manual, read_chapters
from leaktrack.gui.new_project_dialog import NewProjectDialog, folder_name
from leaktrack.gui.page_kinds import PAGES
from leaktrack.gui.panels.message_bar import MessageBar
from leaktrack.gui.panels.status_area import StatusArea, remaining_words
from leaktrack.gui.settings_dialog import SettingsDialog
from leaktrack.places import resource
from leaktrack.settings import Settings


@pytest.fixture
def background(qapp):
    background = Background()
    yield background
    background.close()


def test_work_under_way_says_how_far_it_is(background: Background, qtbot):
    area = StatusArea()
    qtbot.addWidget(area)
    area.watch(background)
    go_on = Event()

    def work(job: Job) -> None:
        job.progress(37, 412, "front.jpg")
        go_on.wait(10)

    background.run_job("Adding photos", work, then=lambda _: None, owner=area)

    qtbot.waitUntil(lambda: [row.words for row in area.job_rows] == ["37 of 412"], timeout=5000)
    go_on.set()
    qtbot.waitUntil(lambda: area.job_rows == (), timeout=5000)


def test_cancel_stops_the_work_and_says_what_is_kept(background: Background, qtbot):
    area = StatusArea()
    qtbot.addWidget(area)
    area.watch(background)
    seen: list[str] = []
    area.say = seen.append

    def work(job: Job) -> None:
        for done in range(10_000):
            job.progress(done, 10_000, "")
            Event().wait(0.002)

    background.run_job("Adding photos", work, then=lambda _: None, owner=area)
    qtbot.waitUntil(lambda: len(area.job_rows) == 1, timeout=5000)
    QTest.mouseClick(area.job_rows[0].findChild(QPushButton), Qt.MouseButton.LeftButton)

    # UX rule of the house: a stop is felt within 200 ms; the rest is allowance for a busy machine.
    qtbot.waitUntil(lambda: area.job_rows == (), timeout=2000)
    assert seen == ["Adding photos was stopped; what was finished is kept."]


@pytest.mark.parametrize(
    ("done", "total", "passed_s", "words"),
    [
        (10, 100, 5, ""),
        (50, 100, 20, "about 20 s left"),
        (10, 100, 20, "about 3 min left"),
        (0, 100, 20, ""),
        (0, 0, 60, ""),
    ],
)
def test_an_estimate_comes_only_after_a_while(done, total, passed_s, words):
    assert remaining_words(done, total, passed_s) == words


def test_a_message_offers_one_way_on_and_forgets_the_last_one(qtbot):
    bar = MessageBar()
    qtbot.addWidget(bar)
    done: list[str] = []
    bar.show_news("One", "Do one", lambda: done.append("one"))
    bar.show_news("Two", "Do two", lambda: done.append("two"))
    qtbot.wait(10)

    for button in bar.findChildren(QPushButton):
        button.click()

    assert "two" in done
    assert "one" not in done


def test_a_bug_report_names_the_place_but_no_folder_of_the_machine():
    try:
        raise RuntimeError("never mind")
    except RuntimeError as error:
        report = bug_report(error)

    assert "RuntimeError: never mind" in report
    assert "test_status_and_messages.py:" in report
    assert "/" not in report.split("never mind")[1]


def test_diagnostics_hold_versions_only(qapp):
    assert "leaktrack" in diagnostics()
    assert str(resource().parent) not in diagnostics()


def test_a_bug_on_any_thread_reaches_the_window(qtbot, caplog):
    hooks = BugHooks()
    restore = hooks.install()
    try:
        with qtbot.waitSignal(hooks.happened) as told:
            thread = Thread(target=lambda: 1 / 0)
            thread.start()
            thread.join()
        assert "ZeroDivisionError" in told.args[0]
        with qtbot.waitSignal(hooks.happened):
            sys.excepthook(ValueError, ValueError("odd"), None)
    finally:
        restore()
    caplog.clear()


def test_a_bug_is_shown_without_stopping_the_program_and_can_be_copied(qtbot):
    window = ErrorWindow()
    qtbot.addWidget(window)

    window.add("first report")
    window.add("second report")
    window._on_copy()

    assert window.isVisible()
    assert not window.isModal()
    assert QApplication.clipboard().text() == "first report\n\nsecond report"


def test_settings_come_back_as_chosen(qtbot):
    chosen = Settings(
        units="imperial", theme="dark", text_percent=150, gloves_mode=True, paper="Letter",
        cache_mb=3500, heavy_seep_mm=76.2, at_once_min=2.5,
    )  # fmt: skip
    dialog = SettingsDialog(chosen)
    qtbot.addWidget(dialog)

    assert dialog.chosen() == chosen


def test_the_settings_tell_the_size_of_the_cache_and_clear_it(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("LEAKTRACK_CACHE", str(tmp_path))
    (tmp_path / "thumbs").mkdir()
    (tmp_path / "thumbs" / "one.bin").write_bytes(bytes(3_000_000))
    dialog = SettingsDialog(Settings())
    qtbot.addWidget(dialog)
    was = dialog.says_of_cache

    dialog.clear_button.click()

    assert was.startswith("The cache takes 3 MB now.")
    assert dialog.says_of_cache.startswith("3 MB were cleared. The cache takes 0 MB now.")
    assert not (tmp_path / "thumbs" / "one.bin").exists()


@pytest.mark.parametrize(
    ("engine", "folder"),
    [("V6: rebuilt / 2026", "V6 rebuilt 2026"), ("...", ""), ("Ölmotor", "Ölmotor")],
)
def test_a_folder_is_named_after_the_engine(engine, folder):
    assert folder_name(engine) == folder


def test_a_project_is_never_made_where_something_is(qtbot, tmp_path):
    (tmp_path / "V6").mkdir()
    dialog = NewProjectDialog(tmp_path)
    qtbot.addWidget(dialog)
    make = next(each for each in dialog.findChildren(QPushButton) if "Make" in each.text())
    assert not make.isEnabled()

    dialog.engine_name.setText("V6")
    assert not make.isEnabled()

    dialog.engine_name.setText("V6 again")
    assert make.isEnabled()
    assert dialog.wish().folder == tmp_path / "V6 again"


def test_every_page_has_a_chapter_in_the_manual():
    keys = {chapter.key for chapter in read_chapters(resource("help"))}

    assert {page.chapter for page in PAGES} <= keys


def test_the_manual_lists_the_keys_of_all_commands(window, qtbot):
    *_chapters, shortcuts = manual(window.menus.all_actions(), "Keyboard shortcuts")

    assert "| Next panel | F6 |" in shortcuts.text
    assert "| Undo | Ctrl+Z" in shortcuts.text


def test_the_manual_opens_at_a_chapter_and_finds_words(window, qtbot):
    chapters = manual(window.menus.all_actions(), "Keyboard shortcuts")
    help_window = HelpWindow(chapters)
    qtbot.addWidget(help_window)

    help_window.show_chapter("safety")
    assert help_window.list.currentItem().text() == "Work safely"

    help_window.search.setText("hot oil and exhaust")
    assert help_window.list.count() < len(chapters)
