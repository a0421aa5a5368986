"""What the stories share: the demo engine's project as the real command makes it, and a window."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication

from leaktrack.cli.main import main
from leaktrack.gui.app import build_window
from leaktrack.gui.main_window import MainWindow
from tests.brought_demo import brought_demo
from tests.built_demo import built_demo
from tests.built_once import built_once
from tests.shared_cache import shared_cache
from tests.story.person import Person

ROOT = Path(__file__).parents[2]


def pytest_configure(config: pytest.Config) -> None:
    # The offscreen screen says so at each window; there is nothing to mend.
    config.addinivalue_line("qt_log_ignore", "does not support propagateSizeHints")
    # And where a drop-down list opens.
    config.addinivalue_line("qt_log_ignore", "does not support (raise|grabbing the keyboard)")


@dataclass(frozen=True)
class Ran:
    """How a command of its own process ended."""

    status: int
    out: str
    err: str


def run_leaktrack(*arguments: object, places: Path) -> Ran:
    """Run the real program.

    Args:
        places: Folder for its settings, cache and log.
    """
    ran = subprocess.run(
        [sys.executable, "-m", "leaktrack", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env={
            **os.environ,
            "LEAKTRACK_CONFIG": str(places / "config"),
            "LEAKTRACK_CACHE": str(places / "cache"),
        },
    )
    return Ran(ran.returncode, ran.stdout, ran.stderr)


@dataclass(frozen=True)
class DemoRun:
    """The demo engine's project, built once for all stories: copy it, do not change it."""

    folder: Path
    ran: Ran


@pytest.fixture(scope="session")
def demo_run(tmp_path_factory: pytest.TempPathFactory) -> DemoRun:
    """The whole job on the demo engine, done by ``leaktrack demo``."""
    if brought := brought_demo():  # which stops whoever brings it, unless all went well
        return DemoRun(brought.folder, Ran(0, brought.said, brought.said))
    built_demo(tmp_path_factory)  # so that what is found in photos is found once

    def run(place: Path) -> None:
        shared_cache(tmp_path_factory, place / "cache")
        ran = run_leaktrack("demo", place / "demo engine", places=place)
        (place / "ran.json").write_text(json.dumps(asdict(ran)), "utf-8")

    place = built_once(tmp_path_factory, "story", run)
    return DemoRun(
        place / "demo engine", Ran(**json.loads((place / "ran.json").read_text("utf-8")))
    )


@pytest.fixture
def demo_copy(demo_run: DemoRun, tmp_path: Path) -> Path:
    """A copy of the demo engine's project that a test may change."""
    assert demo_run.ran.status == 0, demo_run.ran.err
    return Path(shutil.copytree(demo_run.folder, tmp_path / "demo engine"))


@pytest.fixture
def window(qtbot, qapp: QApplication, tmp_path: Path) -> Iterator[MainWindow]:
    """The program's window, with the welcome page, on a screen of a usual size."""
    built = build_window(qapp)
    qtbot.addWidget(built)
    built.resize(1280, 900)
    built.show()
    qtbot.waitActive(built)
    yield built
    built.close()


@pytest.fixture
def person(window: MainWindow, qtbot) -> Person:
    """Somebody who sits before the window."""
    return Person(window, qtbot)


@pytest.fixture
def told(demo_run: DemoRun, capsys: pytest.CaptureFixture[str]) -> Callable[..., Any]:
    """Return the JSON document that a command tells about the demo engine."""
    assert demo_run.ran.status == 0, demo_run.ran.err

    def tell(command: str, *options: str) -> Any:
        capsys.readouterr()  # drop what earlier commands printed
        assert main([command, str(demo_run.folder), *options, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    return tell
