"""Save pictures of every page for review: light, dark, large text, gloves mode; 1x and 2x.

Not a test: run it as ``python tests/story/screenshots.py FOLDER [PAGE ...]``.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from leaktrack.gui.background import Background

MODES: dict[str, dict[str, object]] = {
    "light": {"theme": "light"},
    "dark": {"theme": "dark"},
    "large": {"theme": "light", "text_percent": 150},
    "gloves": {"theme": "light", "gloves_mode": True},
}
SCALES = ("1", "2")
WIDTH, HEIGHT = 1280, 800
STEP_MS = 100
QUIET_MS = 1_500
LONGEST_WAIT_MS = 900_000


def main() -> int:
    """Take all pictures, each scale in a process of its own: Qt reads the scale only once."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("pages", nargs="*")
    parser.add_argument("--scale", choices=SCALES)
    parser.add_argument("--modes", nargs="*", choices=MODES, default=list(MODES))
    arguments = parser.parse_args()
    arguments.folder.mkdir(parents=True, exist_ok=True)
    if arguments.scale:
        take_pictures(arguments.folder, tuple(arguments.pages), arguments.scale, arguments.modes)
        return 0
    for scale in SCALES:
        environment = {**os.environ, "QT_SCALE_FACTOR": scale, "QT_QPA_PLATFORM": "offscreen"}
        command = [sys.executable, __file__, str(arguments.folder), *arguments.pages]
        subprocess.run(
            [*command, "--scale", scale, "--modes", *arguments.modes], env=environment, check=True
        )
    return 0


def take_pictures(folder: Path, pages: tuple[str, ...], scale: str, modes: list[str]) -> None:
    """Take the pictures of one scale.

    Args:
        folder: Where the PNG files go.
        pages: Keys of the pages wanted; none means all of them.
        scale: Device pixels per pixel of the layout, for the file names.
        modes: Keys of ``MODES``.
    """
    from PySide6.QtCore import QSettings
    from PySide6.QtWidgets import QApplication

    from leaktrack.bootstrap import create_project
    from leaktrack.gui.look.theme import apply_theme
    from leaktrack.gui.main_window import MainWindow
    from leaktrack.gui.page_kinds import PAGES
    from leaktrack.gui.window_commands import WindowCommands
    from leaktrack.places import demo_source
    from leaktrack.settings import Settings
    from leaktrack.workflows.run_demo import build_demo

    app = QApplication([])
    for mode, chosen in ((name, MODES[name]) for name in modes):
        with tempfile.TemporaryDirectory() as place:
            settings = Settings(**chosen)
            apply_theme(app, settings)
            store = QSettings(str(Path(place) / "window.ini"), QSettings.Format.IniFormat)
            window = MainWindow(settings, lambda _: None, store)
            WindowCommands(window)
            window.resize(WIDTH, HEIGHT)
            window.show_welcome()
            window.show()
            let_run(100)
            window.grab().save(str(folder / f"{mode}_{scale}x_welcome.png"))
            project = create_project(Path(place) / "demo engine")
            build_demo(project, demo_source())
            window.show_project(project)
            wait_until_drawn(window.workbench.session.background)
            for page in pages or tuple(kind.key for kind in PAGES):
                window.workbench.work.show_page(page)
                wait_until_drawn(window.workbench.session.background)
                window.grab().save(str(folder / f"{mode}_{scale}x_{page}.png"))
            window.close()


def let_run(ms: int) -> None:
    """Let the window and its background run; Qt's own wait for tests keeps Python to itself."""
    from PySide6.QtCore import QEventLoop, QTimer

    loop = QEventLoop()
    QTimer.singleShot(ms, loop.quit)
    loop.exec()


def wait_until_drawn(background: "Background") -> None:
    """Let photos be decoded and laid over each other before the picture is taken.

    One thing is often begun only once another one is there, so a moment without work is not the
    end: nothing may have been under way for a while.

    Raises:
        TimeoutError: Something is still under way; a picture of it would show a half-filled page.
    """
    waited_ms = quiet_ms = 0
    while quiet_ms < QUIET_MS:
        if waited_ms > LONGEST_WAIT_MS:
            raise TimeoutError("the page is not filled yet; take the pictures on an idle machine")
        let_run(STEP_MS)
        waited_ms += STEP_MS
        quiet_ms = quiet_ms + STEP_MS if background.is_idle else 0


if __name__ == "__main__":
    sys.exit(main())
