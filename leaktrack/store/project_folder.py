"""A project on disk: create, open, back up, and give out transactions."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from leaktrack.model.errors import (
    DamagedProject,
    ProjectError,
    ProjectExists,
    ProjectNotFound,
    ReadOnlyProject,
)
from leaktrack.store import migrating
from leaktrack.store.locking import WriterLock
from leaktrack.store.photo_files import PhotoFiles
from leaktrack.store.records import Records

DATABASE = "leaktrack.db"
_SQLITE_HEADER = b"SQLite format 3\0"
_SUBFOLDERS = ("photos", "clips", "report")
_BUSY_TIMEOUT_MS = 5000
_WRITING = {"begin_with": "BEGIN IMMEDIATE"}


class OpenFolder:
    """One project folder, open for writing or for looking only."""

    def __init__(self, folder: Path, lock: WriterLock) -> None:
        self.folder = folder
        self.photo_files = PhotoFiles(folder / "photos")
        self.clip_files = PhotoFiles(folder / "clips")
        self._lock = lock
        self._engine = _engine(folder / DATABASE, is_read_only=self.is_read_only)

    @property
    def is_read_only(self) -> bool:
        """Whether it is open for looking only."""
        return not self._lock.is_held

    @property
    def was_closed_cleanly(self) -> bool:
        """Whether the last program that wrote here closed the project."""
        return not self._lock.was_left_behind

    @property
    def holder(self) -> str:
        """Who has it open for writing, in words; empty if it is us."""
        if not self.is_read_only:
            return ""
        holder = self._lock.holder()
        return str(holder) if holder else "the folder cannot be written to"

    @contextmanager
    def reading(self) -> Iterator[Records]:
        """Give a consistent look at the records."""
        with self._engine.connect() as connection, connection.begin():
            yield Records(connection)

    @contextmanager
    def transaction(self) -> Iterator[Records]:
        """Give the records to change: all changes are kept, or none.

        Raises:
            ReadOnlyProject: It is open for looking only.
            ProjectError: The disk is full or cannot be written to.
        """
        if self.is_read_only:
            raise ReadOnlyProject(
                f"This project is open for looking only ({self.holder}). Nothing was changed. "
                "Close it there, then open it here again."
            )
        try:
            with (
                self._engine.connect().execution_options(**_WRITING) as connection,
                connection.begin(),
            ):
                yield Records(connection)
        except sa.exc.OperationalError as error:
            raise ProjectError(
                f"The change could not be saved: {error.orig}. Everything before it is kept. "
                "Make room on the disk or wait a moment, then try again."
            ) from error

    def problems(self) -> tuple[str, ...]:
        """Return what the database itself finds wrong, in its own words."""
        with self._engine.connect() as connection:
            found = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check")]
            orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        lines = [line for line in found if line != "ok"]
        lines += [f"{row[0]} row {row[1]} points at a missing {row[2]}" for row in orphans]
        return tuple(lines)

    def close(self) -> None:
        """Close the database and let others write."""
        self._engine.dispose()
        self._lock.release()


def create_folder(folder: Path) -> OpenFolder:
    """Make a new, empty project in a folder that is empty or not there yet.

    Raises:
        ProjectExists: There is something in that folder.
        ProjectError: It cannot be made there.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise ProjectExists(
            f"There is something in {folder.name} already. Nothing was changed. "
            "Choose a new folder."
        )
    try:
        for name in _SUBFOLDERS:
            (folder / name).mkdir(parents=True, exist_ok=True)
        lock = WriterLock(folder)
        if not lock.take():
            raise OSError("the folder cannot be locked")
        migrating.bring_up_to_date(folder / DATABASE)
    except OSError as error:
        raise ProjectError(
            f"A project cannot be made in {folder.name}: {error.strerror or error}. "
            "Choose a folder that you may write to."
        ) from error
    return OpenFolder(folder, lock)


def open_folder(folder: Path) -> OpenFolder:
    """Open a project; for looking only if another program has it or the folder is write-protected.

    Raises:
        ProjectNotFound: There is no project.
        DamagedProject: Its database is no database.
        NewerProject: A newer leaktrack made it.
    """
    database = folder / DATABASE
    if not database.is_file():
        raise ProjectNotFound(
            f"There is no leaktrack project in {folder.name or folder}. Open the folder that holds "
            f"{DATABASE}, or make a new project."
        )
    _check_header(database)
    lock = WriterLock(folder)
    lock.take()
    try:
        _prepare(folder, is_writer=lock.is_held)
    except sa.exc.DatabaseError as error:
        lock.release()
        raise _damaged(database, str(error.orig)) from error
    except BaseException:
        lock.release()
        raise
    return OpenFolder(folder, lock)


def _prepare(folder: Path, *, is_writer: bool) -> None:
    database = folder / DATABASE
    migrating.refuse_newer(database)
    if not is_writer:
        migrating.refuse_older(database)
        return
    migrating.bring_up_to_date(database)
    for files in (PhotoFiles(folder / "photos"), PhotoFiles(folder / "clips")):
        files.folder.mkdir(exist_ok=True)
        files.remove_half_written()


def _check_header(database: Path) -> None:
    with database.open("rb") as file:
        start = file.read(len(_SQLITE_HEADER))
    if start != _SQLITE_HEADER:
        raise _damaged(database, "it is no database file")


def _damaged(database: Path, why: str) -> DamagedProject:
    return DamagedProject(
        f"{database.name} cannot be read: {why}. Nothing was changed, the photos are untouched. "
        "Put a backup of this file in its place; backups lie beside it."
    )


def _engine(database: Path, *, is_read_only: bool) -> sa.Engine:
    mode = "ro" if is_read_only else "rw"
    uri = f"file:{_quoted(database)}?mode={mode}&uri=true"
    engine = sa.create_engine(f"sqlite:///{uri}", poolclass=sa.pool.QueuePool, pool_size=8)

    @sa.event.listens_for(engine, "connect")
    def _on_connect(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # transactions begin where _on_begin says
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute(f"PRAGMA busy_timeout={_BUSY_TIMEOUT_MS}")
        if not is_read_only:
            connection.execute("PRAGMA journal_mode=WAL")
            # FULL: a finished edit outlives a power cut, not only a crash of the program.
            connection.execute("PRAGMA synchronous=FULL")

    @sa.event.listens_for(engine, "begin")
    def _on_begin(connection: sa.Connection) -> None:
        # Python's driver begins nothing before the first change: reads would see each other's
        # edits come in. Writers take their turn at once, instead of failing half-way.
        connection.exec_driver_sql(connection.get_execution_options().get("begin_with", "BEGIN"))

    return engine


def _quoted(path: Path) -> str:
    return path.absolute().as_posix().replace("%", "%25").replace("?", "%3f").replace("#", "%23")
