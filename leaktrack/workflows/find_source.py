"""Find where a leak's wet area begins, from the mark that says most, and which way oil ran."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.relooking import carried_source
from leaktrack.analysis.scaling import scale_by_bolts
from leaktrack.analysis.sourcing import carried_down, found_source, trail
from leaktrack.analysis.weighing import Weights
from leaktrack.model.engine import FaceSide, JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import FoundSource, Trail
from leaktrack.workflows.gather_engine import EngineRecords

MOST_LATER = 2
"""So many later looks count: each also shows oil that ran on. Own judgement."""


@dataclass(frozen=True, slots=True)
class TellingMark:
    """The mark that says most about where a leak starts, with its photo and what it says."""

    mark: LeakMark
    photo: Photo
    inspection: Inspection
    source: FoundSource


@dataclass(frozen=True, slots=True)
class _Dated:
    """A mark that says where a leak begins, with the place of its look among all looks."""

    mark: LeakMark
    photo: Photo
    has_lines: bool
    place: int

    @property
    def rank(self) -> tuple[bool, bool, int, bool]:
        """The lower, the more it says."""
        is_placed = self.mark.source_px is not None
        return not self.has_lines, not is_wet(self.mark.grade), self.place, not is_placed


def telling_mark(records: EngineRecords, leak: Leak, weights: Weights) -> TellingMark | None:
    """Return where a leak starts: by its earliest mark with a source whose photo has joint lines.

    Where it was wet first says most; later the oil has run on. A mark without a source will do
    where its outline shows where the wet area begins, if there is none with one. Marks of the next
    looks are brought into the same photo by the bolts that both show: where the first was wiped or
    hidden further up, another may not be.
    """
    order = records.table.order
    dated = []
    for mark in records.marks.get(leak.id, ()):
        photo = records.photos[mark.photo_id]
        place = order.get(photo.inspection_id) if photo.inspection_id else None
        if place is not None and (mark.source_px is not None or len(mark.outline_px) > 2):
            dated.append(_Dated(mark, photo, bool(records.lines_by_photo.get(photo.id)), place))
    if not dated:
        return None
    first = min(dated, key=lambda one: one.rank)
    inspection = next(one for one in records.inspections if one.id == first.photo.inspection_id)
    source = _source_of(records, first, inspection, weights)
    if source is None:
        return None
    later = tuple(_later(records, first, inspection, dated, source.mm_per_px, weights))
    return TellingMark(first.mark, first.photo, inspection, replace(source, later=later))


def _source_of(
    records: EngineRecords, dated: _Dated, inspection: Inspection, weights: Weights
) -> FoundSource | None:
    return found_source(
        weights.places,
        dated.mark.outline_px,
        dated.mark.source_px,
        trail_in(records, dated.photo, inspection, weights),
        (dated.photo.width_px, dated.photo.height_px),
        scale_of(records, dated.photo),
    )


def _later(
    records: EngineRecords,
    first: _Dated,
    inspection: Inspection,
    dated: Sequence[_Dated],
    mm_per_px: float,
    weights: Weights,
) -> Iterator[FoundSource]:
    """Return where the next looks have the leak begin, until a joint was sealed again."""
    here = _bolt_places(records, first.photo)
    by_id = {one.id: one for one in records.inspections}
    sealed = [one.done_at for one in records.jobs if one.done_at > inspection.looked_at]
    looks: dict[int, list[_Dated]] = {}
    for one in dated:
        if one.place > first.place and one.has_lines and is_wet(one.mark.grade):
            looks.setdefault(one.place, []).append(one)
    for _, marks in sorted(looks.items())[:MOST_LATER]:
        best = min(marks, key=lambda one: one.rank)
        look = by_id[best.photo.inspection_id] if best.photo.inspection_id else inspection
        if any(moment <= look.looked_at for moment in sealed):
            return
        source = _source_of(records, best, look, weights)
        there = _bolt_places(records, best.photo)
        both = sorted(here.keys() & there.keys())
        if source is not None:
            carried = carried_source(
                source, [there[key] for key in both], [here[key] for key in both], mm_per_px
            )
            if carried is not None:
                yield carried


def trail_in(
    records: EngineRecords, photo: Photo, inspection: Inspection | None, weights: Weights
) -> Trail:
    """Return which way oil runs in a photo."""
    sides = {face.id: face.side for face in records.faces}
    side = next(
        (sides[zone.face_id] for zone in records.zones if zone.id == photo.zone_id),
        FaceSide.FRONT,
    )
    return trail(
        weights.places,
        side,
        inspection.airflow if inspection else None,
        photo.down_deg,
        None if photo.down_deg is not None else _carried(records, photo),
        photo.air_deg,
    )


def scale_of(records: EngineRecords, photo: Photo) -> float | None:
    """Return a photo's scale: as it was measured, else by measured bolts of a line drawn in it."""
    if photo.mm_per_px is not None:
        return photo.mm_per_px
    found = [_by_bolts(records, line) for line in records.lines_by_photo.get(photo.id, ())]
    return next((scale for scale in found if scale is not None), None)


def _by_bolts(records: EngineRecords, line: JointLine) -> float | None:
    joint = records.joint_by_id[line.joint_id]
    try:
        return scale_by_bolts(line, records.bolts.get(joint.id, ()), is_closed=joint.is_closed)
    except BadInput:  # drawn before bolts were renumbered
        return None


def _carried(records: EngineRecords, photo: Photo) -> float | None:
    """Return which way is down by an arrow in another photo of the zone and bolts seen in both."""
    here = _bolt_places(records, photo)
    for other in records.photos.values():
        if other.id == photo.id or other.zone_id != photo.zone_id or other.down_deg is None:
            continue
        there = _bolt_places(records, other)
        both = sorted(here.keys() & there.keys())
        down = carried_down(
            other.down_deg, [there[key] for key in both], [here[key] for key in both]
        )
        if down is not None:
            return down
    return None


def _bolt_places(records: EngineRecords, photo: Photo) -> dict[tuple[str, int], PointPx]:
    return {
        (str(line.joint_id), point.bolt_number): point.at
        for line in records.lines_by_photo.get(photo.id, ())
        for point in line.points
        if point.bolt_number is not None
    }
