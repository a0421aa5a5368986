"""The commands on marks: for the tool bar, the menu and the keys of photo and list alike."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from leaktrack.gui.look.theme import icon
from leaktrack.gui.pages.grade_buttons import grade_key
from leaktrack.gui.pages.mark_editor import MarkEditor
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.words import grade_words


@dataclass(frozen=True, slots=True)
class Command:
    """What a person can do: its words, its icon and its key."""

    text: str
    short: str
    icon: str
    key: str
    run: Callable[[], object]
    needs_selection: bool = False


def command_action(command: Command, parent: QObject) -> QAction:
    """Return the action of a command, for menu, bar and keys."""
    action = QAction(icon(command.icon), command.text, parent)
    name = command.text.replace("&", "")
    _set_key(action, command.key)
    action.setToolTip(f"{name} ({action.shortcut().toString()})")
    action.setIconText(command.short)
    action.triggered.connect(lambda _checked=False: command.run())
    return action


def _set_key(action: QAction, key: str) -> None:
    action.setShortcut(QKeySequence(key))
    action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)


class MarkCommands(QObject):
    """Single keys work only while the photo or the list of marks has the focus.

    Source:
        WCAG 2.2, 2.1.4: a key without a modifier must not act wherever the focus is.
    """

    def __init__(self, editor: MarkEditor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._editor = editor
        commands = (
            Command(self.tr("&New leak here"), self.tr("New leak"), "mark_point", "L",
                     editor.mark_new_leak),
            Command(self.tr("Draw &outline by hand"), self.tr("Outline"), "draw_freehand", "O",
                     editor.outline_freehand),
            Command(self.tr("Outline by &corners"), self.tr("Corners"), "draw_polygon", "P",
                     editor.outline_by_corners),
            Command(self.tr("&Find the outline in the picture"), self.tr("Find"), "grow", "G",
                     editor.outline_by_growing),
            Command(self.tr("&Place the source"), self.tr("Source"), "pin", "S",
                     editor.place_source, needs_selection=True),
            Command(self.tr("&Move points"), self.tr("Move"), "move", "M",
                     editor.reshape, needs_selection=True),
            Command(self.tr("&Remove mark"), self.tr("Remove"), "remove", "Del",
                     editor.remove, needs_selection=True),
        )  # fmt: skip
        self._needs_selection = [command.needs_selection for command in commands]
        self.actions = [command_action(command, self) for command in commands]
        self.grade_actions = [self._grade_action(grade) for grade in SeepageGrade]
        self.refresh()

    def attach_to(self, *widgets: QWidget) -> None:
        """Let the keys work while one of these has the focus."""
        for widget in widgets:
            widget.addActions([*self.actions, *self.grade_actions])

    def refresh(self) -> None:
        """Allow what can be done with what is shown and selected now."""
        has_selection = self._editor.mark is not None or self._editor.proposal is not None
        for action, needs_selection in zip(self.actions, self._needs_selection, strict=True):
            action.setEnabled(self._editor.can_edit and (has_selection or not needs_selection))
        for action in self.grade_actions:
            action.setEnabled(self._editor.can_edit)

    def _grade_action(self, grade: SeepageGrade) -> QAction:
        action = QAction(self.tr("Grade: %s") % grade_words(grade), self)
        _set_key(action, grade_key(grade))
        action.triggered.connect(lambda _checked=False: self._editor.grade(grade))
        return action
