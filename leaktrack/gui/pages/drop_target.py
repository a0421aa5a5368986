"""Let photos be dropped onto a page; while they hover, say what letting go would do."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QLabel, QWidget

from leaktrack.gui.look.theme import Tone, color
from leaktrack.gui.pages.photo_sources import offers_photos, sources_in
from leaktrack.workflows.add_photos import Source


class DropTarget(QObject):
    """Watches one widget for photos that are dragged over it.

    Args:
        widget: The page.
        sentence: Says what dropping these would do.
    """

    dropped = Signal(object)
    """These sources were dropped (tuple of Source)."""

    def __init__(self, widget: QWidget, sentence: Callable[[Sequence[Source]], str]) -> None:
        super().__init__(widget)
        self._widget = widget
        self._sentence = sentence
        self._sign = QLabel(widget)
        self._sign.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._sign.setWordWrap(True)
        self._sign.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._sign.hide()
        widget.setAcceptDrops(True)
        widget.installEventFilter(self)

    @property
    def sign_text(self) -> str:
        """What is announced at this moment; empty while nothing hovers."""
        return self._sign.text() if self._sign.isVisibleTo(self._widget) else ""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take drags of photos; let everything else pass."""
        if isinstance(event, QDragEnterEvent) and offers_photos(event.mimeData()):
            self._announce(self._sentence(sources_in(event.mimeData())))
            event.acceptProposedAction()
            return True
        if event.type() == QEvent.Type.DragLeave:
            self._sign.hide()
        elif event.type() == QEvent.Type.Drop and isinstance(event, QDropEvent):
            self._sign.hide()
            event.acceptProposedAction()
            self.dropped.emit(sources_in(event.mimeData()))
            return True
        return super().eventFilter(watched, event)

    def _announce(self, text: str) -> None:
        ground, ring, ink = color(Tone.ACCENT_SOFT), color(Tone.ACCENT), color(Tone.TEXT)
        self._sign.setStyleSheet(
            f"background: {ground.name()}; color: {ink.name()}; "
            f"border: 3px dashed {ring.name()}; font-size: 18pt;"
        )
        self._sign.setText(text)
        self._sign.setGeometry(self._widget.rect().adjusted(8, 8, -8, -8))
        self._sign.raise_()
        self._sign.show()
