import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from leaktrack import __version__
from leaktrack.model.engine import Engine, Face, JointLine, LinePoint, Zone
from leaktrack.model.errors import DamagedProject, NewerProject, ProjectError, ReadOnlyProject
from leaktrack.model.record import added
from leaktrack.model.redo_plan import AccessStep, AnyOf, RedoTask
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.model.shapes import PointPx
from leaktrack.store import migrating
from leaktrack.store.connecting import engine_for_migrating
from leaktrack.store.examining import version_of
from leaktrack.store.project_folder import DATABASE, create_folder, open_folder
from leaktrack.store.tables import metadata
from tests.builders import a_face, a_joint, a_photo, a_zone, an_engine
from tests.unit.store.disk import almost_full_disk

ENGINE = an_engine()
FACES = (a_face(ENGINE.id), a_face(ENGINE.id, position=1))
ZONE = a_zone(FACES[0].id)

NEWEST = migrating.newest_version()

HEADER = f"""
import os, signal
import sqlalchemy as sa
from alembic import op
revision, down_revision, branch_labels, depends_on = "9001", "{NEWEST}", None, None
"""
REBUILDS_A_PARENT = """
def upgrade():
    with op.batch_alter_table("engine", recreate="always") as table:
        table.add_column(sa.Column("colour", sa.Text(), nullable=False, server_default=""))
"""
LOSES_A_PARENT = """
def upgrade():
    op.execute("DELETE FROM engine")
"""
STOPS_HALF_WAY = (
    REBUILDS_A_PARENT
    + """
    op.execute("DELETE FROM zone")
    raise ZeroDivisionError
"""
)
IS_KILLED_HALF_WAY = (
    REBUILDS_A_PARENT
    + """
    op.execute("DELETE FROM zone")
    os.kill(os.getpid(), signal.SIGKILL)
"""
)
OPEN = """
import sys
from pathlib import Path
from leaktrack.store import migrating
from leaktrack.store.project_folder import open_folder
migrating.MIGRATIONS = Path(sys.argv[1])
open_folder(Path(sys.argv[2]))
"""


@pytest.fixture(scope="module")
def newest(tmp_path_factory) -> Path:
    opened = create_folder(tmp_path_factory.mktemp("newest") / "bench")
    with opened.transaction() as records:
        records.apply(added(ENGINE, *FACES, ZONE))
    opened.close()
    return opened.folder


@pytest.fixture
def older(tmp_path: Path, newest: Path) -> Path:
    """A project of the version that is the newest today."""
    return Path(shutil.copytree(newest, tmp_path / "bench"))


@pytest.fixture
def migrations(tmp_path: Path) -> Path:
    """The program's migrations, to which a test adds one."""
    folder = tmp_path / "migrations"
    shutil.copytree(migrating.MIGRATIONS, folder)
    return folder


def _add(migrations: Path, text: str) -> None:
    (migrations / "versions" / "9001_test.py").write_text(HEADER + text)


def _state(folder: Path) -> tuple[str, tuple[Face, ...], tuple[Zone, ...]]:
    """Open a project and return its version, faces and zones."""
    opened = open_folder(folder)
    with opened.reading() as records:
        found = records.all(Face), records.all(Zone)
    opened.close()
    return version_of(folder / DATABASE, is_read_only=True), *found


def test_the_migrations_make_the_tables_that_the_program_knows(older):
    engine = engine_for_migrating(older / DATABASE)

    with engine.connect() as connection:
        differences = compare_metadata(MigrationContext.configure(connection), metadata)

    engine.dispose()
    assert differences == []


def test_the_migrations_name_constraints_as_the_tables_do(older):
    """A name that differs would make a later migration fail for people, but not in tests."""
    planned = sa.create_engine("sqlite://")
    metadata.create_all(planned)
    made = engine_for_migrating(older / DATABASE)

    assert _constraint_names(made) == _constraint_names(planned)

    planned.dispose()
    made.dispose()


def _constraint_names(engine: sa.Engine) -> set[str | None]:
    look = sa.inspect(engine)
    tables = [name for name in look.get_table_names() if name != "alembic_version"]
    keys = {look.get_pk_constraint(table)["name"] for table in tables}
    keys |= {key["name"] for table in tables for key in look.get_foreign_keys(table)}
    keys |= {index["name"] for table in tables for index in look.get_indexes(table)}
    return keys | {key["name"] for table in tables for key in look.get_unique_constraints(table)}


def test_the_migrations_can_be_taken_back(older):
    config = Config()
    config.set_main_option("script_location", str(migrating.MIGRATIONS))
    engine = engine_for_migrating(older / DATABASE)

    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "base")

    assert sa.inspect(engine).get_table_names() == ["alembic_version"]
    engine.dispose()


def test_points_of_joint_lines_come_through_from_before_they_told_their_doubt(older):
    joint = a_joint(ZONE.id)
    photo = a_photo(zone_id=ZONE.id)
    points = (LinePoint(PointPx(1.5, 2.0), 1, PointPx(3.0, 4.0)), LinePoint(PointPx(5.0, 6.0)))
    line = JointLine(joint_id=joint.id, photo_id=photo.id, points=points)
    opened = open_folder(older)
    with opened.transaction() as records:
        records.apply(added(joint, photo, line))
    opened.close()
    engine = engine_for_migrating(older / DATABASE)
    config = Config()
    config.set_main_option("script_location", str(migrating.MIGRATIONS))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0004")
        (stored,) = connection.execute(sa.text("SELECT points FROM joint_line")).scalars()
    engine.dispose()

    again = open_folder(older)

    with again.reading() as records:
        assert records.all(JointLine) == (line,)
    again.close()
    assert stored == "[[[1.5,2.0],1,[3.0,4.0]],[[5.0,6.0],null,null]]"


def test_needs_come_through_from_before_there_was_a_choice_of_ways_in(older):
    first, second, third = (AccessStep(engine_id=ENGINE.id, name=name, hours=1) for name in "abc")
    ways = (AnyOf(((first.id, second.id), (third.id,))),)
    task = RedoTask(engine_id=ENGINE.id, name="Seal", hours=1, needs=(first.id, *ways), chance=0.4)
    opened = open_folder(older)
    with opened.transaction() as records:
        records.apply(added(first, second, third, task, RedoTerms(engine_id=ENGINE.id)))
    opened.close()
    engine = engine_for_migrating(older / DATABASE)
    config = Config()
    config.set_main_option("script_location", str(migrating.MIGRATIONS))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0006")
        (stored,) = connection.execute(sa.text("SELECT needs FROM redo_task")).scalars()
    engine.dispose()

    again = open_folder(older)

    # Before, there was one way in; what else was new is as usual.
    assert stored == f'["{first.id}","{second.id}"]'
    with again.reading() as records:
        plain = replace(task, needs=(first.id, second.id), chance=None)
        assert records.all(RedoTask) == (plain,)
        assert records.all(AccessStep) == (first, second, third)
        assert records.all(RedoTerms) == ()
    again.close()


def test_the_versions_told_by_file_names_are_those_that_alembic_knows():
    scripts = ScriptDirectory(str(migrating.MIGRATIONS))

    assert list(migrating.known_versions()) == [
        script.revision for script in reversed(list(scripts.walk_revisions()))
    ]


def test_an_older_project_is_brought_up_to_date_and_children_of_a_rebuilt_table_stay(
    older, migrations, monkeypatch
):
    _add(migrations, REBUILDS_A_PARENT)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)

    assert _state(older) == ("9001", FACES, (ZONE,))


def test_the_state_before_is_kept_in_a_backup_that_names_its_version(
    older, migrations, monkeypatch, tmp_path
):
    _add(migrations, REBUILDS_A_PARENT)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)
    open_folder(older).close()
    monkeypatch.undo()

    (backup,) = older.glob(f"leaktrack-before-*-version-{NEWEST}.db")
    (tmp_path / "restored").mkdir()
    backup.rename(tmp_path / "restored" / DATABASE)

    assert _state(tmp_path / "restored") == (NEWEST, FACES, (ZONE,))


def test_the_backup_holds_what_a_crash_left_in_the_log(older, migrations, monkeypatch):
    late = an_engine(name="late")
    opened = open_folder(older)
    with opened.transaction() as records:
        records.apply(added(late))
    shutil.copytree(older, older.with_name("crashed"))  # as found after a power cut: with its log
    opened.close()
    _add(migrations, REBUILDS_A_PARENT)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)

    open_folder(older.with_name("crashed")).close()

    (backup,) = older.with_name("crashed").glob("leaktrack-before-*.db")
    with closing(sqlite3.connect(backup)) as connection:
        names = connection.execute("SELECT name FROM engine WHERE name = 'late'").fetchall()
    assert names == [("late",)]


def test_a_project_that_is_up_to_date_is_not_backed_up(older):
    open_folder(older).close()

    assert list(older.glob("leaktrack-before-*")) == []


def test_a_migration_that_fails_leaves_the_old_state(older, migrations, monkeypatch):
    _add(migrations, STOPS_HALF_WAY)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)

    with pytest.raises(ZeroDivisionError):
        open_folder(older)

    monkeypatch.undo()
    assert _state(older) == (NEWEST, FACES, (ZONE,))


def test_a_migration_that_is_killed_leaves_the_old_state(older, migrations):
    _add(migrations, IS_KILLED_HALF_WAY)

    killed = subprocess.run([sys.executable, "-c", OPEN, migrations, older], check=False)

    assert killed.returncode == -signal.SIGKILL
    assert _state(older) == (NEWEST, FACES, (ZONE,))


def test_a_migration_that_loses_parents_is_taken_back(older, migrations, monkeypatch):
    _add(migrations, LOSES_A_PARENT)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)

    with pytest.raises(DamagedProject, match="2 records would point at missing ones"):
        open_folder(older)

    monkeypatch.undo()
    assert _state(older) == (NEWEST, FACES, (ZONE,))


def test_a_disk_without_room_for_the_backup_leaves_the_old_state(older, migrations, monkeypatch):
    _add(migrations, REBUILDS_A_PARENT)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)

    with almost_full_disk(50_000), pytest.raises(ProjectError, match="It is as it was, version"):
        open_folder(older)

    monkeypatch.undo()
    assert list(older.glob("leaktrack-before-*")) == []
    assert _state(older) == (NEWEST, FACES, (ZONE,))


def test_a_newer_project_is_refused_and_both_versions_are_named(older):
    with closing(sqlite3.connect(older / DATABASE)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9942'")
        connection.commit()

    with pytest.raises(NewerProject) as refusal:
        open_folder(older)

    assert "version 9942" in str(refusal.value)
    assert f"this leaktrack ({__version__}) knows versions up to {NEWEST}" in str(refusal.value)


def test_an_older_project_that_somebody_else_has_open_is_not_touched(
    older, migrations, monkeypatch
):
    holder = open_folder(older)
    _add(migrations, REBUILDS_A_PARENT)
    monkeypatch.setattr(migrating, "MIGRATIONS", migrations)

    with pytest.raises(ReadOnlyProject, match=f"has version {NEWEST} and must be brought to 9001"):
        open_folder(older)

    with holder.reading() as records:
        assert records.all(Engine) == (ENGINE,)
    holder.close()
