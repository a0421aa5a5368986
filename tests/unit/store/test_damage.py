"""What happens to a project that a disk, a program or a person has damaged."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from leaktrack.model.engine import Engine
from leaktrack.model.errors import DamagedProject, ProjectError
from leaktrack.model.photo import Photo
from leaktrack.model.record import added
from leaktrack.store.project_folder import DATABASE, OpenFolder, create_folder, open_folder
from tests.builders import a_photo, an_engine
from tests.unit.store.disk import almost_full_disk

PAGE_BYTES = 4096
TOO_MUCH = added(*(an_engine(description="x" * 1000) for _ in range(500)))


@pytest.fixture(scope="module")
def large_folder(tmp_path_factory) -> Path:
    """A project of some hundred pages, to be copied."""
    opened = create_folder(tmp_path_factory.mktemp("large") / "bench")
    with opened.transaction() as records:
        photos = [a_photo(sha256=f"{number:064x}") for number in range(2000)]
        records.apply(added(an_engine(), *photos))
    opened.close()
    return opened.folder


@pytest.fixture
def opened(tmp_path: Path, large_folder: Path):
    opened = open_folder(Path(shutil.copytree(large_folder, tmp_path / "bench")))
    yield opened
    opened.close()


@pytest.fixture
def database(opened: OpenFolder) -> Path:
    opened.close()
    return opened.folder / DATABASE


def _refusal(folder: Path) -> str:
    with pytest.raises(DamagedProject) as refusal:
        open_folder(folder)
    return str(refusal.value)


@pytest.mark.parametrize("keep", [0, 10, 100, PAGE_BYTES, 50 * PAGE_BYTES, 50 * PAGE_BYTES + 17])
def test_a_truncated_database_is_refused_and_nothing_is_changed(database, keep):
    content = database.read_bytes()[:keep]
    database.write_bytes(content)

    said = _refusal(database.parent)

    assert said.startswith("leaktrack.db cannot be read: ")
    assert said.endswith("the photos are untouched. Put a backup in its place.")
    assert database.read_bytes() == content


def test_a_database_that_is_a_text_is_refused(database):
    database.write_text("Shopping list\n" * 1000)

    assert "it is no database file" in _refusal(database.parent)


def test_a_database_of_another_program_is_refused(database):
    database.unlink()
    with closing(sqlite3.connect(database)) as connection:
        connection.execute("CREATE TABLE song (title TEXT)")

    assert "no such table: alembic_version" in _refusal(database.parent)


@pytest.mark.parametrize("page", [1, 5, 20, 60])
def test_a_page_of_noise_is_noticed_at_opening(database, page):
    with database.open("r+b") as file:
        file.seek(page * PAGE_BYTES)
        file.write(b"\xa5" * PAGE_BYTES)

    assert "cannot be read" in _refusal(database.parent)


def test_the_newest_backup_is_named_where_there_is_one(database):
    for day in ("20260101", "20260301", "20260201"):
        shutil.copy(database, database.with_name(f"leaktrack-before-{day}-000000-version-0001.db"))
    database.write_text("x" * 1000)

    assert "leaktrack-before-20260301-000000-version-0001.db" in _refusal(database.parent)


def test_a_refused_project_is_not_left_locked(database):
    good = database.read_bytes()
    database.write_bytes(good[:5000])
    _refusal(database.parent)
    database.write_bytes(good)

    again = open_folder(database.parent)

    assert not again.is_read_only
    again.close()


def test_a_stale_log_of_noise_does_no_harm(database):
    database.with_name(f"{DATABASE}-wal").write_bytes(b"\x5a" * 40_000)

    again = open_folder(database.parent)

    with again.reading() as records:
        assert len(records.all(Engine)) == 1
    again.close()


def test_a_database_damaged_while_it_is_open_is_told_in_one_sentence(opened):
    opened.close()  # empties the log into the file
    again = open_folder(opened.folder)
    with (opened.folder / DATABASE).open("r+b") as file:
        file.write(b"\xa5" * 60 * PAGE_BYTES)

    with pytest.raises(DamagedProject, match="cannot be read"), again.reading() as records:
        records.all(Engine)

    assert again.problems() != ()
    again.close()


def test_a_full_disk_refuses_the_edit_and_keeps_everything_before(opened):
    with opened.reading() as records:
        before = len(records.all(Engine))
    log_bytes = (opened.folder / f"{DATABASE}-wal").stat().st_size

    with (
        almost_full_disk(log_bytes + 10_000),
        pytest.raises(ProjectError, match="The change could not be saved") as refusal,
        opened.transaction() as records,
    ):
        records.apply(TOO_MUCH)

    assert "Everything saved before is kept" in str(refusal.value)
    with opened.reading() as records:
        assert len(records.all(Engine)) == before
    assert opened.problems() == ()


def test_once_there_is_room_again_work_goes_on(opened):
    with almost_full_disk(10_000), pytest.raises(ProjectError), opened.transaction() as records:
        records.apply(TOO_MUCH)

    with opened.transaction() as records:
        records.apply(added(an_engine(name="after")))

    with opened.reading() as records:
        assert len(records.all(Engine, name="after")) == 1


def test_a_photo_that_does_not_fit_leaves_nothing_behind(opened):
    with almost_full_disk(100_000), pytest.raises(ProjectError, match="could not be kept"):
        opened.photo_files.put(b"x" * 1_000_000, "jpg")

    assert [path for path in (opened.folder / "photos").rglob("*") if path.is_file()] == []


def test_a_project_that_does_not_fit_is_not_made(tmp_path):
    with almost_full_disk(10_000), pytest.raises(ProjectError, match="cannot be made in bench"):
        create_folder(tmp_path / "bench")


def test_a_project_on_a_full_disk_is_not_called_damaged_and_opens_once_there_is_room(
    database, caplog
):
    with (
        almost_full_disk(room_bytes=0),
        pytest.raises(ProjectError, match="The disk may be full: make room"),
    ):
        open_folder(database.parent)

    with closing(open_folder(database.parent)) as opened, opened.reading() as records:
        assert len(records.all(Engine)) == 1
    caplog.clear()  # that the lock had no room for a name


def test_a_file_in_the_place_of_the_photos_folder_is_told_in_one_sentence(database):
    (database.parent / "photos").rmdir()
    (database.parent / "photos").write_text("not a folder")

    with pytest.raises(ProjectError, match=r"cannot be made: File exists \(photos\)"):
        open_folder(database.parent)


def test_a_value_that_cannot_be_is_told_in_one_sentence_and_found_by_looking(database):
    with closing(sqlite3.connect(database)) as connection, connection:
        connection.execute("UPDATE photo SET taken = 'yesterday'")

    with closing(open_folder(database.parent)) as opened:
        with pytest.raises(DamagedProject) as refusal, opened.reading() as records:
            records.all(Photo)
        problems = opened.problems()

    assert str(refusal.value).startswith("A photo in the database cannot be read: Invalid iso")
    assert problems == (str(refusal.value),)
