"""Every command of the window, once: its words, its keys, its menu."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence

from leaktrack.gui.look.theme import icon

Keys = QKeySequence.StandardKey | str | None


@dataclass(frozen=True, slots=True)
class Command:
    """What a menu entry is called and does.

    Attributes:
        name: What the program calls it.
        text: What people read, with its mnemonic after an ampersand.
        keys: A standard key where there is one, so that each platform keeps its own.
        fallback: The key where a platform has no standard one.
        needs_project: Whether it is of use only while a project is open.
    """

    name: str
    text: str
    keys: Keys = None
    fallback: str = ""
    icon: str = ""
    is_checkable: bool = False
    needs_project: bool = True


SEPARATOR = Command(name="", text="")

_STANDARD = QKeySequence.StandardKey

FILE = (
    Command("new", "&New project…", _STANDARD.New, icon="new", needs_project=False),
    Command("open", "&Open project…", _STANDARD.Open, icon="open", needs_project=False),
    Command("demo", "Open the &demo engine", icon="demo", needs_project=False),
    SEPARATOR,
    Command("add_photos", "&Add photos…", "Ctrl+Shift+A", icon="add_photo"),
    Command("write_report", "Write &report…", "Ctrl+Shift+R", icon="report"),
    Command("check_project", "C&heck the project's files", icon="check"),
    SEPARATOR,
    Command(
        "settings", "&Settings…", _STANDARD.Preferences, "Ctrl+,", "settings", needs_project=False
    ),
    Command("close_project", "&Close project", _STANDARD.Close, "Ctrl+W", "close"),
    Command("quit", "&Quit", _STANDARD.Quit, "Ctrl+Q", "quit", needs_project=False),
)

EDIT = (
    SEPARATOR,
    Command("paste_photo", "&Paste photo", _STANDARD.Paste, icon="paste"),
    Command("filter_logbook", "&Filter the logbook", _STANDARD.Find, icon="filter"),
)

VIEW_PANELS = (
    Command("next_panel", "Next &panel", "F6"),
    Command("previous_panel", "Pre&vious panel", "Shift+F6"),
    SEPARATOR,
    Command("compare_before", "&Compare with the inspection before", "Ctrl+K", icon="compare"),
    Command("next_zone", "Next &zone", "Ctrl+PgDown", icon="next"),
    Command("previous_zone", "Previous z&one", "Ctrl+PgUp", icon="previous"),
    SEPARATOR,
    Command("show_logbook", "Show the &logbook", "Ctrl+Shift+1", is_checkable=True),
    Command("show_sheet", "Show the engine s&heet", "Ctrl+Shift+2", is_checkable=True),
    Command("show_strip", "Show the &joint strip", "Ctrl+Shift+3", is_checkable=True),
    SEPARATOR,
    Command("larger_text", "La&rger text", _STANDARD.ZoomIn, needs_project=False),
    Command("smaller_text", "S&maller text", _STANDARD.ZoomOut, needs_project=False),
    Command(
        "gloves", "Gloves mo&de", "Ctrl+G", icon="gloves", is_checkable=True, needs_project=False
    ),
    Command(
        "full_screen",
        "&Full screen",
        _STANDARD.FullScreen,
        "F11",
        "full_screen",
        is_checkable=True,
        needs_project=False,
    ),
    Command("reset_layout", "Reset la&yout", icon="reset_layout"),
)

RECORD = (
    Command("record_sealing_job", "&Sealing job…", "Ctrl+Shift+S", icon="sealing_job"),
    Command("record_test_run", "&Test run…", "Ctrl+Shift+T", icon="test_run"),
    Command("record_inspection", "&Inspection…", "Ctrl+Shift+I", icon="inspection"),
    Command("record_check", "&Check…", "Ctrl+Shift+C", icon="check"),
)

HELP = (
    Command("manual", "&Manual", _STANDARD.HelpContents, "F1", "help", needs_project=False),
    Command("shortcuts", "&Keyboard shortcuts", "Ctrl+?", icon="keyboard", needs_project=False),
    Command("whats_new", "&What is new", needs_project=False),
    SEPARATOR,
    Command("diagnostics", "&Copy diagnostics", icon="copy", needs_project=False),
    Command("log", "Show the &log file", icon="note", needs_project=False),
    Command("about", "&About leaktrack", needs_project=False),
)


@dataclass(frozen=True)
class ActionTable:
    """The window's actions by name."""

    by_name: dict[str, QAction] = field(default_factory=dict)

    def __getitem__(self, name: str) -> QAction:
        return self.by_name[name]

    def build(self, commands: Sequence[Command], parent: QObject) -> list[QAction]:
        """Make the actions of one menu, separators included, in order."""
        return [self._action(command, parent) for command in commands]

    def set_project_open(self, is_open: bool, commands: Sequence[Command]) -> None:
        """Switch off what makes no sense without a project."""
        for command in commands:
            if command is not SEPARATOR and command.needs_project:
                self.by_name[command.name].setEnabled(is_open)

    def _action(self, command: Command, parent: QObject) -> QAction:
        action = QAction(parent.tr(command.text), parent)
        if command is SEPARATOR:
            action.setSeparator(True)
            return action
        action.setObjectName(command.name)
        action.setCheckable(command.is_checkable)
        if command.icon:
            action.setIcon(icon(command.icon))
        if sequences := key_sequences(command):
            action.setShortcuts(sequences)
            keys = sequences[0].toString(QKeySequence.SequenceFormat.NativeText)
            action.setToolTip(f"{action.text().replace('&', '')} ({keys})")
        self.by_name[command.name] = action
        return action


def key_sequences(command: Command) -> list[QKeySequence]:
    """Return a command's keys on this platform; the fallback where it has none of its own."""
    if command.keys is None:
        return []
    if isinstance(command.keys, str):
        return [QKeySequence(command.keys)]
    bound = [each for each in QKeySequence.keyBindings(command.keys) if not each.isEmpty()]
    fallback = [QKeySequence(command.fallback)] if command.fallback else []
    return bound or fallback
