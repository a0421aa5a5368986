"""Fill in forms as a person does: by keys and clicks."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton

from leaktrack.gui.forms.choice_fields import ChoiceField
from leaktrack.gui.forms.fields import TextField


def type_in(field: TextField, text: str) -> None:
    """Replace what a field holds and press Enter."""
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClick(field.line, Qt.Key.Key_Delete)
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def choose(field: ChoiceField, text: str) -> None:
    """Open a drop-down list with the arrow key, go to a text and press Enter."""
    field.box.setFocus()
    QTest.keyClick(field.box, Qt.Key.Key_Down)
    QTest.keyClick(field.box.view(), Qt.Key.Key_Home)
    for _ in range(field.box.count()):
        if field.box.view().currentIndex().data() == text:
            break
        QTest.keyClick(field.box.view(), Qt.Key.Key_Down)
    assert field.box.view().currentIndex().data() == text
    QTest.keyClick(field.box.view(), Qt.Key.Key_Return)


def click(button: QAbstractButton) -> None:
    """Click a button."""
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def press(widget: object, key: Qt.Key) -> None:
    """Press a key."""
    QTest.keyClick(widget, key)
