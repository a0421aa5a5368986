import pytest

from leaktrack.gui.about import libraries
from leaktrack.gui.pages.welcome_picture import example_strip
from leaktrack.gui.panels.message_bar import MessageBar
from leaktrack.gui.project_check import check_in_background
from leaktrack.gui.session import Session
from leaktrack.model.leak import wetness
from leaktrack.model.photo import Photo


@pytest.fixture
def messages(qtbot) -> MessageBar:
    bar = MessageBar()
    qtbot.addWidget(bar)
    return bar


def test_a_whole_project_is_said_to_be_whole(session: Session, messages: MessageBar, qtbot):
    check_in_background(session, messages)

    qtbot.waitUntil(lambda: messages.text != "", timeout=20_000)
    assert "files are whole" in messages.text


def test_a_missing_photo_is_told_with_what_to_do(session: Session, messages: MessageBar, qtbot):
    session.project.photo_path(session.project.all(Photo)[0]).unlink()

    check_in_background(session, messages)

    qtbot.waitUntil(lambda: messages.text != "", timeout=20_000)
    assert messages.text.startswith("1 of the project's files")
    assert "backup" in messages.text


def test_about_lists_what_it_is_built_on_with_licences():
    told = libraries()

    assert any(line.startswith("PySide6-Essentials ") for line in told)
    assert all(": " in line for line in told)


def test_the_picture_of_the_welcome_page_shows_a_leak_that_grows():
    grades = [row.marks[0].grade for row in example_strip().rows if row.inspection]

    steps = [wetness(grade) for grade in grades]
    assert steps == sorted(steps)
    assert steps[-1] == 4
