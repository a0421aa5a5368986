"""Connections to a project's database."""

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sa

_BUSY_TIMEOUT_MS = 5000


def uri_of(database: Path, *, is_read_only: bool) -> str:
    """Return a database's address for SQLite; opening it never makes a new file."""
    path = database.absolute().as_posix()
    quoted = path.replace("%", "%25").replace("?", "%3f").replace("#", "%23")
    return f"file:{quoted}?mode={'ro' if is_read_only else 'rw'}"


def engine_of(database: Path, *, is_read_only: bool) -> sa.Engine:
    """Return what connections to a database come from; each thread takes one of its own."""
    uri = uri_of(database, is_read_only=is_read_only)
    engine = sa.create_engine(
        "sqlite://",
        # Not by SQLAlchemy's own address: there, a folder's name may not hold a question mark.
        creator=lambda: sqlite3.connect(uri, uri=True, check_same_thread=False),
        poolclass=sa.pool.QueuePool,
        pool_size=8,
    )

    @sa.event.listens_for(engine, "connect")
    def _on_connect(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # transactions begin where _on_begin says
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute(f"PRAGMA busy_timeout={_BUSY_TIMEOUT_MS}")
        if not is_read_only:
            # FULL: a finished edit outlives a power cut, not only a crash of the program.
            connection.execute("PRAGMA synchronous=FULL")

    _begin_at_once(engine)
    return engine


def engine_for_migrating(database: Path) -> sa.Engine:
    """Return an engine that leaves foreign keys alone and makes the file if it is not there.

    With foreign keys on, rebuilding a table empties the tables that point at it.
    """
    engine = sa.create_engine(
        "sqlite://", creator=lambda: sqlite3.connect(database), poolclass=sa.pool.NullPool
    )

    @sa.event.listens_for(engine, "connect")
    def _on_connect(connection: Any, _record: object) -> None:
        connection.isolation_level = None
        connection.execute("PRAGMA journal_mode=WAL")  # kept in the file, for all who open it later
        connection.execute("PRAGMA foreign_keys=OFF")
        connection.execute("PRAGMA synchronous=FULL")

    _begin_at_once(engine)
    return engine


def for_writing(connection: sa.Connection) -> sa.Connection:
    """Return the connection, set to take its turn as writer as soon as it begins.

    A transaction that reads first and writes later fails half-way if another wrote in between.
    """
    return connection.execution_options(begin_with="BEGIN IMMEDIATE")


@contextmanager
def readable(database: Path) -> Iterator[Path]:
    """Give the database, or a copy of it where it cannot be read in place.

    SQLite wants to write beside a database even to read it, unless another program has it open;
    a folder on a write-protected disk does not let it.
    """
    if _is_readable_in_place(database):
        yield database
        return
    with tempfile.TemporaryDirectory(prefix="leaktrack-") as folder:
        for path in (database, _log_of(database)):
            if path.exists():
                shutil.copyfile(path, Path(folder) / path.name)
        yield Path(folder) / database.name


def _log_of(database: Path) -> Path:
    """Return the write-ahead log, which holds the latest edits after a crash."""
    return database.with_name(f"{database.name}-wal")


def _is_readable_in_place(database: Path) -> bool:
    uri = uri_of(database, is_read_only=True)
    try:
        with closing(sqlite3.connect(uri, uri=True)) as connection:
            connection.execute("SELECT count(*) FROM sqlite_master")
    except sqlite3.OperationalError:
        return False
    except sqlite3.DatabaseError:
        return True  # damaged, and so would a copy be
    return True


def _begin_at_once(engine: sa.Engine) -> None:
    @sa.event.listens_for(engine, "begin")
    def _on_begin(connection: sa.Connection) -> None:
        # Python's driver begins nothing before the first change, and nothing for a change of
        # tables: reads would see each other's edits come in, and migrations could stop half-way.
        connection.exec_driver_sql(connection.get_execution_options().get("begin_with", "BEGIN"))
