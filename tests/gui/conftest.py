"""What tests of the window share: a theme, a demo project of one's own, a session on it."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QSettings
from PySide6.QtWidgets import QApplication

from leaktrack.bootstrap import open_project
from leaktrack.gui.background import Background
from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.session import Session
from leaktrack.gui.tidying import Tidying, collect_if_due
from leaktrack.gui.window_commands import WindowCommands
from leaktrack.settings import Settings
from leaktrack.workflows.project import Project
from tests.built_demo import built_demo
from tests.shared_cache import shared_cache


def pytest_configure(config: pytest.Config) -> None:
    # The offscreen screen says so at each window; there is nothing to mend.
    config.addinivalue_line("qt_log_ignore", "does not support propagateSizeHints")
    # And where a drop-down list opens.
    config.addinivalue_line("qt_log_ignore", "does not support (raise|grabbing the keyboard)")


@pytest.fixture(scope="session", autouse=True)
def _own_places(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep settings, cache and log of the person who runs the tests out of it."""
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("places")
        cache = shared_cache(tmp_path_factory, folder / "cache")
        patch.setenv("LEAKTRACK_CONFIG", str(folder / "config"))
        patch.setenv("LEAKTRACK_CACHE", str(cache))
        yield


@pytest.fixture(scope="session", autouse=True)
def _tidying(qapp: QApplication) -> Iterator[None]:
    """Collect garbage on the window's thread alone, as the program does."""
    tidying = Tidying()
    yield
    tidying.stop()


@pytest.fixture(autouse=True)
def _light_theme(qapp: QApplication) -> Iterator[None]:
    apply_theme(qapp, Settings(theme="light"))
    yield
    # Closed widgets go only once an event loop runs; until then each theme styles them all anew.
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    collect_if_due()


@pytest.fixture(scope="session")
def demo_folder(_own_places: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo engine's project, built once; copy it, do not open it."""
    return built_demo(tmp_path_factory)


@pytest.fixture
def demo_copy(demo_folder: Path, tmp_path: Path) -> Path:
    """A copy of the demo project that a test may change."""
    return Path(shutil.copytree(demo_folder, tmp_path / "demo engine"))


@pytest.fixture
def project(demo_copy: Path) -> Iterator[Project]:
    """The demo project, open."""
    with open_project(demo_copy) as opened:
        yield opened


@pytest.fixture
def session(qapp: QApplication, project: Project) -> Iterator[Session]:
    """A session on the demo project."""
    background = Background()
    yield Session(project, background, Settings(theme="light"))
    background.close()


@pytest.fixture
def empty_session(
    qapp: QApplication, tmp_path: Path, empty_project_folder: Path
) -> Iterator[Session]:
    """A session on a project without any record."""
    background = Background()
    with open_project(shutil.copytree(empty_project_folder, tmp_path / "empty")) as project:
        yield Session(project, background, Settings(theme="light"))
        background.close()


@pytest.fixture
def make_window(qtbot, tmp_path: Path) -> Callable[[Settings], MainWindow]:
    """Returns main windows that look as the settings ask, with commands, not yet shown."""

    def make(settings: Settings = Settings(theme="light")) -> MainWindow:  # noqa: B008
        apply_theme(QApplication.instance(), settings)
        store = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        window = MainWindow(settings, lambda _: None, store)
        WindowCommands(window)
        window.show_welcome()
        qtbot.addWidget(window)
        return window

    return make


@pytest.fixture
def window(make_window: Callable[[], MainWindow]) -> MainWindow:
    """A main window with the welcome page."""
    return make_window()


@pytest.fixture
def open_window(window: MainWindow, demo_copy: Path, qtbot) -> MainWindow:
    """A main window that shows the demo project, with everything read."""
    window.show()
    window.show_project(open_project(demo_copy))
    qtbot.waitUntil(lambda: is_filled(window), timeout=10_000)
    return window


def is_filled(window: MainWindow) -> bool:
    """Return whether all panels of a window show the project."""
    bench = window.workbench
    return (
        bench is not None
        and bench.logbook.model.rowCount() > 0
        and len(bench.sheet.cards) > 0
        and bench.strip.chart.cursor_place is not None
    )
