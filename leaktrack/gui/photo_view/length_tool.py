"""Click the two ends of something whose length is known."""

from PySide6.QtCore import QObject

from leaktrack.gui.photo_view.tool import Handle, Pointer, Sketch, Tool
from leaktrack.model.shapes import PointPx


class LengthTool(Tool):
    """Click one end, then the other. Finishes with both PointPx; Backspace takes the first back."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._start: PointPx | None = None
        self._pointer: PointPx | None = None

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        if self._start is None:
            return self.tr("Click one end of a length that you know, such as a part or a ruler.")
        return self.tr("Click its other end.")

    @property
    def sketch(self) -> Sketch:
        """The line from the first end to the pointer."""
        if self._start is None:
            return Sketch()
        loose = (self._pointer,) if self._pointer else ()
        return Sketch((self._start, *loose), handles=(Handle(self._start, is_active=True),))

    def press(self, pointer: Pointer) -> None:
        """Set an end here; a second click on the first end counts for nothing."""
        if self._start is None:
            self._start = self._pointer = pointer.at
            self.changed.emit()
            return
        if self._start.distance_px(pointer.at) <= pointer.screen_px:
            return
        start, self._start = self._start, None
        self.changed.emit()
        self.finished.emit((start, pointer.at))

    def move(self, pointer: Pointer) -> None:
        """Let the loose end follow."""
        self._pointer = pointer.at
        self.changed.emit()

    def take_back(self) -> bool:
        """Take the first end back."""
        if self._start is None:
            return False
        self._start = None
        self.changed.emit()
        return True
