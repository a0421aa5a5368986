"""What did each inspection see of each leak, and of each zone?"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.model.comparison import Sighting
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade, wetness, worst
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import area_px2, extent_px


@dataclass(frozen=True, slots=True)
class SightingTable:
    """Leaks by inspections.

    Attributes:
        inspections: Oldest first.
        order: Place of each inspection among them.
        leaks_by_zone: The leaks of each zone.
        marks: Marks with their photos, by leak and inspection.
        first_marked: Place of the inspection that has the first mark of a leak.
        photographed: Zone and inspection of every photo that has both.
    """

    inspections: tuple[Inspection, ...]
    order: Mapping[UUID, int]
    leaks_by_zone: Mapping[UUID, Sequence[Leak]]
    marks: Mapping[tuple[UUID, UUID], Sequence[tuple[LeakMark, Photo]]]
    first_marked: Mapping[UUID, int]
    photographed: frozenset[tuple[UUID, UUID]]

    def grade(self, leak_id: UUID, inspection_id: UUID) -> SeepageGrade:
        """Return the worst grade that an inspection's marks give a leak; not seen without any."""
        return worst([mark.grade for mark, _ in self.marks.get((leak_id, inspection_id), ())])

    def grades(self, leak_id: UUID) -> tuple[SeepageGrade, ...]:
        """Return the grade of a leak at every inspection, oldest first."""
        return tuple(self.grade(leak_id, inspection.id) for inspection in self.inspections)

    def sighting(self, leak: Leak, inspection_id: UUID) -> Sighting:
        """Return what an inspection saw of a leak, with the size of the wet area."""
        marks = self.marks.get((leak.id, inspection_id), ())
        if not marks:
            noticed = self.is_known_at(leak.id, inspection_id)
            was_photographed = (leak.zone_id, inspection_id) in self.photographed
            return Sighting(
                inspection_id,
                SeepageGrade.NOT_SEEN,
                nothing_noticed=was_photographed and not noticed,
            )
        mark, photo = max(marks, key=_severity)
        area = area_px2(mark.outline_px) if mark.outline_px else None
        scale = photo.mm_per_px
        return Sighting(
            inspection_id,
            mark.grade,
            mark,
            area_px=area,
            area_mm2=None if area is None or scale is None else area * scale**2,
            extent_mm=(
                None if area is None or scale is None else extent_px(mark.outline_px) * scale
            ),
        )

    def is_known_at(self, leak_id: UUID, inspection_id: UUID) -> bool:
        """Return whether the leak has a mark at this inspection or an earlier one."""
        first = self.first_marked.get(leak_id)
        return first is not None and first <= self.order[inspection_id]

    def zone_grade(self, zone_id: UUID, inspection_id: UUID) -> SeepageGrade:
        """Return the worst grade of a zone at an inspection.

        A zone is dry only if it was photographed and every leak known by then was seen to be dry;
        a known leak that has no mark there leaves the zone not seen, unless another one is wet.
        """
        if (zone_id, inspection_id) not in self.photographed:
            return SeepageGrade.NOT_SEEN
        known = [
            leak
            for leak in self.leaks_by_zone.get(zone_id, ())
            if self.is_known_at(leak.id, inspection_id)
        ]
        grades = [self.grade(leak.id, inspection_id) for leak in known]
        worst_seen = worst(grades)
        if is_wet(worst_seen):
            return worst_seen
        return SeepageGrade.NOT_SEEN if SeepageGrade.NOT_SEEN in grades else SeepageGrade.DRY

    def worst_grade(self, inspection_id: UUID) -> SeepageGrade:
        """Return the worst grade of an inspection over all zones; not seen without photos."""
        zones = {zone for zone, inspection in self.photographed if inspection == inspection_id}
        return worst([self.zone_grade(zone_id, inspection_id) for zone_id in zones])

    def newly_wet_zones(self, inspection_id: UUID) -> tuple[UUID, ...]:
        """Return the zones with a leak that is wet now and was never wet at an earlier look."""
        now = self.order[inspection_id]
        return tuple(
            zone_id
            for zone_id, leaks in self.leaks_by_zone.items()
            if any(self._first_wet(leak.id) == now for leak in leaks)
        )

    def newly_wet_joints(self, inspection_id: UUID) -> tuple[UUID, ...]:
        """Return the joints that newly wet leaks are thought to come from."""
        now = self.order[inspection_id]
        joints = (
            leak.joint_id
            for leaks in self.leaks_by_zone.values()
            for leak in leaks
            if leak.joint_id is not None and self._first_wet(leak.id) == now
        )
        return tuple(dict.fromkeys(joints))

    def _first_wet(self, leak_id: UUID) -> int | None:
        return next(
            (
                index
                for index, inspection in enumerate(self.inspections)
                if is_wet(self.grade(leak_id, inspection.id))
            ),
            None,
        )


def sighting_table(
    inspections: Iterable[Inspection],
    photos: Iterable[Photo],
    leaks: Iterable[Leak],
    marks: Iterable[LeakMark],
) -> SightingTable:
    """Return the table of one engine's leaks by inspections; marks on other photos do not count."""
    ordered = tuple(sorted(inspections, key=lambda inspection: inspection.looked_at))
    order = {inspection.id: index for index, inspection in enumerate(ordered)}
    seen_photos = {photo.id: photo for photo in photos if photo.inspection_id in order}
    by_place: dict[tuple[UUID, UUID], list[tuple[LeakMark, Photo]]] = defaultdict(list)
    first_marked: dict[UUID, int] = {}
    for mark in marks:
        photo = seen_photos.get(mark.photo_id)
        if photo is None or photo.inspection_id is None:
            continue
        by_place[mark.leak_id, photo.inspection_id].append((mark, photo))
        place = order[photo.inspection_id]
        first_marked[mark.leak_id] = min(place, first_marked.get(mark.leak_id, place))
    leaks_by_zone: dict[UUID, list[Leak]] = defaultdict(list)
    for leak in leaks:
        leaks_by_zone[leak.zone_id].append(leak)
    return SightingTable(
        ordered,
        order,
        dict(leaks_by_zone),
        dict(by_place),
        first_marked,
        frozenset(
            (photo.zone_id, photo.inspection_id)
            for photo in seen_photos.values()
            if photo.zone_id is not None and photo.inspection_id is not None
        ),
    )


def _severity(marked: tuple[LeakMark, Photo]) -> tuple[int, bool, float]:
    """Order marks of one leak: grade first, then those with a scale, then the larger area."""
    mark, photo = marked
    digit = wetness(mark.grade)
    has_scale = photo.mm_per_px is not None and bool(mark.outline_px)
    area = area_px2(mark.outline_px) * (photo.mm_per_px or 1.0) ** 2
    return (-1 if digit is None else digit, has_scale, area)
