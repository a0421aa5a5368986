"""Grade leaks a second time without seeing the first grades, and tell how well people agree."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import combinations
from uuid import UUID

from leaktrack.model.agreement import Agreements, BlindGrade
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade, wetness
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.check_input import check_aware, checked_text
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project

FIRST = "the marks"
"""Who graded first, where the inspection does not say by whom it was done."""

Place = tuple[UUID, UUID]
"""A leak and a photo that shows it."""


@dataclass(frozen=True, slots=True)
class BlindPlace:
    """What somebody who grades blind may know of a place: where to look, and nothing else.

    Attributes:
        at: Where the leak starts, or the middle of its outline; None: somewhere in the photo.
        own: The grade that this person has given it already.
    """

    leak_id: UUID
    number: int
    photo_id: UUID
    at: PointPx | None
    own: SeepageGrade | None


def places_to_grade(
    project: Project, engine_id: UUID, graded_by: str, inspection_id: UUID | None = None
) -> tuple[BlindPlace, ...]:
    """Return the places that a person can grade, in an order that hides which belong together.

    Args:
        project: The open project.
        engine_id: The engine.
        graded_by: Who grades.
        inspection_id: Only the photos of this inspection.

    Raises:
        BadInput: The person has no name.
    """
    who = checked_text(graded_by, "person who grades")
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        given = {
            (one.leak_id, one.photo_id): one.grade for one in reader.all(BlindGrade, graded_by=who)
        }
        found = [
            BlindPlace(
                leak.id,
                leak.number,
                mark.photo_id,
                _place_of(mark),
                given.get((leak.id, mark.photo_id)),
            )
            for leak, mark in _marks(records)
            if inspection_id in (None, records.photos[mark.photo_id].inspection_id)
        ]
    # By the photo's hash: the same for everybody, yet neither by date nor by leak.
    hashes = {photo.id: photo.sha256 for photo in project.all(Photo)}
    return tuple(sorted(found, key=lambda one: (hashes[one.photo_id], one.number)))


def grade_blind(
    project: Project, place: BlindPlace, grade: SeepageGrade, graded_by: str, at: datetime
) -> Edit:
    """Return the edit that records a blind grade; a second one of the same person replaces it.

    Raises:
        BadInput: The person has no name, or the time no zone.
        MissingRecord: Leak or photo is not there any more.
    """
    who = checked_text(graded_by, "person who grades")
    check_aware(at, "time of the grading")
    project.get(Leak, place.leak_id)
    project.get(Photo, place.photo_id)
    kept = project.all(BlindGrade, leak_id=place.leak_id, photo_id=place.photo_id, graded_by=who)
    fresh = BlindGrade(
        leak_id=place.leak_id,
        photo_id=place.photo_id,
        grade=grade,
        graded_by=who,
        graded_at=at,
    )
    if not kept:
        return added(fresh)
    return replaced(
        kept[0],
        BlindGrade(
            id=kept[0].id,
            leak_id=place.leak_id,
            photo_id=place.photo_id,
            grade=grade,
            graded_by=who,
            graded_at=at,
        ),
    )


def agreements(project: Project, engine_id: UUID) -> Agreements:
    """Return how well the people agree who graded the leaks of an engine in the same photos."""
    with project.read() as reader:
        return agreements_of(reader, EngineRecords(reader, engine_id))


def agreements_of(reader: Reader, records: EngineRecords) -> Agreements:
    """Return the same for records that are gathered already."""
    from leaktrack.analysis.agreeing import agreement

    by_person: dict[str, dict[Place, SeepageGrade]] = {}
    leak_ids = {leak.id for leak in records.leaks}
    for one in reader.all(BlindGrade):
        if one.leak_id in leak_ids:
            by_person.setdefault(one.graded_by, {})[one.leak_id, one.photo_id] = one.grade
    blind = list(by_person)
    if not blind:
        return Agreements(())
    first = _first_grades(records)
    everybody = [(name, first[name]) for name in first] + [
        (name, by_person[name]) for name in blind
    ]
    found = []
    for (first_name, grades), (second_name, others) in combinations(everybody, 2):
        names = (first_name, second_name)
        if first_name == second_name:  # how well somebody agrees with themselves
            names = (f"{first_name}, at first", f"{second_name}, again")
        common = [place for place in grades if place in others]
        compared = agreement(*names, [(grades[place], others[place]) for place in common])
        if compared is not None:
            found.append(compared)
    return Agreements(tuple(found), *_together([grades for _, grades in everybody]))


def _first_grades(records: EngineRecords) -> dict[str, dict[Place, SeepageGrade]]:
    """Return the marks' own grades by who did the inspection."""
    done_by = {one.id: one.done_by.strip() or FIRST for one in records.inspections}
    found: dict[str, dict[Place, SeepageGrade]] = {}
    for leak, mark in _marks(records):
        inspection_id = records.photos[mark.photo_id].inspection_id
        who = done_by.get(inspection_id, FIRST) if inspection_id else FIRST
        found.setdefault(who, {})[leak.id, mark.photo_id] = mark.grade
    return found


def _together(
    graded: Sequence[Mapping[Place, SeepageGrade]],
) -> tuple[int, int, float | None]:
    """Return how many people graded how many places together, and Fleiss' kappa of three or more.

    First grades of several people share no place, so those who graded blind decide who counts.
    """
    from leaktrack.analysis.agreeing import many_kappa

    most = max((sum(place in one for one in graded) for one in graded for place in one), default=0)
    if most < 3:
        return most, 0, None
    rows = []
    for place in {place for one in graded for place in one}:
        digits = [wetness(one[place]) for one in graded if place in one]
        if len(digits) == most and None not in digits:
            rows.append([digits.count(step) for step in range(6)])
    return most, len(rows), many_kappa(rows) if rows else None


def _marks(records: EngineRecords) -> list[tuple[Leak, LeakMark]]:
    found = {
        (leak.id, mark.photo_id): (leak, mark)
        for leak in records.leaks
        for mark in records.marks.get(leak.id, ())
    }
    return list(found.values())


def _place_of(mark: LeakMark) -> PointPx | None:
    if mark.source_px is not None or not mark.outline_px:
        return mark.source_px
    count = len(mark.outline_px)
    return PointPx(
        sum(point.x for point in mark.outline_px) / count,
        sum(point.y for point in mark.outline_px) / count,
    )
