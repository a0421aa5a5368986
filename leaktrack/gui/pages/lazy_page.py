"""A page that reads the records when it is looked at, not while another page is shown."""

from PySide6.QtCore import QEvent
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from leaktrack.gui.look.panels import EmptyState
from leaktrack.gui.session import Session

_LEAST_LINES = 16


class LazyPage(QWidget):
    """A stack of the page's content and its empty states; subclasses say what to read."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._is_stale = True
        self._empty: dict[str, int] = {}
        self._content: QWidget | None = None
        self.stack = QStackedWidget()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.stack)

    def set_content(self, content: QWidget) -> None:
        """Show this where there is something to show."""
        self._content = content
        self.stack.insertWidget(0, content)
        self._set_least_height()

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for the same number of lines when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_least_height()

    def _set_least_height(self) -> None:
        # Wrapped texts ask for the height that they would need if they were one word wide.
        if self._content is not None:
            self._content.setMinimumHeight(_LEAST_LINES * self.fontMetrics().height())

    def add_empty_state(self, key: str, empty: EmptyState) -> None:
        """Keep what to show where there is nothing, under a name."""
        self._empty[key] = self.stack.addWidget(empty)

    def show_content(self) -> None:
        """Show the content."""
        self.stack.setCurrentIndex(0)

    def show_empty_state(self, key: str) -> None:
        """Show an empty state in its place."""
        self.stack.setCurrentIndex(self._empty[key])

    def listen(self) -> None:
        """Follow the records and what is in hand from now on."""
        self.session.records_changed.connect(self.renew)
        self.session.picked.connect(self.renew)

    def renew(self) -> None:
        """Read again now if somebody looks, else when somebody does."""
        self._is_stale = True
        if self.isVisible():
            self._catch_up()

    def reload(self) -> None:
        """Read the records and show them."""
        raise NotImplementedError

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while another page was shown."""
        super().showEvent(event)
        if self._is_stale:
            self._catch_up()

    def _catch_up(self) -> None:
        self._is_stale = False
        self.reload()
