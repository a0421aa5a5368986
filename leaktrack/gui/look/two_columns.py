"""Two parts of a page beside each other where there is room, else below each other."""

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QWidget

from leaktrack.gui.look.theme import GAP_L

_SIDE_CHARACTERS = 62
"""Either side needs so many characters of width to stand beside the other."""


class TwoColumns(QWidget):
    """A left part and a right part.

    Args:
        left: Stands first.
        right: Stands second.
        shares: How the width is shared where they stand beside each other.
    """

    def __init__(self, left: QWidget, right: QWidget, shares: tuple[int, int] = (1, 1)) -> None:
        super().__init__()
        self._parts = (left, right)
        self._box = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(GAP_L * 2)
        self._box.addWidget(left, shares[0])
        self._box.addWidget(right, shares[1])
        for part in self._parts:
            part.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def minimumSizeHint(self) -> QSize:
        """Return the room for one part: the other can always go below."""
        width = max(part.minimumSizeHint().width() for part in self._parts)
        return QSize(width, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the width there is."""
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        """Go below each other when the text grows."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._arrange()

    def _arrange(self) -> None:
        needed = 2 * _SIDE_CHARACTERS * self.fontMetrics().averageCharWidth()
        directions = QBoxLayout.Direction
        is_wide = self.width() >= needed
        self._box.setDirection(directions.LeftToRight if is_wide else directions.TopToBottom)
