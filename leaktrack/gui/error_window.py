"""The report of a bug: what nobody foresaw, ready to be copied, with the work kept."""

import logging
import platform
import sys
import threading
import traceback
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

import PySide6
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from leaktrack import __version__
from leaktrack.gui.look.panels import Heading, push_button
from leaktrack.gui.look.theme import GAP

_log = logging.getLogger(__name__)


def diagnostics() -> str:
    """Return versions of what the program runs on; nothing personal, no paths."""
    return "\n".join(
        (
            f"leaktrack {__version__}",
            f"Python {platform.python_version()}, Qt for Python {PySide6.__version__}",
            f"{platform.system()} {platform.release()}, {platform.machine()}",
            f"screen platform {QGuiApplication.platformName()}",
        )
    )


def bug_report(error: BaseException) -> str:
    """Return a report on a bug: versions and where it happened, with file names but no folders."""
    frames = traceback.extract_tb(error.__traceback__)
    lines = [f"  {Path(frame.filename).name}:{frame.lineno} in {frame.name}" for frame in frames]
    what = "".join(traceback.format_exception_only(error)).strip()
    return "\n".join((diagnostics(), "", what, *lines))


class BugHooks(QObject):
    """Catches what nobody foresaw, on any thread, logs it and hands the report to the window."""

    happened = Signal(str)

    def install(self) -> Callable[[], None]:
        """Listen from now on.

        Returns:
            What puts the hooks back that were there before.
        """
        before, before_thread = sys.excepthook, threading.excepthook
        sys.excepthook = self._on_error
        threading.excepthook = self._on_thread_error

        def restore() -> None:
            sys.excepthook, threading.excepthook = before, before_thread

        return restore

    def _on_error(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        _log.error("something nobody foresaw", exc_info=(kind, error, trace))
        self.happened.emit(bug_report(error))

    def _on_thread_error(self, args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None:
            self._on_error(args.exc_type, args.exc_value, args.exc_traceback)


class ErrorWindow(QDialog):
    """Shows the report of a bug. It does not stop the program; more bugs are added below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Something went wrong"))
        self.setModal(False)
        self.report = QPlainTextEdit()
        self.report.setReadOnly(True)
        self.report.setAccessibleName(self.tr("Report"))
        self.report.setTabChangesFocus(True)
        text = QLabel(
            self.tr(
                "leaktrack met something it did not expect. What you have recorded so far is kept. "
                "You can go on; if it looks odd, close and open the project again. "
                "Please copy this report and send it along when you tell somebody about it."
            )
        )
        text.setWordWrap(True)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(push_button(self.tr("&Copy report"), self._on_copy, icon_name="copy"))
        buttons.addWidget(push_button(self.tr("C&lose"), self.close, is_primary=True))
        rows = QVBoxLayout(self)
        rows.setSpacing(GAP)
        rows.addWidget(Heading(self.tr("Something went wrong"), 2))
        rows.addWidget(text)
        rows.addWidget(self.report, 1)
        rows.addLayout(buttons)
        self.resize(640, 420)

    def add(self, report: str) -> None:
        """Show one more report, below those that are there."""
        self.report.appendPlainText(report if not self.report.toPlainText() else f"\n{report}")
        self.show()

    def _on_copy(self) -> None:
        QGuiApplication.clipboard().setText(self.report.toPlainText())
