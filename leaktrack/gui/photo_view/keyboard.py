"""Do with keys what the mouse does: a crosshair that arrows move and Enter presses."""

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent

from leaktrack.gui.photo_view.sketch_item import CrosshairItem
from leaktrack.gui.photo_view.tool import Pointer, Tool
from leaktrack.model.shapes import PointPx

FINE_PX, COARSE_PX = 1, 10
"""Screen px per arrow key, without and with Shift."""

ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_TAKE_BACK = (Qt.Key.Key_Backspace, Qt.Key.Key_Delete)


class Crosshair:
    """The keyboard's pointer over one photo, for the tool in hand.

    Enter presses where the crosshair has moved to. Pressed again at the same place, it completes
    the gesture: the keyboard's way to close an outline or to end a line.
    """

    def __init__(self, item: CrosshairItem) -> None:
        self._item = item
        self._has_moved = False
        self._is_down = False

    @property
    def is_shown(self) -> bool:
        """Whether the keyboard is pointing at something."""
        return self._item.isVisible()

    @property
    def at(self) -> PointPx:
        """Where it is, in px of the upright photo."""
        return PointPx(self._item.pos().x(), self._item.pos().y())

    def put_away(self) -> None:
        """Hide it, since the mouse points now or there is no tool."""
        self._item.hide()
        self._has_moved = self._is_down = False

    def key(self, event: QKeyEvent, tool: Tool, pointer: Pointer, start: QPointF) -> bool:
        """Take a key; False where it means nothing here.

        Args:
            event: The key.
            tool: The tool in hand.
            pointer: Reach and screen px at the present zoom.
            start: Where the crosshair appears, if it has to.
        """
        key = Qt.Key(event.key())
        if key in ARROWS:
            self._move(key, event, tool, pointer, start)
            return True
        if key in _ENTER:
            return self._enter(event, tool, pointer)
        return key in _TAKE_BACK and tool.take_back()

    def _move(
        self, key: Qt.Key, event: QKeyEvent, tool: Tool, pointer: Pointer, start: QPointF
    ) -> None:
        if not self.is_shown:
            self._item.setPos(start)
            self._item.show()
        is_coarse = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        step = (COARSE_PX if is_coarse else FINE_PX) * pointer.screen_px
        dx, dy = ARROWS[key]
        self._item.moveBy(dx * step, dy * step)
        self._has_moved = True
        tool.move(self._pointer(pointer))

    def _enter(self, event: QKeyEvent, tool: Tool, pointer: Pointer) -> bool:
        here = self._pointer(pointer, event.modifiers())
        if not self.is_shown or not (self._has_moved or self._is_down):
            return tool.complete()
        self._has_moved = False
        if tool.is_drag:
            self._is_down = not self._is_down
            (tool.press if self._is_down else tool.release)(here)
        else:
            tool.press(here)
            tool.release(here)
        return True

    def _pointer(
        self,
        pointer: Pointer,
        modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
    ) -> Pointer:
        return Pointer(
            self.at,
            pointer.reach_px,
            pointer.screen_px,
            is_shift=bool(modifiers & Qt.KeyboardModifier.ShiftModifier),
            is_control=bool(modifiers & Qt.KeyboardModifier.ControlModifier),
        )
