"""Three ways to draw the edge of a wet area; each finishes with its Outline."""

from collections.abc import Callable

from PySide6.QtCore import QObject

from leaktrack.gui.photo_view.simplifying import simplified
from leaktrack.gui.photo_view.tool import Handle, Pointer, Sketch, Tool
from leaktrack.model.shapes import Outline, PointPx

_STEP_PX = 2.0
"""Freehand points nearer than so many screen px to the last one are left out."""


class FreehandTool(Tool):
    """Press, draw around the wet area, let go."""

    is_drag = True

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._points: list[PointPx] = []

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        return self.tr("Draw around the wet area with the button held.")

    @property
    def sketch(self) -> Sketch:
        """The line so far."""
        return Sketch(tuple(self._points), is_closed=len(self._points) > 2)

    def press(self, pointer: Pointer) -> None:
        """Begin the line."""
        self._points = [pointer.at]
        self.changed.emit()

    def move(self, pointer: Pointer) -> None:
        """Draw on."""
        far_enough = _STEP_PX * pointer.screen_px
        if self._points and self._points[-1].distance_px(pointer.at) >= far_enough:
            self._points.append(pointer.at)
            self.changed.emit()

    def release(self, pointer: Pointer) -> None:
        """Close the line. Something too small to be an area starts over."""
        points = simplified(self._points, pointer.screen_px)
        self._points = []
        self.changed.emit()
        if len(points) > 2:
            self.finished.emit(points)


class PolygonTool(Tool):
    """Click corner by corner; Enter, a double-click or a click on the first corner closes."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._corners: list[PointPx] = []
        self._pointer: PointPx | None = None

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        if len(self._corners) < 3:
            return self.tr("Click the corners of the wet area. Backspace removes the last one.")
        return self.tr("Click the next corner, or press Enter to close the outline.")

    @property
    def sketch(self) -> Sketch:
        """The corners so far, with the line to the pointer."""
        loose = (self._pointer,) if self._pointer and self._corners else ()
        last = len(self._corners) - 1
        handles = tuple(
            Handle(corner, is_active=index == last) for index, corner in enumerate(self._corners)
        )
        path = (*self._corners, *loose)
        return Sketch(path, is_closed=len(path) > 2, handles=handles)

    def press(self, pointer: Pointer) -> None:
        """Add a corner here, or close if this is the first one."""
        if len(self._corners) > 2 and self._corners[0].distance_px(pointer.at) < pointer.reach_px:
            self.complete()
            return
        self._corners.append(pointer.at)
        self.changed.emit()

    def move(self, pointer: Pointer) -> None:
        """Let the loose end follow."""
        self._pointer = pointer.at
        self.changed.emit()

    def double_click(self, pointer: Pointer) -> None:  # noqa: ARG002 - the first click set it
        """Close: the first of the two clicks has set the last corner."""
        self.complete()

    def complete(self) -> bool:
        """Close the outline; needs three corners."""
        if len(self._corners) < 3:
            return False
        corners, self._corners = tuple(self._corners), []
        self.changed.emit()
        self.finished.emit(corners)
        return True

    def take_back(self) -> bool:
        """Remove the last corner."""
        if not self._corners:
            return False
        self._corners.pop()
        self.changed.emit()
        return True


class GrowTool(Tool):
    """Click into the wet area: its outline is found in the picture.

    Args:
        grow: Called with the place and with what to call when the outline is there, or with
            nothing when the search failed.
    """

    def __init__(
        self,
        grow: Callable[[PointPx, Callable[[Outline], None]], object],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._grow = grow
        self._is_waiting = False

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        if self._is_waiting:
            return self.tr("Looking for the edge of the wet area …")
        return self.tr("Click into the wet area; its edge is searched for in the picture.")

    def press(self, pointer: Pointer) -> None:
        """Look for the edge around this place."""
        if self._is_waiting:
            return
        self._is_waiting = True
        self.changed.emit()
        self._grow(pointer.at, self._on_grown)

    def _on_grown(self, outline: Outline) -> None:
        self._is_waiting = False
        self.changed.emit()
        if len(outline) > 2:
            self.finished.emit(outline)
