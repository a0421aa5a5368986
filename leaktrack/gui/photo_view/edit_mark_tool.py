"""Reshape a mark: drag its source or a corner of its outline; each drag is one edit."""

from dataclasses import dataclass, replace

from PySide6.QtCore import QObject

from leaktrack.gui.photo_view.tool import Handle, Pointer, Sketch, Tool
from leaktrack.model.shapes import Outline, PointPx, nearest_on_path

_SOURCE = -1
"""Index that stands for the source among the corners."""


@dataclass(frozen=True, slots=True)
class MarkShape:
    """Where a mark lies: all that this tool changes."""

    source_px: PointPx | None
    outline_px: Outline

    def with_point(self, index: int, at: PointPx) -> "MarkShape":
        """Return the shape with one point elsewhere; index -1 is the source."""
        if index == _SOURCE:
            return replace(self, source_px=at)
        corners = (*self.outline_px[:index], at, *self.outline_px[index + 1 :])
        return replace(self, outline_px=corners)


class EditMarkTool(Tool):
    """Drag points; click on the edge to add a corner; Backspace removes the corner last touched."""

    is_drag = True
    is_one_shot = False

    def __init__(self, shape: MarkShape, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._stored = self._shape = shape
        self._active: int | None = None
        self._is_held = False

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        return self.tr("Drag the source or a corner. Click the edge to add a corner, Esc to end.")

    @property
    def sketch(self) -> Sketch:
        """The shape with its points."""
        shape = self._shape
        handles = [
            Handle(corner, is_active=index == self._active)
            for index, corner in enumerate(shape.outline_px)
        ]
        if shape.source_px is not None:
            source = Handle(shape.source_px, self.tr("source"), self._active == _SOURCE)
            handles.append(source)
        return Sketch(shape.outline_px, is_closed=True, handles=tuple(handles))

    def set_shape(self, shape: MarkShape) -> None:
        """Show what is stored now, if it is something else, such as after undo."""
        if shape == self._stored:
            return  # a point that is being dragged stays in the hand
        self._stored = self._shape = shape
        self.changed.emit()

    def press(self, pointer: Pointer) -> None:
        """Take hold of the point here, or of a new corner on the edge here."""
        self._active = self._nearest(pointer)
        if self._active is None:
            self._active = self._new_corner(pointer)
        self._is_held = self._active is not None
        self.changed.emit()

    def move(self, pointer: Pointer) -> None:
        """Take the point along."""
        if self._is_held and self._active is not None:
            self._shape = self._shape.with_point(self._active, pointer.at)
            self.changed.emit()

    def release(self, pointer: Pointer) -> None:
        """Let go: the drag is done. A click that moved nothing is no edit."""
        if not self._is_held:
            return
        self.move(pointer)
        self._is_held = False
        self._finish()

    def take_back(self) -> bool:
        """Remove the corner last touched; an outline keeps three."""
        corners = self._shape.outline_px
        if self._active is None or self._active == _SOURCE or len(corners) <= 3:
            return False
        fewer = corners[: self._active] + corners[self._active + 1 :]
        self._shape = replace(self._shape, outline_px=fewer)
        self._active = None
        self._finish()
        return True

    def _finish(self) -> None:
        self.changed.emit()
        if self._shape != self._stored:
            self._stored = self._shape
            self.finished.emit(self._shape)

    def _nearest(self, pointer: Pointer) -> int | None:
        points = dict(enumerate(self._shape.outline_px))
        if self._shape.source_px is not None:
            points[_SOURCE] = self._shape.source_px
        within = {
            index: distance
            for index, point in points.items()
            if (distance := point.distance_px(pointer.at)) <= pointer.reach_px
        }
        return min(within, key=within.__getitem__, default=None)

    def _new_corner(self, pointer: Pointer) -> int | None:
        corners = self._shape.outline_px
        if len(corners) < 3:
            return None
        foot = nearest_on_path(corners, pointer.at, is_closed=True)
        if foot.distance_px > pointer.reach_px:
            return None
        place = foot.segment + 1
        more = (*corners[:place], pointer.at, *corners[place:])
        self._shape = replace(self._shape, outline_px=more)
        return place
