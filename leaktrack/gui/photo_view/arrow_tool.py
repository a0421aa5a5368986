"""Click where an arrow begins, then where it points to."""

from PySide6.QtCore import QObject

from leaktrack.gui.photo_view.length_tool import LengthTool


class ArrowTool(LengthTool):
    """Two clicks as for a length; finishes with both PointPx, the beginning first."""

    def __init__(self, first_hint: str, then_hint: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._first_hint = first_hint
        self._then_hint = then_hint

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        return self._first_hint if not self.sketch.path else self._then_hint
