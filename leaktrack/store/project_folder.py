"""A project on disk: create, open, and give out transactions."""

import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import sqlalchemy as sa

from leaktrack.model.errors import (
    DamagedProject,
    ProjectError,
    ProjectExists,
    ProjectNotFound,
    ReadOnlyProject,
)
from leaktrack.store import migrating
from leaktrack.store.connecting import engine_of, for_writing, readable
from leaktrack.store.durable import HALF_WRITTEN
from leaktrack.store.examining import damaged, version_of
from leaktrack.store.locking import LOCK_FILE, WriterLock
from leaktrack.store.photo_files import PhotoFiles
from leaktrack.store.records import Records
from leaktrack.store.tables import TABLES

DATABASE = "leaktrack.db"
_SUBFOLDERS = ("photos", "clips", "report")


class OpenFolder:
    """One project folder, open for writing or for looking only."""

    def __init__(self, folder: Path, lock: WriterLock, engine: sa.Engine) -> None:
        self.folder = folder
        self.photo_files = PhotoFiles(folder / "photos")
        self.clip_files = PhotoFiles(folder / "clips")
        self.is_read_only = not lock.is_held
        self.holder = lock.holder
        self.was_closed_cleanly = not lock.was_left_behind
        self._engine = engine
        self._closing = ExitStack()

    def close_with(self, closing: ExitStack) -> None:
        """Take over what must happen when the project is closed."""
        self._closing = closing

    @contextmanager
    def reading(self) -> Iterator[Records]:
        """Give a consistent look at the records.

        Raises:
            DamagedProject: The database does not hold together.
            ProjectError: The disk does not answer.
        """
        try:
            with self._engine.connect() as connection, connection.begin():
                yield Records(connection)
        except sa.exc.DBAPIError as error:
            self._raise_foreseen("The project could not be read", error)
            raise

    def refuse_read_only(self) -> None:
        """Refuse, before any work is done, what could not be saved afterwards.

        Raises:
            ReadOnlyProject: It is open for looking only.
        """
        if self.is_read_only:
            raise ReadOnlyProject(
                f"This project is open for looking only ({self.holder}). Nothing was changed. "
                "Once that is over, open it again."
            )

    @contextmanager
    def transaction(self) -> Iterator[Records]:
        """Give the records to change: all changes are kept, or none.

        Raises:
            ReadOnlyProject: It is open for looking only.
            DamagedProject: The database does not hold together.
            ProjectError: The disk is full or cannot be written to.
        """
        self.refuse_read_only()
        try:
            with for_writing(self._engine.connect()) as connection, connection.begin():
                yield Records(connection)
        except sa.exc.DBAPIError as error:
            self._raise_foreseen("The change could not be saved", error)
            raise

    def problems(self) -> tuple[str, ...]:
        """Return what the database itself finds wrong, in its own words."""
        try:
            with self._engine.connect() as connection:
                found = [
                    str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check")
                ]
                orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        except sa.exc.DBAPIError as error:
            return (str(error.orig),)
        lines = [line for line in found if line != "ok"]
        lines += self._unreadable_records()
        lines += [f"{row[0]} row {row[1]} points at a missing {row[2]}" for row in orphans]
        return tuple(lines)

    def _unreadable_records(self) -> list[str]:
        lines = []
        for kind in TABLES:
            try:
                with self.reading() as records:
                    records.all(kind)
            except DamagedProject as error:
                lines.append(str(error))
        return lines

    def close(self) -> None:
        """Close the database and let others write."""
        self._closing.close()

    def _raise_foreseen(self, what: str, error: sa.exc.DBAPIError) -> None:
        """Raise what the disk or the file did to us; return where the bug is ours."""
        code = getattr(error.orig, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
        if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
            raise damaged(self.folder / DATABASE, str(error.orig)) from error
        if isinstance(error, sa.exc.OperationalError) and code != sqlite3.SQLITE_ERROR:
            raise ProjectError(
                f"{what}: {error.orig}. Everything saved before is kept. "
                "Make room on the disk or wait a moment, then try again."
            ) from error


def create_folder(folder: Path) -> OpenFolder:
    """Make a new, empty project in a folder that is empty or not there yet.

    Raises:
        ProjectExists: There is something in that folder.
        ProjectError: It cannot be made there.
    """
    with ExitStack() as closing:
        try:
            _refuse_used(folder)
            folder.mkdir(parents=True, exist_ok=True)
            lock = WriterLock(folder)
            closing.callback(lock.release)
            if not lock.take():
                raise OSError(lock.holder)
            migrating.create_database(folder / DATABASE)
            _make_subfolders(folder)
        except (OSError, sa.exc.OperationalError) as error:
            why = getattr(error, "strerror", None) or getattr(error, "orig", error)
            raise ProjectError(
                f"A project cannot be made in {_name_of(folder)}: {why}. "
                "What was there is as it was. Choose a folder that you may write to, or make "
                "room."
            ) from error
        return _opened(folder, folder / DATABASE, lock, closing)


def open_folder(folder: Path) -> OpenFolder:
    """Open a project; for looking only if another program has it or the folder is write-protected.

    Raises:
        ProjectNotFound: There is no project.
        DamagedProject: Its database is no database or does not hold together.
        NewerProject: A newer leaktrack made it.
        ReadOnlyProject: It is of an older version, but cannot be brought up to date now.
        ProjectError: It cannot be read, or there is no room to bring it up to date.
    """
    database = folder / DATABASE
    _refuse_no_project(database)
    with ExitStack() as closing:
        lock = WriterLock(folder)
        closing.callback(lock.release)
        if not lock.take():
            database = closing.enter_context(readable(database))
        version = version_of(database, is_read_only=not lock.is_held)
        migrating.refuse_newer(version)
        if lock.is_held:
            migrating.bring_up_to_date(database, version)
            _mend_subfolders(folder)
        else:
            migrating.refuse_older(version)
        return _opened(folder, database, lock, closing)


def _opened(folder: Path, database: Path, lock: WriterLock, closing: ExitStack) -> OpenFolder:
    engine = engine_of(database, is_read_only=not lock.is_held)
    closing.callback(engine.dispose)
    opened = OpenFolder(folder, lock, engine)
    if lock.is_held:
        opened.photo_files.remove_half_written()
        opened.clip_files.remove_half_written()
    opened.close_with(closing.pop_all())
    return opened


def _refuse_no_project(database: Path) -> None:
    folder = database.parent
    try:
        is_there = database.is_file()
    except OSError as error:  # a folder that may not be looked into, a name that is too long
        raise ProjectError(
            f"{_name_of(folder)} cannot be opened: {error.strerror}. Nothing was changed. Choose "
            "another folder, or ask whoever keeps it to let you look into it."
        ) from error
    if not is_there:
        raise ProjectNotFound(
            f"There is no leaktrack project in {_name_of(folder)}. Open the folder that holds "
            f"{DATABASE}, or make a new project."
        )


def _refuse_used(folder: Path) -> None:
    if folder.exists() and not _is_unused(folder):
        raise ProjectExists(
            f"There is something in {_name_of(folder)} already. Nothing was changed. "
            "Choose a new folder."
        )


def _name_of(folder: Path) -> str:
    """Return what people call a folder: not a dot, and not nothing for the uppermost one."""
    return folder.name or folder.absolute().name or str(folder)


def _is_unused(folder: Path) -> bool:
    """Return whether nothing is there but what a killed program left of an unborn project."""
    return folder.is_dir() and all(
        path.name == LOCK_FILE or path.name.startswith(DATABASE + HALF_WRITTEN)
        for path in folder.iterdir()
    )


def _mend_subfolders(folder: Path) -> None:
    try:
        _make_subfolders(folder)
    except OSError as error:
        raise ProjectError(
            f"A folder is missing in {folder.name} and cannot be made: {error.strerror} "
            f"({Path(str(error.filename)).name}). The records are kept. Make room on the disk, or "
            "move away what stands in its place, then open the project again."
        ) from error


def _make_subfolders(folder: Path) -> None:
    for name in _SUBFOLDERS:
        (folder / name).mkdir(exist_ok=True)
