"""Bring an older project up to date, safely; refuse a newer one."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import sqlalchemy as sa

from leaktrack import __version__
from leaktrack.model.errors import DamagedProject, NewerProject, ProjectError, ReadOnlyProject
from leaktrack.store.connecting import engine_for_migrating
from leaktrack.store.durable import HALF_WRITTEN, sync_folder

MIGRATIONS = Path(__file__).parent / "migrations"


def known_versions() -> tuple[str, ...]:
    """Return the schema versions this leaktrack knows, oldest first.

    They are read off the file names: Alembic takes a tenth of a second to load, and most projects
    need no migration.
    """
    names = (path.name for path in (MIGRATIONS / "versions").glob("[0-9]*_*.py"))
    return tuple(sorted(name.split("_")[0] for name in names))


def newest_version() -> str:
    """Return the schema version that this leaktrack writes."""
    return known_versions()[-1]


def refuse_newer(version: str) -> None:
    """Check that this leaktrack knows a project's version.

    Raises:
        NewerProject: It does not.
    """
    if version not in known_versions():
        raise NewerProject(
            f"This project has version {version}; this leaktrack ({__version__}) knows versions up "
            f"to {newest_version()}. Nothing was changed. Install a newer leaktrack to open it."
        )


def refuse_older(version: str) -> None:
    """Check that a project that may not be written to is up to date.

    Raises:
        ReadOnlyProject: It would have to be brought up to date first.
    """
    if version != newest_version():
        raise ReadOnlyProject(
            f"This project has version {version} and must be brought to {newest_version()} first, "
            "but it cannot be written to now. Nothing was changed. Open it where it "
            "can be written to."
        )


def create_database(database: Path) -> None:
    """Make an empty database of the newest version; it gets its name when it is whole.

    Raises:
        OSError: It cannot be made there.
        sa.exc.DBAPIError: The disk is full.
    """
    half = database.with_name(database.name + HALF_WRITTEN)
    for stale in half.parent.glob(half.name + "*"):  # with its log, which must not be replayed
        stale.unlink()
    _migrate(half)
    half.replace(database)
    sync_folder(database.parent)


def bring_up_to_date(database: Path, version: str) -> Path | None:
    """Run what migrations are missing; return the backup made before, if there was one to make.

    Raises:
        DamagedProject: Records would point at missing ones.
        ProjectError: There is no room for the backup or the new tables.
    """
    if version == newest_version():
        return None
    try:
        backup = _backed_up(database, version)
        _migrate(database)
    except (sqlite3.OperationalError, sa.exc.OperationalError) as error:
        raise ProjectError(
            f"{database.name} could not be brought up to date: {getattr(error, 'orig', error)}. "
            f"It is as it was, version {version}. Make room on the disk, then open it again."
        ) from error
    return backup


def _migrate(database: Path) -> None:
    """Run all missing migrations in one transaction: a killed program leaves the old state."""
    # Late: see known_versions.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    engine = engine_for_migrating(database)
    try:
        with engine.begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
            orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
            if orphans:
                raise DamagedProject(
                    f"{database.name} could not be brought up to date: {len(orphans)} records "
                    "would point at missing ones. It is as it was. Please report this; an older "
                    "leaktrack opens it meanwhile."
                )
    finally:
        engine.dispose()


def _backed_up(database: Path, version: str) -> Path:
    """Copy the database as one consistent state, whatever its write-ahead log holds."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    backup = database.with_name(f"{database.stem}-before-{stamp}-version-{version}.db")
    half = backup.with_name(backup.name + HALF_WRITTEN)
    try:
        with closing(sqlite3.connect(database)) as source, closing(sqlite3.connect(half)) as target:
            source.backup(target)
        half.replace(backup)
    finally:
        half.unlink(missing_ok=True)
    sync_folder(database.parent)
    return backup
