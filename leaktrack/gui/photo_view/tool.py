"""What a tool is: one gesture on a photo that ends in one value."""

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from leaktrack.model.shapes import PointPx


@dataclass(frozen=True, slots=True)
class Pointer:
    """Where the mouse, the finger or the keyboard's crosshair is.

    Attributes:
        at: In px of the upright photo.
        reach_px: Whatever is no further away than this counts as touched; in px of the photo.
        screen_px: Size of one screen px in px of the photo.
        is_shift: Shift is held.
        is_control: Control is held.
    """

    at: PointPx
    reach_px: float = 12.0
    screen_px: float = 1.0
    is_shift: bool = False
    is_control: bool = False


@dataclass(frozen=True, slots=True)
class Handle:
    """A point of a sketch that can be taken hold of.

    Attributes:
        label: Drawn beside it, such as a bolt's number.
        is_active: It is the one that keys and the next step refer to.
    """

    at: PointPx
    label: str = ""
    is_active: bool = False


@dataclass(frozen=True, slots=True)
class Sketch:
    """What a tool shows while its gesture is under way."""

    path: tuple[PointPx, ...] = ()
    is_closed: bool = False
    handles: tuple[Handle, ...] = ()


class Tool(QObject):
    """One gesture. A view passes it pointers and keys; owners listen to ``finished``."""

    finished = Signal(object)
    """The gesture is done; its value depends on the tool."""
    changed = Signal()
    """The sketch or the hint is not what it was."""

    is_drag = False
    """Whether it needs press, move and release, rather than clicks."""
    is_one_shot = True
    """Whether the view puts it away when it has finished."""

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        return ""

    @property
    def sketch(self) -> Sketch:
        """What to draw now."""
        return Sketch()

    def press(self, pointer: Pointer) -> None:
        """The button went down, or Enter was pressed at the crosshair."""

    def move(self, pointer: Pointer) -> None:
        """The pointer moved, with or without a button."""

    def release(self, pointer: Pointer) -> None:
        """The button went up."""

    def double_click(self, pointer: Pointer) -> None:
        """The button went down a second time at once."""

    def complete(self) -> bool:
        """Finish with what is there; False where that is not enough."""
        return False

    def take_back(self) -> bool:
        """Take back the last step; False where there is none."""
        return False


class PlacePointTool(Tool):
    """Click once: finishes with that PointPx."""

    def __init__(self, hint: str = "", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._hint = hint

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        return self._hint or self.tr("Click where it starts. Arrow keys and Enter do the same.")

    def press(self, pointer: Pointer) -> None:
        """Finish here."""
        self.finished.emit(pointer.at)
