"""Report: written in the background, found again, summed up for the clipboard."""

from pathlib import Path

import pytest
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import QFileDialog

from leaktrack.bootstrap import open_project
from leaktrack.gui.background import Background
from leaktrack.gui.pages.report_page import ReportPage
from leaktrack.gui.session import Session
from leaktrack.settings import Settings
from tests.gui.filling_in import choose, click
from tests.gui.inspected_engine import inspect_engine
from tests.gui.looking import unnamed

WRITTEN_MS = 60_000


@pytest.fixture
def session(empty_session, tmp_path):
    empty_session.engine_id = inspect_engine(empty_session.project, tmp_path).engine.id
    return empty_session


@pytest.fixture
def page(qtbot, session):
    return shown_page(qtbot, session)


def shown_page(qtbot, session):
    made = ReportPage(session)
    qtbot.addWidget(made)
    made.resize(1000, 800)
    made.show()
    return made


def opened_paths(monkeypatch) -> list[Path]:
    opened = []

    def note(url) -> bool:
        opened.append(Path(url.toLocalFile()))
        return True

    monkeypatch.setattr(QDesktopServices, "openUrl", note)
    return opened


def test_it_says_what_will_be_in_the_report(page):
    assert page.contents.text().splitlines()[0] == (
        "• 2 inspections of 2 zones, with 3 photos and the marks drawn in them"
    )


def test_the_report_is_written_into_the_project(qtbot, page, session):
    click(page.write_button)
    qtbot.waitUntil(lambda: page.write_button.isEnabled(), timeout=WRITTEN_MS)

    assert page.problem.text() == ""
    assert page.written.html == session.project.folder / "report" / "report.html"
    assert page.written.html.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert page.written.pdf.read_bytes().startswith(b"%PDF-")


def test_page_pdf_and_folder_are_opened(qtbot, page, session, monkeypatch):
    opened = opened_paths(monkeypatch)
    click(page.write_button)
    qtbot.waitUntil(lambda: page.write_button.isEnabled(), timeout=WRITTEN_MS)

    for button in (page.open_page_button, page.open_pdf_button, page.open_folder_button):
        click(button)

    folder = session.project.folder / "report"
    assert opened == [folder / "report.html", folder / "report.pdf", folder]


def test_cancel_leaves_no_report(qtbot, page, session):
    session.background.job_started.connect(lambda job: job.cancel())

    click(page.write_button)
    qtbot.waitUntil(lambda: page.write_button.isEnabled(), timeout=WRITTEN_MS)

    assert page.problem.text().startswith("Stopped. Nothing was written")
    assert not (session.project.folder / "report" / "report.html").exists()


def test_another_folder_is_taken(qtbot, page, tmp_path, monkeypatch):
    wanted = tmp_path / "for the owner"
    wanted.mkdir()
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(wanted))
    click(page.folder_button)

    click(page.write_button)
    qtbot.waitUntil(lambda: page.write_button.isEnabled(), timeout=WRITTEN_MS)

    assert page.written.pdf == wanted / "report.pdf"
    assert page.written.pdf.is_file()


def test_the_projects_own_folder_can_be_taken_again(page, session, tmp_path, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))
    click(page.folder_button)

    click(page.own_folder_button)

    assert page.folder == session.project.folder / "report"


def test_a_folder_that_cannot_be_written_to_is_said_on_the_page(qtbot, page, tmp_path, monkeypatch):
    blocked = tmp_path / "a file"
    blocked.write_text("not a folder")
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(blocked))
    click(page.folder_button)

    click(page.write_button)
    qtbot.waitUntil(lambda: page.problem.text() != "", timeout=WRITTEN_MS)

    assert "cannot be written" in page.problem.text()


def test_the_paper_starts_as_the_settings_say(qtbot, session):
    session.settings = Settings(paper="Letter")

    page = shown_page(qtbot, session)

    assert page.paper_field.box.currentText() == "Letter"


def test_the_paper_is_chosen_by_key(page):
    choose(page.paper_field, "Letter")

    assert page.paper_field.stored == "Letter"


def test_a_project_for_looking_only_asks_for_a_folder(qtbot, session, tmp_path, monkeypatch):
    asked = []
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: asked.append(1) or "")
    background = Background()
    with open_project(session.project.folder) as second:
        reading = Session(second, background, Settings(theme="light"))
        page = shown_page(qtbot, reading)

        click(page.write_button)

        assert second.is_read_only
        assert asked == [1]
        assert page.folder is None
        assert "looking only" in page.folder_label.text()
        background.close()


def test_a_short_summary_goes_to_the_clipboard(page):
    click(page.copy_button)

    text = QGuiApplication.clipboard().text()
    assert text.splitlines()[0] == "Bench engine"
    assert "Leak 1 (Bank 1 cover, Cover joint): 2 seep, then not seen" in text
    assert text in page.copied_label.text()


def test_a_report_written_earlier_is_found_again(qtbot, session):
    folder = session.project.folder / "report"
    folder.mkdir(exist_ok=True)
    (folder / "report.html").write_text("<!DOCTYPE html>")
    (folder / "report.pdf").write_bytes(b"%PDF-1.7")

    page = shown_page(qtbot, session)

    assert page.written.html == folder / "report.html"
    assert page.open_page_button.isVisible()


def test_without_an_engine_it_says_what_to_do(qtbot, empty_session):
    page = shown_page(qtbot, empty_session)

    assert page.stack.currentIndex() != 0


def test_every_control_has_a_name(page):
    assert unnamed(page) == []
