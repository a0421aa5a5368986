import shutil
import sqlite3
import tempfile
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from leaktrack.model.engine import Engine
from leaktrack.model.errors import (
    MissingRecord,
    ProjectError,
    ProjectExists,
    ProjectNotFound,
    ReadOnlyProject,
)
from leaktrack.model.identity import new_id
from leaktrack.model.record import added, replaced
from leaktrack.store.project_folder import DATABASE, OpenFolder, create_folder, open_folder
from tests.builders import a_face, an_engine
from tests.unit.store.disk import write_protected

ENGINE = an_engine()


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    opened = create_folder(tmp_path_factory.mktemp("made") / "Bänk #1? 100%")
    with opened.transaction() as records:
        records.apply(added(ENGINE))
    opened.close()
    return opened.folder


@pytest.fixture
def opened(tmp_path: Path, made: Path):
    opened = open_folder(Path(shutil.copytree(made, tmp_path / made.name)))
    yield opened
    opened.close()


def _engines(opened: OpenFolder) -> tuple[Engine, ...]:
    with opened.reading() as records:
        return records.all(Engine)


def test_a_new_project_has_its_folders_and_no_records(tmp_path):
    opened = create_folder(tmp_path / "a" / "bench")

    assert _engines(opened) == ()
    assert not opened.is_read_only
    opened.close()
    names = {path.name for path in (tmp_path / "a" / "bench").iterdir()}
    assert names == {"leaktrack.db", "leaktrack.lock", "photos", "clips", "report"}


def test_records_are_there_when_the_project_is_opened_again(opened):
    opened.close()

    again = open_folder(opened.folder)

    assert _engines(again) == (ENGINE,)
    again.close()


def test_a_project_can_be_copied_as_a_folder(opened, tmp_path):
    opened.close()
    shutil.copytree(opened.folder, tmp_path / "copy")

    copy = open_folder(tmp_path / "copy")

    assert _engines(copy) == (ENGINE,)
    copy.close()


def test_a_new_project_never_goes_where_something_is(tmp_path):
    (tmp_path / "taxes.txt").write_text("2025")

    with pytest.raises(ProjectExists, match="There is something in"):
        create_folder(tmp_path)

    assert [path.name for path in tmp_path.iterdir()] == ["taxes.txt"]


def test_a_new_project_never_takes_the_place_of_a_file(tmp_path):
    (tmp_path / "file").write_text("x")

    with pytest.raises(ProjectExists):
        create_folder(tmp_path / "file")


def test_a_project_that_was_killed_while_it_was_made_can_be_made_again(tmp_path):
    (tmp_path / "leaktrack.lock").write_text("{}")
    (tmp_path / "leaktrack.db.part").write_bytes(b"SQLite format 3\0 and half a page")
    (tmp_path / "leaktrack.db.part-wal").write_bytes(b"old log")

    opened = create_folder(tmp_path)

    assert _engines(opened) == ()
    opened.close()


def test_a_folder_without_a_project_is_told_so(tmp_path):
    with pytest.raises(ProjectNotFound, match="There is no leaktrack project in"):
        open_folder(tmp_path)


def test_a_change_that_fails_half_way_changes_nothing(opened):
    half = added(an_engine(name="half"), a_face(new_id()))

    with pytest.raises(MissingRecord), opened.transaction() as records:
        records.apply(half)

    assert _engines(opened) == (ENGINE,)


def test_a_reader_sees_one_state_however_long_it_looks(opened):
    with opened.reading() as early:
        before = early.all(Engine)
        with opened.transaction() as records:
            records.apply(added(an_engine(name="meanwhile")))
        after = early.all(Engine)

    assert before == after == (ENGINE,)
    assert len(_engines(opened)) == 2


def test_a_second_opening_may_look_but_not_change(opened):
    second = open_folder(opened.folder)

    with pytest.raises(ReadOnlyProject, match="open for looking only") as refusal:
        second.transaction().__enter__()

    assert second.is_read_only
    assert second.holder in str(refusal.value)
    assert _engines(second) == (ENGINE,)
    second.close()


def test_a_second_opening_sees_what_the_first_one_saves(opened):
    second = open_folder(opened.folder)
    renamed = replace(ENGINE, name="renamed")

    with opened.transaction() as records:
        records.apply(replaced(ENGINE, renamed))

    assert _engines(second) == (renamed,)
    second.close()


def test_not_even_sql_can_change_a_project_that_is_open_for_looking(opened):
    second = open_folder(opened.folder)

    with second.reading() as records, pytest.raises(sqlite3.OperationalError, match="readonly"):
        records._connection.connection.driver_connection.execute("DELETE FROM engine")

    second.close()


def test_closing_lets_the_next_one_write(opened):
    opened.close()

    second = open_folder(opened.folder)

    assert (second.is_read_only, second.holder) == (False, "")
    second.close()


def test_closing_twice_does_no_harm(opened):
    opened.close()
    second = open_folder(opened.folder)

    opened.close()

    third = open_folder(opened.folder)
    assert third.is_read_only
    third.close()
    second.close()


def test_half_written_photos_are_swept_at_the_next_opening(opened):
    opened.close()
    half = opened.folder / "photos" / "0123.part"
    half.write_bytes(b"x")

    open_folder(opened.folder).close()

    assert not half.exists()


def test_the_one_who_only_looks_leaves_the_files_of_the_writer_alone(opened):
    half = opened.folder / "photos" / "0123.part"
    half.write_bytes(b"being written by the other one")

    open_folder(opened.folder).close()

    assert half.exists()


def test_folders_that_are_missing_are_made_again(opened):
    opened.close()
    shutil.rmtree(opened.folder / "photos")

    again = open_folder(opened.folder)

    again.photo_files.put(b"abc", "jpg")
    assert len(list(again.photo_files.all_paths())) == 1
    again.close()


def test_a_sound_database_has_no_problems(opened):
    assert opened.problems() == ()


def test_records_that_point_at_nothing_are_a_problem(opened):
    with closing(sqlite3.connect(opened.folder / DATABASE)) as connection:
        connection.execute("PRAGMA foreign_keys=OFF")
        connection.execute(
            "INSERT INTO face (id, version, engine_id, side, name, position)"
            " VALUES (?, 1, ?, 'top', 'Top', 0)",
            (new_id().hex, new_id().hex),
        )
        connection.commit()

    assert opened.problems() == ("face row 1 points at a missing engine",)


def test_an_edit_outlives_a_power_cut(opened):
    """Source: sqlite.org/pragma.html, synchronous: only FULL is durable with a write-ahead log."""
    with opened.reading() as records:
        driver = records._connection.connection.driver_connection
        modes = [
            driver.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        ]

    assert modes == ["wal", 2, 1, 5000]


@pytest.fixture
def readable_by_all():
    """A project in a folder that other users may enter."""
    folder = Path(tempfile.mkdtemp(prefix="leaktrack-test-"))
    folder.chmod(0o755)
    opened = create_folder(folder / "bench")
    with opened.transaction() as records:
        records.apply(added(ENGINE))
    yield opened
    opened.close()
    shutil.rmtree(folder)


def test_a_write_protected_project_can_be_looked_at(readable_by_all):
    readable_by_all.close()

    with write_protected(readable_by_all.folder):
        opened = open_folder(readable_by_all.folder)
        engines = _engines(opened)
        opened.close()

    assert engines == (ENGINE,)
    assert (opened.is_read_only, opened.holder) == (True, "the folder cannot be written to")


def test_a_write_protected_project_shows_what_a_crash_left_in_its_log(readable_by_all):
    crashed = readable_by_all.folder.with_name("crashed")
    shutil.copytree(readable_by_all.folder, crashed, ignore=shutil.ignore_patterns("*-shm"))

    with write_protected(crashed):
        opened = open_folder(crashed)
        engines = _engines(opened)
        opened.close()

    assert engines == (ENGINE,)


def test_a_write_protected_project_that_somebody_else_writes_to_is_seen_live(readable_by_all):
    newcomer = an_engine(name="later")
    with write_protected(readable_by_all.folder):
        second = open_folder(readable_by_all.folder)
    with readable_by_all.transaction() as records:
        records.apply(added(newcomer))

    assert _engines(second) == (ENGINE, newcomer)
    assert " on " in second.holder
    second.close()


def test_a_write_protected_folder_takes_no_new_project(readable_by_all):
    parent = readable_by_all.folder.parent
    with write_protected(parent), pytest.raises(ProjectError, match="be made in new"):
        create_folder(parent / "new")
