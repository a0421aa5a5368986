"""Bring an older project up to date, safely; refuse a newer one."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import sqlalchemy as sa
from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory

from leaktrack import __version__
from leaktrack.model.errors import DamagedProject, NewerProject, ReadOnlyProject

MIGRATIONS = Path(__file__).parent / "migrations"


def newest_version() -> str:
    """Return the schema version that this leaktrack writes."""
    head = ScriptDirectory.from_config(_config()).get_current_head()
    assert head is not None  # there is at least the first migration
    return head


def version_of(database: Path) -> str | None:
    """Return a project's schema version; None for an empty database."""
    with closing(
        sqlite3.connect(f"{database.absolute().as_uri()}?mode=ro", uri=True)
    ) as connection:
        try:
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        except sqlite3.OperationalError as error:
            if "no such table" in str(error):
                return None
            raise
        except sqlite3.DatabaseError as error:
            raise sa.exc.DatabaseError("", None, error) from error
    return None if row is None else str(row[0])


def refuse_newer(database: Path) -> None:
    """Check that this leaktrack knows the project's version.

    Raises:
        NewerProject: It does not.
    """
    found = version_of(database)
    known = {script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()}
    if found is not None and found not in known:
        raise NewerProject(
            f"This project has version {found}; this leaktrack ({__version__}) knows versions up "
            f"to {newest_version()}. Nothing was changed. Install a newer leaktrack to open it."
        )


def refuse_older(database: Path) -> None:
    """Check that a project that may not be written to is up to date.

    Raises:
        ReadOnlyProject: It would have to be brought up to date first.
    """
    found = version_of(database)
    if found != newest_version():
        raise ReadOnlyProject(
            f"This project has version {found} and must be brought to {newest_version()} first, "
            "but it cannot be written to now. Nothing was changed. Open it where it "
            "can be written to."
        )


def bring_up_to_date(database: Path) -> Path | None:
    """Run what migrations are missing; return the backup made before, if there was one to make.

    Raises:
        DamagedProject: Afterwards records point at missing ones; the backup is the old state.
    """
    found = version_of(database) if database.exists() else None
    if found == newest_version():
        return None
    backup = _backed_up(database, found) if found is not None else None
    engine = sa.create_engine(f"sqlite:///{database.absolute().as_posix()}")
    try:
        with engine.connect() as connection:
            # Off: with foreign keys on, rebuilding a table empties its child tables.
            connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
            connection.commit()
            config = _config()
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
            connection.commit()
            _check_keys(connection, database, backup)
    finally:
        engine.dispose()
    return backup


def _check_keys(connection: sa.Connection, database: Path, backup: Path | None) -> None:
    orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if orphans:
        kept = f" The state before is kept in {backup.name}." if backup else ""
        raise DamagedProject(
            f"{database.name} could not be brought up to date: {len(orphans)} records point at "
            f"missing ones.{kept} Put it in the place of {database.name} and report this."
        )


def _backed_up(database: Path, version: str) -> Path:
    """Copy the database as one consistent state, whatever its write-ahead log holds."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    backup = database.with_name(f"{database.stem}-before-{stamp}-version-{version}.db")
    with closing(sqlite3.connect(database)) as source, closing(sqlite3.connect(backup)) as target:
        source.backup(target)
    return backup


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config
