"""Spare hidden pages the work of reading the records again at each edit."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QWidget


class WhenSeen(QObject):
    """Runs something at once while a widget is visible, else once when it is next shown."""

    def __init__(self, widget: QWidget, run: Callable[[], object]) -> None:
        super().__init__(widget)
        self._widget = widget
        self._run = run
        self._is_due = False
        widget.installEventFilter(self)

    def request(self) -> None:
        """Run now, or note that it is due."""
        self._is_due = not self._widget.isVisible()
        if not self._is_due:
            self._run()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Catch up when the widget is shown."""
        if watched is self._widget and event.type() == QEvent.Type.Show and self._is_due:
            self._is_due = False
            self._run()
        return super().eventFilter(watched, event)
