"""Save pictures of every page for review: light, dark, large text, gloves mode; 1x and 2x.

Not a test: run it as ``python tests/story/screenshots.py FOLDER [PAGE ...]``.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

MODES: dict[str, dict[str, object]] = {
    "light": {"theme": "light"},
    "dark": {"theme": "dark"},
    "large": {"theme": "light", "text_percent": 150},
    "gloves": {"theme": "light", "gloves_mode": True},
}
SCALES = ("1", "2")
WIDTH, HEIGHT = 1280, 800
SETTLE_MS = 1500


def main() -> int:
    """Take all pictures, each scale in a process of its own: Qt reads the scale only once."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("pages", nargs="*")
    parser.add_argument("--scale", choices=SCALES)
    arguments = parser.parse_args()
    arguments.folder.mkdir(parents=True, exist_ok=True)
    if arguments.scale:
        take_pictures(arguments.folder, tuple(arguments.pages), arguments.scale)
        return 0
    for scale in SCALES:
        environment = {**os.environ, "QT_SCALE_FACTOR": scale, "QT_QPA_PLATFORM": "offscreen"}
        command = [sys.executable, __file__, str(arguments.folder), *arguments.pages]
        subprocess.run([*command, "--scale", scale], env=environment, check=True)
    return 0


def take_pictures(folder: Path, pages: tuple[str, ...], scale: str) -> None:
    """Take the pictures of one scale.

    Args:
        folder: Where the PNG files go.
        pages: Keys of the pages wanted; none means all of them.
        scale: Device pixels per pixel of the layout, for the file names.
    """
    from PySide6.QtCore import QSettings
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from leaktrack.bootstrap import create_project
    from leaktrack.gui.main_window import MainWindow
    from leaktrack.gui.page_kinds import PAGES
    from leaktrack.gui.theme import apply_theme
    from leaktrack.gui.window_commands import WindowCommands
    from leaktrack.places import demo_source
    from leaktrack.settings import Settings
    from leaktrack.workflows.run_demo import build_demo

    app = QApplication([])
    for mode, chosen in MODES.items():
        with tempfile.TemporaryDirectory() as place:
            settings = Settings(**chosen)
            apply_theme(app, settings)
            store = QSettings(str(Path(place) / "window.ini"), QSettings.Format.IniFormat)
            window = MainWindow(settings, lambda _: None, store)
            WindowCommands(window)
            window.resize(WIDTH, HEIGHT)
            window.show_welcome()
            window.show()
            QTest.qWait(100)
            window.grab().save(str(folder / f"{mode}_{scale}x_welcome.png"))
            project = create_project(Path(place) / "demo engine")
            build_demo(project, demo_source())
            window.show_project(project)
            QTest.qWait(SETTLE_MS)
            for page in pages or tuple(kind.key for kind in PAGES):
                window.workbench.work.show_page(page)
                QTest.qWait(SETTLE_MS)
                window.grab().save(str(folder / f"{mode}_{scale}x_{page}.png"))
            window.close()


if __name__ == "__main__":
    sys.exit(main())
