"""From mouse and keys to tools: who gets a press, and where on the photo it is."""

from PySide6.QtCore import QObject, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QGraphicsScene, QGraphicsView

from leaktrack.gui.look.theme import target_size
from leaktrack.gui.photo_view.keyboard import Crosshair
from leaktrack.gui.photo_view.sketch_item import CrosshairItem, SketchItem
from leaktrack.gui.photo_view.tool import Pointer, Tool
from leaktrack.model.shapes import PointPx
from leaktrack.settings import Settings


class Pointing(QObject):
    """Passes what the mouse and the keyboard do on one view to the tool in hand.

    Without a tool a press is a click if it stays in place, and a pan if it moves.
    """

    tool_changed = Signal(object)
    hint_changed = Signal(str)
    clicked = Signal(object, float)
    """Clicked with no tool in hand: PointPx, and the reach around it in px of the photo."""

    def __init__(self, view: QGraphicsView, scene: QGraphicsScene, settings: Settings) -> None:
        super().__init__(view)
        self._view = view
        self._settings = settings
        self._sketch = SketchItem()
        crosshair = CrosshairItem()
        scene.addItem(self._sketch)
        scene.addItem(crosshair)
        self._crosshair = Crosshair(crosshair)
        self._screen_px = 1.0
        self._is_space_down = False
        self._pressed_at: QPoint | None = None
        self._last_at: QPoint | None = None
        self._is_panning = False
        self.tool: Tool | None = None

    def set_tool(self, tool: Tool | None) -> None:
        """Take a tool in hand, or put it away."""
        if tool is self.tool:
            return
        if self.tool is not None:
            self.tool.changed.disconnect(self._on_tool_drew)
            self.tool.finished.disconnect(self._on_tool_finished)
        self.tool = tool
        self._crosshair.put_away()
        if tool is not None:
            tool.changed.connect(self._on_tool_drew)
            tool.finished.connect(self._on_tool_finished)
        self._on_tool_drew()
        self.tool_changed.emit(tool)

    def set_screen_px(self, screen_px: float) -> None:
        """Follow the zoom: how large a screen px is in px of the photo."""
        self._screen_px = screen_px
        self._draw_sketch()

    def press(self, event: QMouseEvent) -> None:
        """A button went down."""
        is_left = event.button() == Qt.MouseButton.LeftButton
        is_middle = event.button() == Qt.MouseButton.MiddleButton
        if self.tool is not None and is_left and not self._is_space_down:
            self._crosshair.put_away()
            self.tool.press(self._pointer(event))
        elif is_left or is_middle:
            self._pressed_at = self._last_at = event.position().toPoint()
            self._is_panning = is_middle or self._is_space_down

    def move(self, event: QMouseEvent) -> QPoint:
        """The mouse moved; return by how much the photo is to move along."""
        here = event.position().toPoint()
        if self._pressed_at is None or self._last_at is None:
            if self.tool is not None and not self._crosshair.is_shown:
                self.tool.move(self._pointer(event))
            return QPoint()
        far = QApplication.startDragDistance()
        self._is_panning |= (here - self._pressed_at).manhattanLength() >= far
        if not self._is_panning:
            return QPoint()
        delta, self._last_at = here - self._last_at, here
        return delta

    def release(self, event: QMouseEvent) -> None:
        """A button went up."""
        if self._pressed_at is not None:
            is_click = not self._is_panning and self.tool is None
            self._pressed_at, self._is_panning = None, False
            if is_click:
                self.clicked.emit(self._photo_point(event.position()), self._reach_px)
        elif self.tool is not None and event.button() == Qt.MouseButton.LeftButton:
            self.tool.release(self._pointer(event))

    def double_click(self, event: QMouseEvent) -> None:
        """A button went down a second time at once; without a tool that is one more press."""
        if self.tool is not None and event.button() == Qt.MouseButton.LeftButton:
            self.tool.double_click(self._pointer(event))
        else:
            self.press(event)

    def key_press(self, event: QKeyEvent) -> bool:
        """Take a key; False where it means nothing to a tool."""
        if event.key() == Qt.Key.Key_Space:
            self._is_space_down = True
            return True
        if self.tool is None:
            return False
        if event.key() == Qt.Key.Key_Escape:
            self.set_tool(None)
            return True
        pointer = Pointer(self._crosshair.at, self._reach_px, self._screen_px)
        middle = self._view.mapToScene(self._view.viewport().rect().center())
        is_taken = self._crosshair.key(event, self.tool, pointer, middle)
        if is_taken and self._crosshair.is_shown:
            self._view.ensureVisible(self._crosshair.at.x, self._crosshair.at.y, 1, 1, 24, 24)
        return is_taken

    def key_release(self, event: QKeyEvent) -> None:
        """Notice that space is up again."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._is_space_down = False

    def forget_keys(self) -> None:
        """Treat held keys as up: the keyboard speaks to somebody else now."""
        self._is_space_down = False

    @property
    def _reach_px(self) -> float:
        return target_size(self._settings) / 2 * self._screen_px

    def _photo_point(self, position: QPointF) -> PointPx:
        # Half a pixel on: the hand points at the middle of a screen pixel, not at its corner.
        middle = position + QPointF(0.5, 0.5)
        at = self._view.viewportTransform().inverted()[0].map(middle)
        return PointPx(at.x(), at.y())

    def _pointer(self, event: QMouseEvent) -> Pointer:
        modifiers = event.modifiers()
        return Pointer(
            self._photo_point(event.position()),
            self._reach_px,
            self._screen_px,
            is_shift=bool(modifiers & Qt.KeyboardModifier.ShiftModifier),
            is_control=bool(modifiers & Qt.KeyboardModifier.ControlModifier),
        )

    def _on_tool_drew(self) -> None:
        self._draw_sketch()
        self.hint_changed.emit(self.tool.hint if self.tool is not None else "")

    def _draw_sketch(self) -> None:
        if self.tool is not None:
            self._sketch.show_sketch(self.tool.sketch, self._screen_px)
        self._sketch.setVisible(self.tool is not None)

    def _on_tool_finished(self) -> None:
        # Whoever listens to the tool has heard it first and may have taken another tool by now.
        if self.tool is not None and self.sender() is self.tool and self.tool.is_one_shot:
            self.set_tool(None)
