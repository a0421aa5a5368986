"""What a critical eye sees in a window: controls without a name, too small, or with cut text."""

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollBar,
    QTabBar,
    QToolButton,
    QWidget,
)

from leaktrack.gui.look.panels import ElidedLabel

CONTROLS = (
    QAbstractButton,
    QLineEdit,
    QComboBox,
    QAbstractSpinBox,
    QAbstractItemView,
    QAbstractSlider,
    QPlainTextEdit,
)
TO_BE_HIT = (QAbstractButton, QComboBox)


def controls(window: QWidget, kinds: tuple[type, ...] = CONTROLS) -> Iterator[QWidget]:
    """Yield the visible controls of a window, without the parts that Qt builds them from."""
    for each in window.findChildren(QWidget):
        if isinstance(each, kinds) and each.isVisible() and not _is_part(each):
            yield each


def unnamed(window: QWidget) -> list[str]:
    """Return the controls that a screen reader has no name for."""
    return [_told(each) for each in controls(window) if not _name(each)]


def too_small(window: QWidget, target_px: int) -> list[str]:
    """Return the controls that are smaller than they should be to be hit."""
    return [
        f"{_told(each)} {each.width()}x{each.height()}"
        for each in controls(window, TO_BE_HIT)
        if min(each.width(), each.height()) < target_px
    ]


def cut(window: QWidget) -> list[str]:
    """Return the labels and buttons whose text does not fit."""
    labels = [each for each in window.findChildren(QLabel) if each.isVisible() and each.text()]
    buttons = [each for each in controls(window, (QAbstractButton,)) if each.text()]
    return [
        *(_told(each) for each in labels if _is_label_cut(each)),
        *(_told(each) for each in buttons if each.width() < each.minimumSizeHint().width()),
    ]


def letters(window: QWidget) -> list[str]:
    """Return the letters that lead to a visible button or field together with Alt."""
    buttons = controls(window, (QAbstractButton,))
    labels = [each for each in window.findChildren(QLabel) if each.isVisible() and each.buddy()]
    texts = [each.text().replace("&&", "") for each in (*buttons, *labels)]
    return [text.partition("&")[2][0].casefold() for text in texts if "&" in text]


def tab_stops(window: QWidget, most: int = 400) -> list[QWidget]:
    """Return where the Tab key leads from where the keyboard is, until it comes back."""
    start = QApplication.focusWidget()
    stops = []
    for _ in range(most):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        stops.append(QApplication.focusWidget())
        if stops[-1] is start:
            break
    return stops


def _is_label_cut(label: QLabel) -> bool:
    if isinstance(label, ElidedLabel) or not label.pixmap().isNull():
        return False
    if label.wordWrap():
        return label.heightForWidth(label.width()) > label.height() + 1
    return label.sizeHint().width() > label.width() + 1


def _is_part(widget: QWidget) -> bool:
    """Return whether Qt made a widget as part of another: a field's editor, a bar's arrows."""
    parent = widget.parentWidget()
    is_in_field = isinstance(parent, QAbstractSpinBox | QComboBox | QLineEdit)
    is_arrow = isinstance(widget, QToolButton) and isinstance(parent, QTabBar)
    is_corner = isinstance(parent, QAbstractItemView) and isinstance(widget, QAbstractButton)
    return is_in_field or is_arrow or is_corner or isinstance(widget, QScrollBar)


def _name(widget: QWidget) -> str:
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name).strip()


def _told(widget: QWidget) -> str:
    text = getattr(widget, "text", lambda: "")()
    parents = []
    parent = widget.parentWidget()
    while parent is not None and len(parents) < 3:
        parents.append(type(parent).__name__)
        parent = parent.parentWidget()
    return f"{type(widget).__name__} '{text}' in {' < '.join(parents)}"
