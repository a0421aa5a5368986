"""A button that stays pressed, with room for its bold text then."""

from collections.abc import Callable

from PySide6.QtCore import QSize
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP_S, icon


class ToggleButton(QPushButton):
    """Is bold while it is pressed; its width is the same in both states."""

    def __init__(
        self,
        text: str,
        icon_name: str,
        on_click: Callable[[], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(text, parent)
        self.setCheckable(True)
        self.setIcon(icon(icon_name))
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text.replace("&", ""))
        self.clicked.connect(lambda _checked=False: on_click())

    def sizeHint(self) -> QSize:
        """Return room for the bold text."""
        return super().sizeHint() + QSize(self._bold_extra_px(), 0)

    def minimumSizeHint(self) -> QSize:
        """Return the same room: the text is never cut."""
        return self.sizeHint()

    def _bold_extra_px(self) -> int:
        bold = QFont(self.font())
        bold.setBold(True)
        text = self.text().replace("&", "")
        wide, plain = QFontMetrics(bold), self.fontMetrics()
        return max(0, wide.horizontalAdvance(text) - plain.horizontalAdvance(text)) + GAP_S
