"""Draw the line of a joint into a photo, bolt by bolt."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from PySide6.QtCore import QObject

from leaktrack.gui.photo_view.tool import Handle, Pointer, Sketch, Tool
from leaktrack.model.engine import LinePoint
from leaktrack.model.shapes import PointPx, nearest_on_path

TakeAlong = Callable[[Mapping[int, PointPx]], Mapping[int, PointPx]]


class JointLineTool(Tool):
    """Click where the joint passes each bolt. Finishes with LinePoints, low numbers first.

    A click sets the next bolt. Shift and click, or a double-click on the line, adds a bend without
    a bolt. Control and click says where the head of the nearest bolt is. Points can be dragged.
    Backspace removes the last point, Enter ends.

    Args:
        points: A line to go on with.
        first_bolt: Number of the first bolt to be clicked.
        counts_up: Whether numbers rise along the way.
        take_along: Tells from where some of ``points`` were dragged to, by their place there, where
            the others lie likely then. Only points that nobody has dragged go along.
    """

    def __init__(
        self,
        points: tuple[LinePoint, ...] = (),
        first_bolt: int = 1,
        *,
        counts_up: bool = True,
        take_along: TakeAlong | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._points = list(points)
        self._take_along = take_along
        # Where in ``points`` each stood; None for those that were clicked.
        self._origins: list[int | None] = list(range(len(points)))
        self._put: dict[int, PointPx] = {}
        self._has_moved = False
        self._first_bolt = first_bolt
        self._counts_up = counts_up
        self._held: int | None = None
        self._has_just_added = False

    @property
    def points(self) -> tuple[LinePoint, ...]:
        """The line so far, in the order in which it was drawn."""
        return tuple(self._points)

    @property
    def next_bolt(self) -> int:
        """The number that the next click gives."""
        numbers = [point.bolt_number for point in self._points if point.bolt_number is not None]
        if not numbers:
            return self._first_bolt
        return numbers[-1] + (1 if self._counts_up else -1)

    def set_numbering(self, first_bolt: int, *, counts_up: bool) -> None:
        """Number the bolts anew, from this one on; points stay where they are."""
        self._first_bolt, self._counts_up = first_bolt, counts_up
        number = first_bolt
        for index, point in enumerate(self._points):
            if point.bolt_number is not None:
                self._points[index] = replace(point, bolt_number=number)
                number += 1 if counts_up else -1
        self.changed.emit()

    @property
    def hint(self) -> str:
        """What to do next, in a line."""
        if self.next_bolt < 1:
            return self.tr("There is no bolt below 1. Press Enter to end the line.")
        return self.tr(
            "Click the joint at bolt %d. Shift and click adds a bend, Enter ends the line."
        ) % (self.next_bolt)

    @property
    def sketch(self) -> Sketch:
        """The line with its points."""
        last = len(self._points) - 1
        handles = [
            Handle(point.at, str(point.bolt_number or ""), is_active=index == last)
            for index, point in enumerate(self._points)
        ]
        handles += [Handle(point.head) for point in self._points if point.head is not None]
        return Sketch(tuple(point.at for point in self._points), handles=tuple(handles))

    def press(self, pointer: Pointer) -> None:
        """Take hold of a point, or add one."""
        self._has_just_added = False
        if pointer.is_control:
            self._set_head(pointer.at)
        elif (touched := self._point_at(pointer)) is not None:
            self._held = touched
        elif pointer.is_shift:
            self._add_bend(pointer)
        elif self.next_bolt >= 1:
            self._points.append(LinePoint(pointer.at, self.next_bolt))
            self._origins.append(None)
            self._has_just_added = True
        self.changed.emit()

    def move(self, pointer: Pointer) -> None:
        """Take the held point along."""
        if self._held is not None:
            self._has_moved |= pointer.at != self._points[self._held].at
            self._points[self._held] = replace(self._points[self._held], at=pointer.at)
            self.changed.emit()

    def release(self, pointer: Pointer) -> None:
        """Let the point go; those beside it that nobody has dragged go along."""
        self.move(pointer)
        if self._held is not None and self._has_moved:
            # A person put it there: how well it was carried counts no more.
            self._points[self._held] = replace(self._points[self._held], sigma_px=None)
            self._put_right(self._held)
            self.changed.emit()
        self._held, self._has_moved = None, False

    def double_click(self, pointer: Pointer) -> None:
        """Turn the point that the first click set into a bend of the segment it lies on."""
        self._held = None
        if self._has_just_added and len(self._points) > 2:
            self._has_just_added = False
            added = self._points.pop()
            self._origins.pop()
            self._add_bend(replace(pointer, at=added.at))
        self.changed.emit()

    def complete(self) -> bool:
        """End the line; needs two points."""
        if len(self._points) < 2:
            return False
        points = tuple(self._points if self._counts_up else reversed(self._points))
        self.finished.emit(points)
        return True

    def take_back(self) -> bool:
        """Remove the last point."""
        if not self._points:
            return False
        self._points.pop()
        self._origins.pop()
        self._held = None
        self.changed.emit()
        return True

    def _put_right(self, index: int) -> None:
        origin = self._origins[index]
        if self._take_along is None or origin is None:
            return
        self._put[origin] = self._points[index].at
        found = self._take_along(self._put)
        for other, place in enumerate(self._origins):
            if place is not None and place not in self._put:
                self._points[other] = replace(self._points[other], at=found[place])

    def _point_at(self, pointer: Pointer) -> int | None:
        near = {
            index: point.at.distance_px(pointer.at)
            for index, point in enumerate(self._points)
            if point.at.distance_px(pointer.at) <= pointer.reach_px
        }
        return min(near, key=near.__getitem__, default=None)

    def _add_bend(self, pointer: Pointer) -> None:
        place = self._segment_near(pointer.at, pointer.reach_px)
        bend = LinePoint(pointer.at)
        if place is None:
            self._points.append(bend)
            self._origins.append(None)
        else:
            self._points.insert(place + 1, bend)
            self._origins.insert(place + 1, None)

    def _segment_near(self, at: PointPx, reach_px: float) -> int | None:
        if len(self._points) < 2:
            return None
        foot = nearest_on_path([point.at for point in self._points], at, is_closed=False)
        return foot.segment if foot.distance_px <= reach_px else None

    def _set_head(self, at: PointPx) -> None:
        bolts = [index for index, point in enumerate(self._points) if point.bolt_number]
        if not bolts:
            return
        nearest = min(bolts, key=lambda index: self._points[index].at.distance_px(at))
        self._points[nearest] = replace(self._points[nearest], head=at)
