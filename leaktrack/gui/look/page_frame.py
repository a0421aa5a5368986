"""The frame around a page: gives it all the room there is, and scrolls where that is too little."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget


class PageFrame(QScrollArea):
    """Keeps large text in a page from enlarging the window.

    Qt's own way of resizing a scrolled widget takes the height that the widget would like for its
    width, not the least that it needs: a page with lists in it would then scroll twice.
    """

    def __init__(self, page: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # its page has the stops of the Tab key
        self._page = page
        self.setWidget(page)
        page.installEventFilter(self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the page the new room."""
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow a page that needs another size now."""
        if watched is self._page and event.type() is QEvent.Type.LayoutRequest:
            self._fit()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        page = self._page
        room = self.maximumViewportSize()
        # Not the height for this width: that counts hidden layers and the wishes of lists.
        least = page.minimumSizeHint()
        width, height = max(room.width(), least.width()), max(room.height(), least.height())
        if height > room.height():
            width = max(room.width() - self.verticalScrollBar().sizeHint().width(), least.width())
        page.resize(width, height)
