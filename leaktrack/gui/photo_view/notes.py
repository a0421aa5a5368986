"""Short texts over a photo view: what to do next, and why there is no picture."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QWidget

from leaktrack.gui.look.theme import GAP, Tone, color


class ViewNote(QLabel):
    """A line of text over a view; hidden while it has nothing to say."""

    def __init__(self, parent: QWidget, *, is_central: bool) -> None:
        super().__init__(parent)
        self._view = parent
        self._is_central = is_central
        self.setWordWrap(True)
        self.setMargin(GAP)
        self.setAutoFillBackground(True)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        if is_central:
            self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.hide()

    def say(self, text: str) -> None:
        """Show this text; an empty one hides the note."""
        self.setText(text)
        self.setVisible(bool(text))
        if text:
            self._recolor()
            self.place()

    def place(self) -> None:
        """Take the place in the view that fits its present size."""
        if not self.text():
            return
        view = self._view
        room = QSize(view.width() - 2 * GAP, view.height() - 2 * GAP)
        width = min(room.width(), self._text_width())
        self.resize(width, max(0, self.heightForWidth(width)))
        left = (view.width() - width) // 2
        top = (view.height() - self.height()) // 2
        self.move(left, top if self._is_central else room.height() + GAP - self.height())

    def _text_width(self) -> int:
        lines = self.text().splitlines()
        widest = max(self.fontMetrics().horizontalAdvance(line) for line in lines)
        return widest + 2 * GAP + 4

    def _recolor(self) -> None:
        palette = self.palette()
        palette.setColor(self.backgroundRole(), color(Tone.BASE))
        palette.setColor(self.foregroundRole(), color(Tone.TEXT))
        self.setPalette(palette)
