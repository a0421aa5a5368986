"""Things in a row that go on in the next line where the row is full: nothing is ever cut."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from leaktrack.gui.look.theme import GAP_S


class FlowLayout(QLayout):
    """Lays widgets out like words in a paragraph."""

    def __init__(self, gap_px: int = GAP_S, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap_px = gap_px
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Put one more thing at the end."""
        self._items.append(item)

    def count(self) -> int:
        """Return how many things there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return one thing; None beyond the end, as Qt asks for it."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take one thing out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Take no more room than there are things."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Say that a narrower place needs a higher one."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return how high the lines are together at a width."""
        return self._arrange(QRect(0, 0, width, 0), is_moving=False)

    def setGeometry(self, rect: QRect) -> None:
        """Move everything to its place."""
        super().setGeometry(rect)
        self._arrange(rect, is_moving=True)

    def sizeHint(self) -> QSize:
        """Return room for everything in one line."""
        sizes = [item.sizeHint() for item in self._items]
        width = sum(size.width() for size in sizes) + self._gap_px * max(len(sizes) - 1, 0)
        return QSize(width, max((size.height() for size in sizes), default=0))

    def minimumSize(self) -> QSize:
        """Return room for the widest thing alone."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _arrange(self, rect: QRect, *, is_moving: bool) -> int:
        top = rect.top()
        for line in self._lines(rect.width()):
            height = max(item.sizeHint().height() for item in line)
            left = rect.left()
            for item in line:
                size = item.sizeHint()
                if is_moving:
                    # Things of different height share a middle, as words do.
                    middle = QPoint(left, top + (height - size.height()) // 2)
                    item.setGeometry(QRect(middle, size))
                left += size.width() + self._gap_px
            top += height + self._gap_px
        return max(top - self._gap_px, rect.top()) - rect.top()

    def _lines(self, width: int) -> list[list[QLayoutItem]]:
        """Return what stands in each line."""
        lines: list[list[QLayoutItem]] = []
        used = 0
        for item in self._items:
            if item.isEmpty():
                continue
            wide = item.sizeHint().width()
            if not lines or used + wide > width:
                lines.append([])
                used = 0
            lines[-1].append(item)
            used += wide + self._gap_px
        return lines
