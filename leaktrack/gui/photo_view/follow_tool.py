"""Click on a bead here and there, and let it be followed in between."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from leaktrack.gui.photo_view.tool import Handle, Pointer, Sketch, Tool
from leaktrack.model.shapes import PointPx, nearest_on_path

_LEAST_CLICKS = 2


class FollowTool(Tool):
    """Click where the bead begins and where it ends; finishes with the path in between.

    Where the path that is proposed goes astray, a click on the bead there leads it back; Shift and
    click goes on from the end. Backspace takes the last click back, Enter accepts the path.
    """

    asked = Signal(object)
    """Follow the bead over these places, a tuple of PointPx."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clicks: list[PointPx] = []
        self._order: list[PointPx] = []
        self._path: tuple[PointPx, ...] = ()
        self._is_waiting = False

    @property
    def clicks(self) -> tuple[PointPx, ...]:
        """The places clicked, in their order along the bead."""
        return tuple(self._clicks)

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        if not self._clicks:
            return self.tr("Click the bead where it begins.")
        if len(self._clicks) < _LEAST_CLICKS:
            return self.tr("Click the bead where it ends.")
        if self._is_waiting:
            return self.tr("Following the bead…")
        if not self._path:
            return self.tr("The bead was not followed. Backspace takes the last click back.")
        return self.tr(
            "Enter measures along this path. Where it leaves the bead, click the bead there; "
            "Escape stops."
        )

    @property
    def sketch(self) -> Sketch:
        """The path as proposed, or the clicks alone."""
        last = self._order[-1] if self._order else None
        handles = tuple(Handle(at, is_active=at is last) for at in self._clicks)
        return Sketch(self._path or tuple(self._clicks), handles=handles)

    def show_path(self, clicks: tuple[PointPx, ...], path: Sequence[PointPx]) -> None:
        """Propose a path; one that was found for other clicks counts no more."""
        if clicks != self.clicks:
            return
        self._path, self._is_waiting = tuple(path), False
        self.changed.emit()

    def press(self, pointer: Pointer) -> None:
        """Add a place: the end, or between the two that it lies between."""
        near = [at for at in self._clicks if at.distance_px(pointer.at) <= pointer.screen_px]
        if near:  # the second half of a double-click
            return
        self._clicks.insert(self._place_of(pointer), pointer.at)
        self._order.append(pointer.at)
        self._ask()

    def complete(self) -> bool:
        """Accept the path."""
        if not self._path or self._is_waiting:
            return False
        self.finished.emit(self._path)
        return True

    def take_back(self) -> bool:
        """Take the last click back."""
        if not self._order:
            return False
        self._clicks.remove(self._order.pop())
        self._ask()
        return True

    def _place_of(self, pointer: Pointer) -> int:
        if len(self._clicks) < _LEAST_CLICKS or pointer.is_shift or not self._path:
            return len(self._clicks)
        # Along the path, not along the clicks: between two of them a bead may turn back.
        path = self._path
        here = nearest_on_path(path, pointer.at, is_closed=False).segment
        marks = [nearest_on_path(path, at, is_closed=False).segment for at in self._clicks[1:-1]]
        return 1 + sum(mark < here for mark in marks)

    def _ask(self) -> None:
        self._is_waiting = len(self._clicks) >= _LEAST_CLICKS
        if self._is_waiting:
            self.asked.emit(self.clicks)
        else:
            self._path = ()
        self.changed.emit()
