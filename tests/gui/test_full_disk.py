"""A disk that is full for a while: nothing is lost, not even the way back."""

import sqlite3

import pytest
from sqlalchemy.exc import OperationalError

from leaktrack.model.engine import Engine
from leaktrack.model.errors import ProjectError
from leaktrack.store.records import Records
from leaktrack.workflows.set_up_engine import new_engine


@pytest.fixture
def full_disk(monkeypatch):
    """Let every change fail as SQLite does on a full disk, until it is taken back."""

    def refuse(*_arguments):
        failure = sqlite3.OperationalError("database or disk is full")
        failure.sqlite_errorcode = sqlite3.SQLITE_FULL
        raise OperationalError("INSERT", {}, failure)

    def fill():
        monkeypatch.setattr(Records, "apply", refuse)
        return monkeypatch.undo

    return fill


@pytest.fixture
def told(empty_session):
    told = []
    empty_session.failed.connect(told.append)
    return told


def names(session) -> list[str]:
    return [engine.name for engine in session.project.all(Engine)]


def test_what_cannot_be_taken_back_now_can_be_once_there_is_room(
    qtbot, empty_session, full_disk, told
):
    empty_session.do("Set up W7", new_engine("W7")[1])
    make_room = full_disk()
    stack = empty_session.undo_stack

    stack.undo()
    qtbot.waitUntil(stack.canUndo)
    assert isinstance(told[0], ProjectError)
    assert "Everything saved before is kept" in str(told[0])
    assert names(empty_session) == ["W7"]
    assert stack.undoText() == "Set up W7"

    make_room()
    stack.undo()
    assert names(empty_session) == []
    full_again = full_disk()
    stack.redo()
    qtbot.waitUntil(stack.canRedo)
    full_again()
    stack.redo()
    assert names(empty_session) == ["W7"]


def test_what_could_not_be_done_is_no_step(empty_session, full_disk, told):
    full_disk()

    empty_session.do("Set up W7", new_engine("W7")[1])

    assert len(told) == 1
    assert not empty_session.undo_stack.canUndo()
    assert names(empty_session) == []
