"""What the photo view draws of a leak mark, or of a proposal for one; and what a click hits."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.leak import SeepageGrade
from leaktrack.model.shapes import (
    Outline,
    PointPx,
    area_px2,
    box_around,
    contains,
    nearest_on_path,
    segments,
)


@dataclass(frozen=True, slots=True)
class DrawnMark:
    """One mark on a photo.

    Attributes:
        key: Id of the mark; the key of a proposal.
        number: The leak's; None where no leak is known yet.
        grade: None for a proposal: nobody has graded it yet.
        label: A further word on the tag.
    """

    key: UUID
    number: int | None
    grade: SeepageGrade | None
    source_px: PointPx | None = None
    outline_px: Outline = ()
    label: str = ""

    @property
    def is_proposal(self) -> bool:
        """Whether it waits for a person's word."""
        return self.grade is None

    @property
    def anchor_px(self) -> PointPx | None:
        """Where its tag points to: the source, or else the highest corner of the outline."""
        if self.source_px is not None:
            return self.source_px
        return min(self.outline_px, key=lambda corner: corner.y, default=None)


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on a joint with the direction across the joint, as a vector of length 1."""

    at: PointPx
    across_x: float
    across_y: float


def tick_at(path: Sequence[PointPx], source: PointPx) -> Tick | None:
    """Return the tick across a joint's path at the place nearest to a source."""
    if len(path) < 2:
        return None
    foot = nearest_on_path(path, source, is_closed=False)
    start, end = segments(path, is_closed=False)[foot.segment]
    length = start.distance_px(end)
    if length == 0:
        return None
    return Tick(foot.at, -(end.y - start.y) / length, (end.x - start.x) / length)


def mark_at(marks: Sequence[DrawnMark], at: PointPx, reach_px: float) -> DrawnMark | None:
    """Return the mark that a click means: a source within reach, else the smallest area here."""
    by_source = {
        mark: mark.source_px.distance_px(at) for mark in marks if mark.source_px is not None
    }
    near = [mark for mark, distance in by_source.items() if distance <= reach_px]
    if near:
        return min(near, key=by_source.__getitem__)
    areas = [mark for mark in marks if _touches(mark.outline_px, at, reach_px)]
    return min(areas, key=lambda mark: area_px2(mark.outline_px), default=None)


def _touches(outline: Outline, at: PointPx, reach_px: float) -> bool:
    if len(outline) < 2 or not _is_in_box(outline, at, reach_px):
        return False
    if contains(outline, at):
        return True
    return nearest_on_path(outline, at, is_closed=True).distance_px <= reach_px


def _is_in_box(outline: Outline, at: PointPx, reach_px: float) -> bool:
    box = box_around(outline)
    is_across = box.left - reach_px <= at.x <= box.left + box.width + reach_px
    return is_across and box.top - reach_px <= at.y <= box.top + box.height + reach_px
