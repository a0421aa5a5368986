"""What gets loaded when, seen from a program of its own."""

import subprocess
import sys
from importlib.metadata import distributions
from pathlib import Path

import pytest

import leaktrack

ROOT = Path(leaktrack.__file__).parents[1]

# By the files' names: walking packages would load each of them to see what is inside.
LOAD_ALL_BUT = """
import sys
from importlib import import_module
from pathlib import Path
sys.path.insert(0, sys.argv[1])
left_out = tuple(sys.argv[3:])
for path in sorted(Path(sys.argv[1], *sys.argv[2].split(".")).rglob("*.py")):
    name = ".".join(path.relative_to(sys.argv[1]).with_suffix("").parts).removesuffix(".__init__")
    if not name.startswith(left_out):
        import_module(name)
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""
# Started by the program itself, or by Alembic within a migration.
NOT_TO_BE_LOADED = ("leaktrack.__main__", "leaktrack.store.migrations")
QT = {"PySide6", "shiboken6"}
# Each takes a tenth of a second or more to load; the window must stand in under one second.
HEAVY = {"cv2", "av", "typst", "scipy", "alembic"}


def _loaded(*arguments: str) -> set[str]:
    """Return the top names of what a fresh Python has loaded in the end."""
    ran = subprocess.run(
        [sys.executable, *arguments], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert ran.returncode == 0, ran.stderr
    return set(ran.stdout.split())


def _loaded_by(module: str) -> set[str]:
    code = f"import {module}, sys; print(*{{name.partition('.')[0] for name in sys.modules}})"
    return _loaded("-c", code)


def test_everything_but_the_window_runs_without_qt():
    loaded = _loaded("-c", LOAD_ALL_BUT, str(ROOT), "leaktrack", "leaktrack.gui", *NOT_TO_BE_LOADED)

    assert {"cv2", "sqlalchemy"} <= loaded  # so it did load them all
    assert loaded.isdisjoint(QT)


def test_the_model_needs_nothing_but_the_standard_library():
    # -I -S: without the places where other packages are installed.
    loaded = _loaded("-I", "-S", "-c", LOAD_ALL_BUT, str(ROOT), "leaktrack.model")

    assert "leaktrack" in loaded


def test_the_command_line_answers_before_anything_slow_is_loaded():
    loaded = _loaded_by("leaktrack.cli.main")

    assert loaded.isdisjoint(QT | HEAVY | {"numpy", "sqlalchemy"})


@pytest.mark.gui
def test_the_window_stands_before_anything_slow_is_loaded():
    loaded = _loaded_by("leaktrack.gui.app")

    assert "PySide6" in loaded
    assert loaded.isdisjoint(HEAVY)


def test_there_is_one_opencv_and_it_brings_no_qt():
    """Two of them overwrite each other's files; the one with windows has a Qt of its own."""
    names = {found.metadata["Name"].lower().replace("_", "-") for found in distributions()}

    assert {name for name in names if "opencv" in name} == {"opencv-python-headless"}
