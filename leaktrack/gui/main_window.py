"""The main window: one project at most, from its opening to its closing; knows no domain rules."""

import logging
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QSettings
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QUndoGroup, QUndoStack
from PySide6.QtWidgets import QApplication, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from leaktrack.gui.background import Background
from leaktrack.gui.error_window import diagnostics
from leaktrack.gui.look.theme import GAP, apply_theme
from leaktrack.gui.menus import Menus
from leaktrack.gui.page_kinds import PANELS, HasCommands
from leaktrack.gui.pages.welcome_page import WelcomePage
from leaktrack.gui.panels.message_bar import MessageBar
from leaktrack.gui.panels.status_area import StatusArea
from leaktrack.gui.project_opening import ProjectOpening
from leaktrack.gui.recent_projects import recent_projects
from leaktrack.model.errors import LeakTrackError
from leaktrack.model.units import use_units
from leaktrack.settings import Settings

if TYPE_CHECKING:
    from leaktrack.gui.photo_index import PhotoIndex
    from leaktrack.gui.session import Session
    from leaktrack.gui.workbench import Workbench
    from leaktrack.workflows.project import Project

_log = logging.getLogger(__name__)


class MainWindow(QMainWindow):
    """One window, with one project at most.

    Args:
        settings: The user's choices.
        keep_settings: Called with other choices, to store them.
        layout_store: Where the shares of the panels are remembered.
    """

    def __init__(
        self,
        settings: Settings,
        keep_settings: Callable[[Settings], object],
        layout_store: QSettings,
    ) -> None:
        super().__init__()
        self.settings = settings
        self.workbench: Workbench | None = None
        self.photo_index: PhotoIndex | None = None
        self._keep_settings = keep_settings
        self._layout_store = layout_store
        self._background = Background(self, threads=1)
        self._opening = ProjectOpening(self._background, self)
        self._undo_group = QUndoGroup(self)
        self.menus = Menus(self, self._undo_group)
        self.messages = MessageBar()
        self.status = StatusArea()
        self._stack = QStackedWidget()
        self._build_layout()
        self._opening.opened.connect(self.show_project)
        self._opening.failed.connect(self.show_failure)
        self.status.watch(self._background)
        self.setAcceptDrops(True)
        # The size is remembered, the position is not: screens come and go.
        self.resize(*settings.window_size)

    def open_project(self, folder: Path) -> None:
        """Open the project in a folder, in the background."""
        self._opening.open(folder)

    def create_project(self, folder: Path, engine_name: str) -> None:
        """Begin a project with one engine, in the background."""
        self._opening.create(folder, engine_name)

    def open_demo(self) -> None:
        """Build a fresh copy of the demo engine and open it."""
        self._opening.build_demo()

    def show_project(self, project: "Project") -> None:
        """Take over an open project and show it."""
        # Late, like all that draws in the database: the window shows its first picture without it.
        from leaktrack.gui.cache_keeper import CacheKeeper
        from leaktrack.gui.photo_index import PhotoIndex
        from leaktrack.gui.session import Session

        self.close_project()
        session = Session(project, Background(self), self.settings, self)
        session.failed.connect(self.show_failure)
        session.undo_stack.indexChanged.connect(lambda _: self._say_last_step(session.undo_stack))
        self._undo_group.addStack(session.undo_stack)
        self._undo_group.setActiveStack(session.undo_stack)
        self.status.watch(session.background)
        self._keep(self.settings.with_recent(project.folder))
        self._show_workbench(session)
        self.photo_index = PhotoIndex(session, session)
        self.cache_keeper = CacheKeeper(session, session)
        self.status.index_row.watch(self.photo_index)
        self.setWindowTitle(self.tr("{name} – leaktrack").format(name=project.name))
        if not project.was_closed_cleanly:
            self.messages.show_news(
                self.tr(
                    "This project was not closed cleanly last time. All that was stored is there."
                ),
                self.tr("Check the files"),
                self.menus.actions["check_project"].trigger,
            )
        _log.info("opened a project%s", " for looking only" if project.is_read_only else "")

    def close_project(self) -> None:
        """Put the project away; every edit is stored already."""
        if self.workbench is None:
            return
        session = self.workbench.session
        self.workbench.save_layout(self._layout_store)
        self._drop_workbench()
        self._undo_group.removeStack(session.undo_stack)
        session.undo_stack.blockSignals(True)  # a stack on its way out tells of every step again
        self.status.index_row.watch(None)
        if self.photo_index is not None:
            self.photo_index.close()
            self.photo_index = None
        session.background.close()
        session.project.close()
        session.deleteLater()
        self.messages.hide()

    def show_welcome(self) -> None:
        """Show the ways into a project."""
        self.close_project()
        page = WelcomePage(recent_projects(self.settings))
        page.demo_wanted.connect(self.menus.actions["demo"].trigger)
        page.new_wanted.connect(self.menus.actions["new"].trigger)
        page.open_wanted.connect(self.menus.actions["open"].trigger)
        page.project_wanted.connect(self.open_project)
        self._stack.addWidget(page)
        self._stack.setCurrentWidget(page)
        self.menus.set_project_open(False)
        self.menus.set_recent(recent_projects(self.settings))
        self.setWindowTitle("leaktrack")

    def show_failure(self, error: LeakTrackError) -> None:
        """Say what happened, what is kept and what to do; keep working."""
        _log.warning("%s: %s", type(error).__name__, error)
        self.messages.show_failure(str(error), f"{type(error).__name__}\n{diagnostics()}")

    def apply_settings(self, settings: Settings) -> None:
        """Take over other settings, at once and for the next start."""
        was = self.settings
        if settings == was:
            return
        self._keep(settings)
        use_units(settings.units)
        apply_theme(cast(QApplication, QApplication.instance()), settings)
        self.menus.actions["gloves"].setChecked(settings.gloves_mode)
        if self.workbench is None:
            return
        self.workbench.session.settings = settings
        # Sizes of targets and units of fields are laid down when a page is made: make them anew.
        if (was.gloves_mode, was.units) != (settings.gloves_mode, settings.units):
            key = self.workbench.work.current_key
            self._show_workbench(self.workbench.session)
            self.workbench.work.show_page(key)

    def add_photos(self, how: str) -> None:
        """Add photos on the page Photos: "choose_photos" asks for files, "paste" takes a copy."""
        if self.workbench is not None:
            getattr(self.workbench.work.show_page("photos"), how)()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Remember the layout, stop the work under way and wait for it."""
        self._keep(replace(self.settings, window_size=(self.width(), self.height())))
        self.close_project()
        self._background.close()
        super().closeEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take photos that are dragged onto any place of the window."""
        what = "" if self.workbench is None else self.workbench.words_for_drop(event.mimeData())
        if what:
            self.status.say(self.tr("Drop to add {what}").format(what=what))
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Hand dropped photos to the page Photos."""
        if self.workbench is not None:
            self.workbench.add_dropped(event.mimeData())
            event.acceptProposedAction()

    def _keep(self, settings: Settings) -> None:
        self.settings = settings
        self._keep_settings(settings)

    def _build_layout(self) -> None:
        content = QWidget()
        rows = QVBoxLayout(content)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        above = QVBoxLayout()
        above.setContentsMargins(GAP, 0, GAP, 0)
        above.addWidget(self.messages)
        rows.addLayout(above)
        rows.addWidget(self._stack, 1)
        rows.addWidget(self.status)
        self.setCentralWidget(content)

    def _show_workbench(self, session: "Session") -> None:
        from leaktrack.gui.workbench import Workbench

        self._drop_workbench()
        workbench = Workbench(session, self._stack)
        self.workbench = workbench
        workbench.logbook.set_record_actions(self.menus.record_actions)
        workbench.work.page_shown.connect(self._on_page_shown)
        self._drop_welcome()
        self._stack.addWidget(workbench)
        workbench.resize(self._stack.size())
        workbench.restore_layout(self._layout_store)
        self.menus.set_project_open(True)
        for name in PANELS:
            self.menus.actions[f"show_{name}"].setChecked(True)
        workbench.show_first_page()

    def _drop_workbench(self) -> None:
        if self.workbench is not None:
            self.menus.set_page_commands(())
            self._stack.removeWidget(self.workbench)
            self.workbench.deleteLater()
            self.workbench = None

    def _drop_welcome(self) -> None:
        while (page := self._stack.currentWidget()) is not None:
            self._stack.removeWidget(page)
            page.deleteLater()

    def _on_page_shown(self, _key: str) -> None:
        if self.workbench is not None:
            page = self.workbench.work.current_page
            self.menus.set_page_commands(page.commands() if isinstance(page, HasCommands) else ())

    def _say_last_step(self, stack: QUndoStack) -> None:
        if stack.undoText():
            self.status.say(self.tr("{step}: stored").format(step=stack.undoText()))
