from collections import Counter
from collections.abc import Iterator

import pytest
from PySide6.QtGui import QAction, QKeySequence, QUndoGroup, QUndoStack
from PySide6.QtWidgets import QMainWindow, QMenu

from leaktrack.gui.actions import Command, key_sequences
from leaktrack.gui.menus import COMMANDS, Menus


@pytest.fixture
def menus(qtbot) -> Iterator[Menus]:
    window = QMainWindow()
    qtbot.addWidget(window)
    menus = Menus(window, QUndoGroup(window))
    menus.set_project_open(True)
    yield menus
    window.close()


def _all_menus(menus: Menus) -> list[QMenu]:
    inner = [action.menu() for menu in menus.top for action in menu.actions() if action.menu()]
    return [*menus.top, *inner]


def _mnemonic(action: QAction) -> str:
    after = action.text().replace("&&", "").partition("&")[2]
    return after[:1].casefold()


def test_the_menus_stand_in_the_usual_order(menus: Menus):
    names = [menu.title().replace("&", "") for menu in menus.top]

    assert names == ["File", "Edit", "View", "Record", "Marks", "Help"]


def test_every_menu_and_entry_can_be_reached_by_a_letter_of_its_own(menus: Menus):
    for menu in _all_menus(menus):
        letters = [_mnemonic(each) for each in menu.actions() if not each.isSeparator()]
        assert "" not in letters, menu.title()
        assert max(Counter(letters).values(), default=0) <= 1, (menu.title(), letters)

    assert len({_mnemonic(menu.menuAction()) for menu in menus.top}) == len(menus.top)


def test_every_command_stands_in_a_menu(menus: Menus):
    in_menus = {action.objectName() for action in menus.all_actions()}

    assert {command.name for command in COMMANDS if command.name} <= in_menus


def test_no_two_commands_share_a_key(menus: Menus):
    keys = [key.toString() for action in menus.all_actions() for key in action.shortcuts() if key]

    assert [key for key, count in Counter(keys).items() if count > 1] == []


def test_no_command_has_a_single_letter_as_its_key(menus: Menus):
    # WCAG 2.2, 2.1.4: single letters disturb people who speak to their computer.
    keys = [key.toString() for action in menus.all_actions() for key in action.shortcuts()]

    assert [key for key in keys if len(key) == 1] == []


def test_a_command_without_a_standard_key_here_gets_the_usual_one(monkeypatch):
    monkeypatch.setattr(QKeySequence, "keyBindings", lambda _key: [])
    command = Command("quit", "&Quit", QKeySequence.StandardKey.Quit, "Ctrl+Q")

    assert key_sequences(command) == [QKeySequence("Ctrl+Q")]


def test_all_keys_of_a_standard_command_work(menus: Menus):
    standard = QKeySequence.keyBindings(QKeySequence.StandardKey.Copy)
    command = Command("copy", "&Copy", QKeySequence.StandardKey.Copy)

    assert key_sequences(command) == standard


def test_settings_and_quit_have_keys_on_every_platform(menus: Menus):
    assert menus.actions["settings"].shortcuts() != []
    assert menus.actions["quit"].shortcuts() != []


def test_undo_and_redo_say_what_they_would_take_back(qtbot):
    window = QMainWindow()
    qtbot.addWidget(window)
    group = QUndoGroup(window)
    stack = QUndoStack(group)
    group.setActiveStack(stack)
    menus = Menus(window, group)
    stack.beginMacro("Grade leak 3")
    stack.endMacro()

    texts = [action.text().replace("&", "") for action in menus.all_actions()]
    assert "Undo Grade leak 3" in texts

    stack.undo()
    texts = [action.text().replace("&", "") for action in menus.all_actions()]
    assert "Redo Grade leak 3" in texts


def test_what_needs_a_project_is_grey_without_one(menus: Menus):
    menus.set_project_open(False)

    assert not menus.actions["add_photos"].isEnabled()
    assert menus.actions["open"].isEnabled()


def test_the_page_in_hand_fills_the_menu_marks(menus: Menus):
    command = QAction("&Add mark", menus)

    menus.set_page_commands([command])
    assert menus.marks.actions() == [command]

    menus.set_page_commands(())
    assert [each.text() for each in menus.marks.actions()] == ["&Show the page Inspect"]
