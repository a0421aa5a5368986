"""Is a file a sound leaktrack database, and of which version?"""

import sqlite3
from contextlib import closing
from pathlib import Path

from leaktrack.model.errors import DamagedProject, ProjectError
from leaktrack.store.connecting import uri_of

# Extended codes hold more above the lowest byte. Source: sqlite.org/rescode.html
_DISK_FAILED = (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN)
_SQLITE_HEADER = b"SQLite format 3\0"


def version_of(database: Path, *, is_read_only: bool) -> str:
    """Return the schema version of a database, after a quick look at whether it holds together.

    Raises:
        DamagedProject: It is no database, not ours, or does not hold together.
        ProjectError: It cannot be read at all, or not while the disk is full.
    """
    _check_header(database)
    uri = uri_of(database, is_read_only=is_read_only)
    try:
        with closing(sqlite3.connect(uri, uri=True)) as connection:
            found = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
            if found != "ok":
                raise damaged(database, " ".join(str(found).split()))
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode & 0xFF in _DISK_FAILED:
            raise ProjectError(
                f"{database.name} cannot be read now: {error}. Nothing was changed, records and "
                "photos are as they were. The disk may be full: make room, then open it again."
            ) from error
        raise damaged(database, str(error)) from error
    if row is None:
        raise damaged(database, "it does not say its version")
    return str(row[0])


def damaged(database: Path, why: str) -> DamagedProject:
    """Return the failure to raise for a database that cannot be read."""
    backups = sorted(database.parent.glob(f"{database.stem}-before-*.db"))
    backup = f"the newest backup beside it, {backups[-1].name}," if backups else "a backup"
    return DamagedProject(
        f"{database.name} cannot be read: {why}. Nothing was changed, the photos are untouched. "
        f"Put {backup} in its place."
    )


def _check_header(database: Path) -> None:
    try:
        with database.open("rb") as file:
            start = file.read(len(_SQLITE_HEADER))
    except OSError as error:
        raise ProjectError(
            f"{database.name} cannot be opened: {error.strerror}. Nothing was changed. "
            "Ask whoever keeps this folder to let you read it."
        ) from error
    if start != _SQLITE_HEADER:
        raise damaged(database, "it is no database file")
