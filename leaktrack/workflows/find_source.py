"""Find where a leak's wet area begins, from the mark that says most, and which way oil ran."""

from dataclasses import dataclass
from itertools import pairwise

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.sourcing import carried_down, found_source, trail
from leaktrack.analysis.stationing import ruled_line
from leaktrack.analysis.weighing import Weights
from leaktrack.model.engine import FaceSide, JointLine
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import FoundSource, Trail
from leaktrack.workflows.gather_engine import EngineRecords


@dataclass(frozen=True, slots=True)
class TellingMark:
    """The mark that says most about where a leak starts, with its photo and what it says."""

    mark: LeakMark
    photo: Photo
    inspection: Inspection
    source: FoundSource


def telling_mark(records: EngineRecords, leak: Leak, weights: Weights) -> TellingMark | None:
    """Return where a leak starts: by its earliest mark with a source whose photo has joint lines.

    Where it was wet first says most; later the oil has run on. A mark without a source will do
    where its outline shows where the wet area begins, if there is none with one.
    """
    order = records.table.order
    dated = []
    for mark in records.marks.get(leak.id, ()):
        photo = records.photos[mark.photo_id]
        place = order.get(photo.inspection_id) if photo.inspection_id else None
        is_placed = mark.source_px is not None
        if place is None or not (is_placed or len(mark.outline_px) > 2):
            continue
        has_lines = bool(records.lines_by_photo.get(photo.id))
        dated.append((not has_lines, not is_wet(mark.grade), place, not is_placed, mark, photo))
    if not dated:
        return None
    *_, mark, photo = min(dated, key=lambda one: one[:4])
    inspection = next(one for one in records.inspections if one.id == photo.inspection_id)
    source = found_source(
        weights.places,
        mark.outline_px,
        mark.source_px,
        trail_in(records, photo, inspection, weights),
        (photo.width_px, photo.height_px),
        scale_of(records, photo),
    )
    return None if source is None else TellingMark(mark, photo, inspection, source)


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
    places = {bolt.number: bolt.station_mm for bolt in records.bolts.get(line.joint_id, ())}
    joint = records.joint_by_id[line.joint_id]
    marked = [point for point in line.points if point.bolt_number is not None]
    known = [point for point in marked if places.get(point.bolt_number or 0) is not None]
    if len(known) < 2 or joint.is_closed:
        return None
    try:
        ruled = ruled_line(line, records.bolts.get(joint.id, ()), is_closed=False)
    except BadInput:  # drawn before bolts were renumbered
        return None
    first, last = known[0], known[-1]
    mm = abs((places[last.bolt_number or 0] or 0.0) - (places[first.bolt_number or 0] or 0.0))
    px = _between(ruled.path, first.at, last.at)
    return mm / px if mm > 0 and px > 0 else None


def _between(path: tuple[PointPx, ...], start: PointPx, end: PointPx) -> float:
    inside = path[path.index(start) : path.index(end) + 1]
    return sum(a.distance_px(b) for a, b in pairwise(inside))


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
