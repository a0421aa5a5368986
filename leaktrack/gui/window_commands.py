"""What the menu's commands do: each one line or a short method, all by name."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QGuiApplication

from leaktrack.gui.about import show_about
from leaktrack.gui.error_window import diagnostics
from leaktrack.gui.help_window import SHORTCUTS, HelpWindow, manual
from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.new_project_dialog import NewProjectDialog, ask_for_project
from leaktrack.gui.page_kinds import PANELS
from leaktrack.gui.project_check import check_in_background
from leaktrack.gui.settings_dialog import (
    LARGEST_TEXT_PERCENT,
    SMALLEST_TEXT_PERCENT,
    TEXT_STEP_PERCENT,
    SettingsDialog,
)
from leaktrack.model.logbook import EntryKind
from leaktrack.places import log_file

if TYPE_CHECKING:
    from leaktrack.gui.workbench import Workbench

_RECORDED = (
    EntryKind.SEALING_JOB,
    EntryKind.TEST_RUN,
    EntryKind.INSPECTION,
    EntryKind.CHECK,
)


class WindowCommands(QObject):
    """Connects the actions of a main window with what they do."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._help: HelpWindow | None = None
        actions = window.menus.actions
        for name, slot in self._slots().items():
            actions[name].triggered.connect(partial(_call, slot))
        actions["gloves"].setChecked(window.settings.gloves_mode)
        actions["gloves"].triggered.connect(self._on_gloves)
        actions["full_screen"].triggered.connect(self._on_full_screen)
        for name in PANELS:
            actions[f"show_{name}"].triggered.connect(partial(_call, partial(self._on_panel, name)))
        window.menus.page_wanted.connect(self._on_page)
        window.menus.recent_wanted.connect(window.open_project)

    def _slots(self) -> dict[str, Callable[[], object]]:
        window = self._window
        slots: dict[str, Callable[[], object]] = {
            "new": self.new_project,
            "open": self.open_project,
            "demo": window.open_demo,
            "add_photos": partial(window.add_photos, "choose_photos"),
            "paste_photo": partial(window.add_photos, "paste"),
            "write_report": partial(self._on_page, "report"),
            "check_project": self._on_check_project,
            "settings": self._on_settings,
            "close_project": window.show_welcome,
            "quit": window.close,
            "filter_logbook": partial(self._with, lambda bench: bench.logbook.filter.setFocus()),
            "next_panel": partial(self._with, lambda bench: bench.cycle_panels(1)),
            "previous_panel": partial(self._with, lambda bench: bench.cycle_panels(-1)),
            "compare_before": self._on_compare_before,
            "next_zone": partial(self._with, lambda bench: bench.step_zone(1)),
            "previous_zone": partial(self._with, lambda bench: bench.step_zone(-1)),
            "larger_text": partial(self._scale_text, TEXT_STEP_PERCENT),
            "smaller_text": partial(self._scale_text, -TEXT_STEP_PERCENT),
            "reset_layout": self._on_reset_layout,
            "manual": self._on_manual,
            "shortcuts": partial(self._show_help, SHORTCUTS),
            "whats_new": partial(self._show_help, "whats_new"),
            "diagnostics": self._on_diagnostics,
            "log": self._on_log,
            "about": partial(show_about, window),
        }
        for kind in _RECORDED:
            slots[f"record_{kind.value}"] = partial(self._on_record, kind)
        return slots

    def new_project(self) -> None:
        """Ask for folder and engine, and begin a project."""
        if (wish := NewProjectDialog.ask(self._window)) is not None:
            self._window.create_project(wish.folder, wish.engine_name)

    def open_project(self) -> None:
        """Ask for a folder and open the project in it."""
        if (folder := ask_for_project(self._window)) is not None:
            self._window.open_project(folder)

    def _with(self, act: "Callable[[Workbench], Any]") -> None:
        """Do something with the workbench, if a project is open."""
        if self._window.workbench is not None:
            act(self._window.workbench)

    def _on_page(self, key: str) -> None:
        self._with(lambda bench: bench.work.show_page(key))

    def _on_record(self, kind: EntryKind) -> None:
        self._with(lambda bench: bench.work.start_new(kind))

    def _on_panel(self, name: str) -> None:
        is_shown = self._window.menus.actions[f"show_{name}"].isChecked()
        self._with(lambda bench: bench.panel(name).setVisible(is_shown))

    def _on_check_project(self) -> None:
        self._with(lambda bench: check_in_background(bench.session, self._window.messages))

    def _on_compare_before(self) -> None:
        bench = self._window.workbench
        if bench is not None and not bench.compare_with_before():
            self._window.messages.show_news(self.tr("There are no two inspections to compare yet."))

    def _on_settings(self) -> None:
        chosen = SettingsDialog.ask(self._window.settings, self._window)
        if chosen is not None:
            self._window.apply_settings(chosen)

    def _on_gloves(self, is_on: bool) -> None:
        self._window.apply_settings(replace(self._window.settings, gloves_mode=is_on))

    def _scale_text(self, step_percent: int) -> None:
        percent = self._window.settings.text_percent + step_percent
        percent = min(max(percent, SMALLEST_TEXT_PERCENT), LARGEST_TEXT_PERCENT)
        self._window.apply_settings(replace(self._window.settings, text_percent=percent))

    def _on_full_screen(self, is_on: bool) -> None:
        state = self._window.windowState() & ~Qt.WindowState.WindowFullScreen
        full = state | Qt.WindowState.WindowFullScreen
        self._window.setWindowState(full if is_on else state)

    def _on_reset_layout(self) -> None:
        self._with(lambda bench: bench.reset_layout())
        for name in PANELS:
            self._window.menus.actions[f"show_{name}"].setChecked(True)

    def _on_diagnostics(self) -> None:
        QGuiApplication.clipboard().setText(diagnostics())
        self._window.status.say(self.tr("Diagnostics copied."))

    def _on_log(self) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(log_file()))):
            told = self.tr("No program here shows text files. The log is in {path}.")
            self._window.messages.show_news(told.format(path=log_file()))

    def _on_manual(self) -> None:
        bench = self._window.workbench
        self._show_help("index" if bench is None else bench.work.current_chapter)

    def _show_help(self, key: str) -> None:
        if self._help is None:
            chapters = manual(self._window.menus.all_actions(), self.tr("Keyboard shortcuts"))
            self._help = HelpWindow(chapters, self._window)
        self._help.show_chapter(key)


def _call(slot: Callable[[], object], _checked: bool = False) -> None:
    slot()
