import errno
import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from leaktrack.store.locking import LOCK_FILE, Holder, WriterLock

NOON = datetime(2026, 3, 7, 12, tzinfo=UTC)

HOLD_AND_WAIT = """
import sys
from pathlib import Path
from leaktrack.store.locking import WriterLock
lock = WriterLock(Path(sys.argv[1]))
print(lock.take(), flush=True)
sys.stdin.read()
"""


@pytest.fixture
def other_program(tmp_path: Path):
    """A program that holds the lock until it is told to end."""
    command = [sys.executable, "-c", HOLD_AND_WAIT, str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as program:
        assert program.stdout.readline().strip() == b"True"
        yield program
        program.kill()


def test_the_first_program_may_write(tmp_path):
    lock = WriterLock(tmp_path)

    assert lock.take()
    assert (lock.is_held, lock.holder, lock.was_left_behind) == (True, "", False)
    lock.release()


def test_a_second_program_may_not_write_and_is_told_who_does(tmp_path, other_program):
    lock = WriterLock(tmp_path)

    assert not lock.take()
    assert " on " in lock.holder
    assert "since" in lock.holder


def test_a_second_opening_in_the_same_program_may_not_write(tmp_path):
    first, second = WriterLock(tmp_path), WriterLock(tmp_path)
    first.take()

    assert not second.take()
    first.release()


def test_the_lock_dies_with_its_program_and_the_next_one_notices(tmp_path, other_program):
    other_program.kill()
    other_program.wait()
    lock = WriterLock(tmp_path)

    assert lock.take()
    assert lock.was_left_behind
    lock.release()


def test_a_lock_that_was_let_go_is_not_left_behind(tmp_path):
    first, second = WriterLock(tmp_path), WriterLock(tmp_path)
    first.take()
    first.release()

    assert second.take()
    assert not second.was_left_behind
    second.release()


def test_letting_go_twice_does_no_harm(tmp_path):
    lock = WriterLock(tmp_path)
    lock.take()
    lock.release()

    lock.release()

    assert not lock.is_held


def test_a_holder_who_has_not_written_its_name_yet_is_another_program(tmp_path):
    first, second = WriterLock(tmp_path), WriterLock(tmp_path)
    first.take()
    (tmp_path / LOCK_FILE).write_bytes(b'{"user": "an')

    second.take()

    assert second.holder == "another program"
    first.release()


def test_a_folder_that_is_not_there_cannot_be_written_to(tmp_path):
    lock = WriterLock(tmp_path / "gone")

    assert not lock.take()
    assert lock.holder == "the folder cannot be written to"


@pytest.mark.skipif(os.name != "posix", reason="elsewhere files are locked in another way")
def test_a_disk_that_cannot_lock_files_is_not_written_to(tmp_path, monkeypatch):
    def refuse(*_arguments: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("fcntl.flock", refuse)
    lock = WriterLock(tmp_path)

    assert not lock.take()
    assert lock.holder == "this disk cannot lock files"


def test_a_holder_of_today_is_named_with_the_time_alone():
    holder = Holder("anna", "bench-2", NOON)
    clock = NOON.astimezone()

    assert holder.in_words(NOON) == f"anna on bench-2, since {clock:%H:%M}"


def test_a_holder_of_another_day_is_named_with_the_day():
    holder = Holder("anna", "bench-2", NOON)

    assert f"since {NOON.astimezone():%d %b}" in holder.in_words(NOON + timedelta(days=2))
