"""The menu bar: which command stands in which menu."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction, QKeySequence, QUndoGroup
from PySide6.QtWidgets import QMainWindow, QMenu

from leaktrack.gui.actions import (
    EDIT,
    FILE,
    HELP,
    RECORD,
    VIEW_PANELS,
    ActionTable,
)
from leaktrack.gui.look.theme import icon
from leaktrack.gui.page_kinds import PAGES, key_of
from leaktrack.gui.recent_projects import RecentProject

COMMANDS = (*FILE, *EDIT, *VIEW_PANELS, *RECORD, *HELP)


class Menus(QObject):
    """The window's menus and the actions in them."""

    page_wanted = Signal(str)
    recent_wanted = Signal(Path)

    def __init__(self, window: QMainWindow, undo_group: QUndoGroup) -> None:
        super().__init__(window)
        self.actions = ActionTable()
        bar = window.menuBar()
        self.file = bar.addMenu(self.tr("&File"))
        self.file.addActions(self.actions.build(FILE, self))
        self.recent = QMenu(self.tr("Open recen&t"), window)
        self.file.insertMenu(self.actions["demo"], self.recent)
        edit = bar.addMenu(self.tr("&Edit"))
        edit.addActions(self._undo_actions(undo_group))
        edit.addActions(self.actions.build(EDIT, self))
        view = bar.addMenu(self.tr("&View"))
        self.pages = view.addMenu(self.tr("Pa&ge"))
        self.pages.addActions([self._page_action(place) for place in range(len(PAGES))])
        view.addActions(self.actions.build(VIEW_PANELS, self))
        self.record = bar.addMenu(self.tr("&Record"))
        self.record_actions = self.actions.build(RECORD, self)
        self.record.addActions(self.record_actions)
        self.marks = bar.addMenu(self.tr("&Marks"))
        self._no_marks = QAction(self.tr("&Show the page Inspect"), self)
        self._no_marks.triggered.connect(lambda: self.page_wanted.emit("inspect"))
        self.set_page_commands(())
        bar.addMenu(self.tr("&Help")).addActions(self.actions.build(HELP, self))
        self.top = [each.menu() for each in bar.actions()]

    def all_actions(self) -> tuple[QAction, ...]:
        """Return every action of every menu, in reading order."""
        return tuple(action for menu in self.top for action in _leaves(menu))

    def set_project_open(self, is_open: bool) -> None:
        """Switch off what makes no sense without a project."""
        self.actions.set_project_open(is_open, COMMANDS)
        for menu in (self.pages, self.record, self.marks):
            menu.setEnabled(is_open)

    def set_page_commands(self, commands: Sequence[QAction]) -> None:
        """Offer the commands of the page in hand in the menu Marks."""
        self.marks.clear()
        self.marks.addActions(list(commands) or [self._no_marks])

    def set_recent(self, recent: Sequence[RecentProject]) -> None:
        """List the projects opened lately; one that is not there now is grey."""
        self.recent.clear()
        self.recent.setEnabled(bool(recent))
        for place, each in enumerate(recent, start=1):
            action = self.recent.addAction(f"&{place} {each.name.replace('&', '&&')}")
            action.setToolTip(str(each.path))
            action.setEnabled(each.is_there)
            action.triggered.connect(lambda _=False, path=each.path: self.recent_wanted.emit(path))

    def _undo_actions(self, group: QUndoGroup) -> list[QAction]:
        undo = group.createUndoAction(self, self.tr("&Undo"))
        redo = group.createRedoAction(self, self.tr("&Redo"))
        undo.setShortcuts(QKeySequence.StandardKey.Undo)
        redo.setShortcuts(QKeySequence.StandardKey.Redo)
        undo.setIcon(icon("undo"))
        redo.setIcon(icon("redo"))
        return [undo, redo]

    def _page_action(self, place: int) -> QAction:
        kind = PAGES[place]
        number = "&" if kind.own_key else f"&{key_of(kind)[-1]} "
        action = QAction(icon(kind.icon), f"{number}{self.tr(kind.title)}", self)
        action.setShortcut(QKeySequence(key_of(kind)))
        action.triggered.connect(lambda: self.page_wanted.emit(kind.key))
        return action


def _leaves(menu: QObject | None) -> list[QAction]:
    if not isinstance(menu, QMenu):
        return []
    found: list[QAction] = []
    for action in menu.actions():
        if action.isSeparator():
            continue
        found.extend(_leaves(action.menu()) if action.menu() is not None else [action])
    return found
