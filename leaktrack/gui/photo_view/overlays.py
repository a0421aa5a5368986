"""All that lies over the photo: marks, proposals, joint lines and what cannot be assessed."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtWidgets import QGraphicsScene

from leaktrack.gui.look.theme import line_color
from leaktrack.gui.photo_view.drawn_mark import DrawnMark, Tick, mark_at, tick_at
from leaktrack.gui.photo_view.hatch_item import HatchItem
from leaktrack.gui.photo_view.line_item import LineItem
from leaktrack.gui.photo_view.mark_item import MarkItem
from leaktrack.gui.photo_view.tag_layout import Box, tag_boxes
from leaktrack.model.engine import JointLine
from leaktrack.model.shapes import Outline, PointPx, nearest_on_path

HATCH_Z, LINES_Z, MARKS_Z = 0.5, 1.0, 2.0
SAME_JOINT = 0.1
"""A source further from every joint line than this share of the photo's width gets no tick."""


class Overlays:
    """The items over one photo. Items of marks that did not change are kept."""

    def __init__(self, scene: QGraphicsScene) -> None:
        self._scene = scene
        self._marks: dict[UUID, MarkItem] = {}
        self._lines: list[LineItem] = []
        self._hatch: HatchItem | None = None
        self._hatched: tuple[Outline, ...] = ()
        self._frame = QRectF()
        self._screen_px = 1.0
        self._selected: UUID | None = None

    @property
    def drawn(self) -> tuple[DrawnMark, ...]:
        """The marks drawn, in the order given."""
        return tuple(item.drawn for item in self._marks.values())

    def show(
        self,
        marks: Sequence[DrawnMark],
        lines: Sequence[JointLine],
        photo_frame: QRectF,
        carried: Sequence[JointLine] = (),
    ) -> None:
        """Draw these and nothing else; carried lines are dashed."""
        self._frame = photo_frame
        self._show_lines(lines, carried)
        lines = (*lines, *carried)
        old, self._marks = self._marks, {}
        for drawn in marks:
            tick = self._tick(drawn, lines)
            kept = old.pop(drawn.key, None)
            if kept is None or kept.drawn != drawn or kept.tick != tick:
                if kept is not None:
                    self._scene.removeItem(kept)
                kept = self._new_item(drawn, tick)
            self._marks[drawn.key] = kept
        for item in old.values():
            self._scene.removeItem(item)
        self.select(self._selected)
        self._place_tags()

    def hatch(self, outlines: Sequence[Outline]) -> None:
        """Draw stripes over these parts of the photo and no others."""
        if tuple(outlines) == self._hatched:
            return
        self._hatched = tuple(outlines)
        if self._hatch is not None:
            self._scene.removeItem(self._hatch)
            self._hatch = None
        if outlines:
            self._hatch = HatchItem(outlines)
            self._hatch.set_screen_px(self._screen_px)
            self._hatch.setZValue(HATCH_Z)
            self._scene.addItem(self._hatch)

    def set_screen_px(self, screen_px: float) -> None:
        """Follow the zoom: how large a screen px is in px of the photo."""
        if screen_px == self._screen_px:
            return
        self._screen_px = screen_px
        for mark in self._marks.values():
            mark.set_screen_px(screen_px)
        for line in self._lines:
            line.set_screen_px(screen_px)
        if self._hatch is not None:
            self._hatch.set_screen_px(screen_px)
        self._place_tags()

    def select(self, key: UUID | None) -> None:
        """Show which mark is in hand."""
        self._selected = key
        for each, item in self._marks.items():
            item.set_selected(each == key)
            item.setZValue(MARKS_Z + (each == key))

    def at(self, at: PointPx, reach_px: float) -> DrawnMark | None:
        """Return the mark that a click there means: a tag on top, else what is drawn below."""
        for item in reversed(self._marks.values()):
            if item.tag.isVisible() and self._is_on_tag(item, at, reach_px):
                return item.drawn
        return mark_at(self.drawn, at, reach_px)

    def _is_on_tag(self, item: MarkItem, at: PointPx, reach_px: float) -> bool:
        offset = (QPointF(at.x, at.y) - item.tag.pos()) / self._screen_px
        # A tag may be lower than the smallest target: it then counts as that high.
        slack = max(0.0, reach_px / self._screen_px - item.tag.box.height() / 2)
        return item.tag.box.adjusted(0, -slack, 0, slack).contains(offset)

    def _show_lines(self, lines: Sequence[JointLine], carried: Sequence[JointLine]) -> None:
        wanted = [*((line, False) for line in lines), *((line, True) for line in carried)]
        if [(item.line, item.is_carried) for item in self._lines] == wanted:
            return
        for old in self._lines:
            self._scene.removeItem(old)
        self._lines = [
            LineItem(line, line_color(index), is_carried=is_carried)
            for index, (line, is_carried) in enumerate(wanted)
        ]
        for item in self._lines:
            item.set_screen_px(self._screen_px)
            item.setZValue(LINES_Z)
            self._scene.addItem(item)

    def _new_item(self, drawn: DrawnMark, tick: Tick | None) -> MarkItem:
        item = MarkItem(drawn, tick)
        item.set_screen_px(self._screen_px)
        item.setZValue(MARKS_Z)
        self._scene.addItem(item)
        return item

    def _tick(self, drawn: DrawnMark, lines: Sequence[JointLine]) -> Tick | None:
        source = drawn.source_px
        paths = [line.path for line in lines if len(line.path) > 1]
        if source is None or not paths:
            return None
        off = [nearest_on_path(path, source, is_closed=False).distance_px for path in paths]
        nearest = min(range(len(paths)), key=off.__getitem__)
        if off[nearest] > SAME_JOINT * self._frame.width():
            return None
        return tick_at(paths[nearest], source)

    def _place_tags(self) -> None:
        items = [item for item in self._marks.values() if item.tag.isVisible()]
        scale = 1 / self._screen_px
        anchors = [(item.tag.pos().x() * scale, item.tag.pos().y() * scale) for item in items]
        sizes = [(item.tag.size.width(), item.tag.size.height()) for item in items]
        frame = Box(
            self._frame.x() * scale,
            self._frame.y() * scale,
            self._frame.width() * scale,
            self._frame.height() * scale,
        )
        bolts = [(at.x * scale, at.y * scale) for line in self._lines for at in line.bolt_places]
        boxes = tag_boxes(anchors, sizes, frame, bolts)
        for item, (x, y), box in zip(items, anchors, boxes, strict=True):
            item.tag.set_box(QRectF(box.left - x, box.top - y, box.width, box.height))
