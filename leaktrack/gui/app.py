"""Start Qt and the window: the composition root of the window."""

import logging
from pathlib import Path

from PySide6.QtCore import (
    QMessageLogContext,
    QSettings,
    Qt,
    QTimer,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from leaktrack.bootstrap import configure_logging
from leaktrack.gui.error_window import BugHooks, ErrorWindow
from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.tidying import Tidying
from leaktrack.gui.window_commands import WindowCommands
from leaktrack.places import settings_file
from leaktrack.settings import read_settings, write_settings

_log = logging.getLogger(__name__)

_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def run(project: Path | None) -> int:
    """Show the window until it is closed.

    Args:
        project: Folder of the project to open; None shows the ways into one.

    Returns:
        The exit status, 0 for a normal end.
    """
    configure_logging()
    qInstallMessageHandler(_log_qt_message)
    # Fractions such as 1.25 and 1.5 stay as they are, so that text is sharp on every screen.
    QGuiApplication.setHighDpiScaleFactorRoundingPolicy(
        Qt.HighDpiScaleFactorRoundingPolicy.PassThrough
    )
    app = QApplication([])
    app.setApplicationName("leaktrack")
    app.setDesktopFileName("leaktrack")
    window = build_window(app)
    hooks, errors = BugHooks(), ErrorWindow(window)
    hooks.happened.connect(errors.add)
    restore_hooks = hooks.install()
    tidying = Tidying()
    window.show()
    if project is not None:
        # After the first picture: the window is there before the database is read.
        QTimer.singleShot(0, window, lambda: window.open_project(project))
    try:
        return app.exec()
    finally:
        tidying.stop()
        restore_hooks()
        qInstallMessageHandler(None)


def build_window(app: QApplication) -> MainWindow:
    """Return the main window with the user's settings, not yet shown."""
    file = settings_file()
    settings, complaints = read_settings(file)
    apply_theme(app, settings)
    window = MainWindow(
        settings,
        lambda changed: write_settings(file, changed),
        QSettings(str(file.with_name("window.ini")), QSettings.Format.IniFormat),
    )
    WindowCommands(window)
    app.styleHints().colorSchemeChanged.connect(lambda _: apply_theme(app, window.settings))
    window.show_welcome()
    if complaints:
        window.messages.show_news(" ".join(complaints))
    return window


def _log_qt_message(kind: QtMsgType, context: QMessageLogContext, message: str) -> None:
    _log.log(_LEVELS.get(kind, logging.WARNING), "%s: %s", context.category, message)
