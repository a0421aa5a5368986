"""A killed program loses at most the edit in hand, whenever it is killed."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from leaktrack.model.engine import Engine
from leaktrack.model.photo import Photo
from leaktrack.model.record import added
from leaktrack.store.photo_files import sha256_of
from leaktrack.store.project_folder import create_folder, open_folder
from tests.builders import an_engine
from tests.unit.store import killed_writer

ROOT = Path(__file__).parents[3]
LIVES = 6
LIVES_ON_DEMAND = 60
LONGEST_LIFE = 1.5
"""As many times as long as the first edit takes, which depends on the machine."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="lives are forked")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    opened = create_folder(tmp_path / "bench")
    with opened.transaction() as records:
        records.apply(added(an_engine(description="0")))
    opened.close()
    return opened.folder


@pytest.fixture
def writer():
    command = [sys.executable, "-m", killed_writer.__name__]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT
    ) as program:
        yield program
        program.stdin.close()


def _born(writer, folder: Path) -> int:
    """Let the writer begin, and return the process that it writes from."""
    writer.stdin.write(f"{folder}\n")
    writer.stdin.flush()
    return int(writer.stdout.readline())


def _first_edit_s(writer, folder: Path) -> tuple[float, set[str]]:
    """Return how long the first edit takes, and the keys of the photos reported until then."""
    began = time.monotonic()
    process = _born(writer, folder)
    first = writer.stdout.readline().strip()
    took = time.monotonic() - began
    return took, {first} | _reported_at_death(writer, process)


def _reported_before_death(writer, folder: Path, life_s: float) -> set[str]:
    """Let the writer live that long, kill it, and return the keys of the photos it reported."""
    process = _born(writer, folder)
    time.sleep(life_s)
    return _reported_at_death(writer, process)


def _reported_at_death(writer, process: int) -> set[str]:
    os.kill(process, signal.SIGKILL)
    return {line.strip() for line in iter(writer.stdout.readline, f"{killed_writer.ENDED}\n")}


def _kept_and_sound(folder: Path) -> set[str]:
    """Open the project as the next program would; return the keys of its photos."""
    opened = open_folder(folder)
    with opened.reading() as records:
        photos = records.all(Photo)
        (engine,) = records.all(Engine)
    assert not opened.is_read_only
    assert opened.problems() == ()
    assert engine.description == str(len(photos))
    files = [path for path in opened.photo_files.folder.rglob("*") if path.is_file()]
    assert [path.name for path in files] == [f"{sha256_of(path)}.jpg" for path in files]
    assert {opened.photo_files.path(photo.sha256, "jpg") for photo in photos} <= set(files)
    opened.close()
    return {str(photo.id) for photo in photos}


@pytest.mark.slow
@pytest.mark.parametrize(
    "lives", [LIVES, pytest.param(LIVES_ON_DEMAND, marks=pytest.mark.thorough)]
)
def test_kills_lose_at_most_the_edit_in_hand(folder, writer, lives):
    first_s, known = _first_edit_s(writer, folder)
    for _ in range(lives):
        reported = _reported_before_death(writer, folder, random.uniform(0, LONGEST_LIFE * first_s))
        kept = _kept_and_sound(folder)

        assert known | reported <= kept
        assert len(kept - known - reported) <= 1  # saved, but killed before it could say so
        known = kept

    print(f"{lives} kills, {len(known)} edits saved")  # noqa: T201
    assert len(known) > lives


def test_the_next_program_is_told_that_the_last_one_was_killed(folder, writer):
    _reported_before_death(writer, folder, life_s=1)

    opened = open_folder(folder)

    assert not opened.was_closed_cleanly
    opened.close()
    again = open_folder(folder)
    assert again.was_closed_cleanly
    again.close()
