"""Somebody at the window: finds things by the name that is read out, clicks, and types."""

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QMimeData, QModelIndex, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QAccessible, QAction, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QMenu,
    QWidget,
)

from leaktrack.gui.main_window import MainWindow
from leaktrack.gui.photo_view import PhotoView

W = TypeVar("W", bound=QWidget)
WAIT_MS = 20_000


class Person:
    """Uses the window as people do: no method of a page is called, only widgets are touched.

    Args:
        window: The main window, or a dialog of it.
        qtbot: Waits for what the window does in the background.
        place: Part of the window to look in; None: all of it.
    """

    def __init__(self, window: QWidget, qtbot, place: QWidget | None = None) -> None:
        self.window = window
        self._place = place or window
        self._qtbot = qtbot

    def on(self, page: str) -> "Person":
        """Look only at the page of this name: panels may have parts of the same name."""
        return Person(self.window, self._qtbot, self.find(QWidget, page))

    def find(self, kind: type[W], name: str) -> W:
        """Return the widget of that name as soon as it can be seen."""
        try:
            self.wait(lambda: name in self.names(kind))
        except self._qtbot.TimeoutError:
            raise AssertionError(f"'{name}' is not among {sorted(self.names(kind))}") from None
        return next(each for each in _visible(self._place, kind) if _name(each) == name)

    def names(self, kind: type[QWidget]) -> list[str]:
        """Return the names of what can be seen now."""
        return [_name(each) for each in _visible(self._place, kind)]

    def wait(self, is_so: Callable[[], object]) -> None:
        """Wait until something is so."""
        self._qtbot.waitUntil(lambda: bool(is_so()), timeout=WAIT_MS)
        self._take_keyboard()

    def _take_keyboard(self) -> None:
        # The offscreen screen gives the keyboard to nobody once a dialog is gone.
        if QApplication.activeWindow() is not self.window:
            self.window.activateWindow()
            self._qtbot.waitUntil(self.window.isActiveWindow)

    def click(self, name: str) -> None:
        """Click the button of that name."""
        button = self.find(QAbstractButton, name)
        assert button.isEnabled(), f"'{name}' is grey"
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)

    def type_in(self, name: str, text: str) -> None:
        """Replace what the line of that name holds and press Enter."""
        self.type_into(self.find(QLineEdit, name), text)

    def type_into(self, line: QLineEdit, text: str) -> None:
        """Replace what a line holds and press Enter."""
        line.setFocus()
        line.selectAll()
        QTest.keyClick(line, Qt.Key.Key_Delete)
        QTest.keyClicks(line, text)
        QTest.keyClick(line, Qt.Key.Key_Return)

    def type_here(self, text: str) -> None:
        """Type where the keyboard is, and press Enter."""
        line = QApplication.focusWidget()
        assert isinstance(line, QLineEdit), line
        QTest.keyClicks(line, text)
        QTest.keyClick(line, Qt.Key.Key_Return)

    def choose(self, name: str, text: str) -> None:
        """Open the list of that name by the arrow key, go to a text and press Enter."""
        box = self.find(QComboBox, name)
        offered = [box.itemText(row) for row in range(box.count())]
        assert text in offered, f"'{text}' is not among {offered}"
        box.setFocus()
        QTest.keyClick(box, Qt.Key.Key_Down)
        QTest.keyClick(box.view(), Qt.Key.Key_Home)
        for _ in range(box.count()):
            if box.view().currentIndex().data() == text:
                break
            QTest.keyClick(box.view(), Qt.Key.Key_Down)
        assert box.view().currentIndex().data() == text
        QTest.keyClick(box.view(), Qt.Key.Key_Return)

    def click_row(self, view: QAbstractItemView, text: str) -> None:
        """Click the row of a list, a grid or a tree that says this, once it is there."""
        try:
            self.wait(lambda: any(text in str(index.data()) for index in _indexes(view)))
        except self._qtbot.TimeoutError:
            said = [index.data() for index in _indexes(view)]
            raise AssertionError(f"'{text}' is not among {said}") from None
        index = next(each for each in _indexes(view) if text in str(each.data()))
        view.scrollTo(index)
        place = view.visualRect(index).center()
        QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)

    def press(self, keys: str) -> None:
        """Press keys, such as "Ctrl+Z", where the keyboard is."""
        self._take_keyboard()
        QTest.keySequence(QApplication.focusWidget() or self.window, QKeySequence(keys))

    def menu(self, *path: str) -> None:
        """Choose an entry of the menu bar, such as ("Record", "Test run…")."""
        assert isinstance(self.window, MainWindow)
        entries: Iterable[QAction] = self.window.menuBar().actions()
        for name in path[:-1]:
            menu = _entry(entries, name).menu()
            assert isinstance(menu, QMenu)
            entries = menu.actions()
        action = _entry(entries, path[-1])
        assert action.isEnabled(), f"{path} is grey"
        action.trigger()

    def answer_dialog(self, ask: Callable[[], None], answer: Callable[["Person"], None]) -> None:
        """Do what opens a dialog, and answer it once it is there."""

        def when_it_is_there() -> None:
            dialog = QApplication.activeModalWidget()
            assert isinstance(dialog, QDialog)
            answer(Person(dialog, self._qtbot))

        QTimer.singleShot(200, when_it_is_there)
        ask()

    def copy_files(self, *files: Path) -> None:
        """Copy files as a file browser does."""
        mime = QMimeData()
        mime.setUrls([QUrl.fromLocalFile(str(file)) for file in files])
        QApplication.clipboard().setMimeData(mime)

    def click_photo(self, view: PhotoView, x: float, y: float) -> None:
        """Click a place of a photo.

        Args:
            view: Shows the photo.
            x: Of the photo, pixels.
            y: Of the photo, pixels.
        """
        place = view.viewportTransform().map(QPointF(x, y)).toPoint()
        assert view.viewport().rect().contains(place), f"{place} is not shown"
        QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)


def _indexes(view: QAbstractItemView, below: QModelIndex | None = None) -> Iterator[QModelIndex]:
    """Yield all rows of a view, what is below a row after it."""
    model, parent = view.model(), below or QModelIndex()
    for row in range(model.rowCount(parent)):
        index = model.index(row, 0, parent)
        yield index
        yield from _indexes(view, index)


def _entry(entries: Iterable[QAction], name: str) -> QAction:
    by_name = {each.text().replace("&", ""): each for each in entries}
    assert name in by_name, f"'{name}' is not among {sorted(by_name)}"
    return by_name[name]


def _visible(window: QWidget, kind: type[W]) -> Iterator[W]:
    return (each for each in window.findChildren(kind) if each.isVisible())


def _name(widget: QWidget) -> str:
    """Return what a screen reader calls a widget; labels of lists are told as relations."""
    interface = QAccessible.queryAccessibleInterface(widget)
    labels = [other for other, _kind in interface.relations(QAccessible.RelationFlag.Label)]
    told = labels[0] if isinstance(widget, QComboBox) and labels else interface
    name = widget.accessibleName() or told.text(QAccessible.Text.Name)
    return name.replace("&", "").strip()
