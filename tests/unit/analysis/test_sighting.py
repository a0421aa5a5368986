from datetime import UTC, datetime

import pytest

from leaktrack.analysis.sighting import sighting_table
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx

ENGINE = new_id()
COVER, SUMP = new_id(), new_id()


def inspection(day):
    return Inspection(engine_id=ENGINE, looked_at=datetime(2026, 3, day, 12, tzinfo=UTC))


def photo(inspection_id, zone_id=COVER, mm_per_px=None):
    return Photo(
        sha256="0" * 64,
        file_type="jpg",
        original_name="cover.jpg",
        size_bytes=1,
        width_px=2000,
        height_px=1500,
        zone_id=zone_id,
        inspection_id=inspection_id,
        mm_per_px=mm_per_px,
    )


def mark(leak, shown, grade, outline_px=()):
    return LeakMark(leak_id=leak.id, photo_id=shown.id, grade=grade, outline_px=outline_px)


FIRST, SECOND, THIRD = inspection(1), inspection(8), inspection(15)
ALL = (THIRD, FIRST, SECOND)
LEAK = Leak(zone_id=COVER, number=1)
OTHER = Leak(zone_id=COVER, number=2)
AT_FIRST, AT_SECOND, AT_THIRD = photo(FIRST.id), photo(SECOND.id), photo(THIRD.id)
PHOTOS = (AT_FIRST, AT_SECOND, AT_THIRD)
SQUARE = (PointPx(0, 0), PointPx(30, 0), PointPx(30, 40), PointPx(0, 40))


def test_grades_come_oldest_first_and_are_not_seen_without_a_mark():
    table = sighting_table(ALL, PHOTOS, [LEAK], [mark(LEAK, AT_SECOND, SeepageGrade.SEEP)])

    assert table.grades(LEAK.id) == (
        SeepageGrade.NOT_SEEN,
        SeepageGrade.SEEP,
        SeepageGrade.NOT_SEEN,
    )


def test_the_worst_mark_of_an_inspection_counts():
    closer = photo(SECOND.id)
    marks = [mark(LEAK, AT_SECOND, SeepageGrade.SEEP), mark(LEAK, closer, SeepageGrade.DRIP)]

    table = sighting_table(ALL, (*PHOTOS, closer), [LEAK], marks)

    assert table.grade(LEAK.id, SECOND.id) is SeepageGrade.DRIP
    assert table.sighting(LEAK, SECOND.id).mark == marks[1]


def test_a_sighting_on_a_photo_with_scale_knows_its_size():
    scaled = photo(SECOND.id, mm_per_px=0.1)
    table = sighting_table(ALL, (scaled,), [LEAK], [mark(LEAK, scaled, SeepageGrade.SEEP, SQUARE)])

    seen = table.sighting(LEAK, SECOND.id)

    assert (seen.area_px, seen.area_mm2, seen.extent_mm) == pytest.approx((1200, 12, 5))


def test_a_sighting_without_scale_knows_pixels_alone():
    marks = [mark(LEAK, AT_SECOND, SeepageGrade.SEEP, SQUARE)]

    seen = sighting_table(ALL, PHOTOS, [LEAK], marks).sighting(LEAK, SECOND.id)

    assert (seen.area_px, seen.area_mm2, seen.extent_mm) == (1200, None, None)


def test_before_its_first_mark_a_photographed_leak_was_not_noticed():
    table = sighting_table(ALL, PHOTOS, [LEAK], [mark(LEAK, AT_SECOND, SeepageGrade.SEEP)])

    assert table.sighting(LEAK, FIRST.id).nothing_noticed
    assert not table.sighting(LEAK, THIRD.id).nothing_noticed


def test_a_zone_that_was_not_photographed_was_not_noticed_to_be_dry():
    marks = [mark(LEAK, AT_SECOND, SeepageGrade.SEEP)]

    table = sighting_table(ALL, (AT_SECOND,), [LEAK], marks)

    assert not table.sighting(LEAK, FIRST.id).nothing_noticed


@pytest.mark.parametrize(
    ("grades", "expected"),
    [
        ((), SeepageGrade.DRY),
        ((SeepageGrade.DRY,), SeepageGrade.DRY),
        ((SeepageGrade.DRY, SeepageGrade.SEEP), SeepageGrade.SEEP),
        ((SeepageGrade.DRY, SeepageGrade.NOT_SEEN), SeepageGrade.NOT_SEEN),
        ((SeepageGrade.SEEP, SeepageGrade.NOT_SEEN), SeepageGrade.SEEP),
    ],
)
def test_a_photographed_zone_is_dry_only_if_all_known_leaks_were_seen_dry(grades, expected):
    leaks = [Leak(zone_id=COVER, number=number) for number, _ in enumerate(grades, start=1)]
    marks = [mark(leak, AT_SECOND, grade) for leak, grade in zip(leaks, grades, strict=True)]

    table = sighting_table(ALL, PHOTOS, leaks, marks)

    assert table.zone_grade(COVER, SECOND.id) is expected


def test_a_known_leak_without_a_mark_leaves_its_zone_not_seen():
    marks = [mark(LEAK, AT_FIRST, SeepageGrade.SEEP), mark(OTHER, AT_SECOND, SeepageGrade.DRY)]

    table = sighting_table(ALL, PHOTOS, [LEAK, OTHER], marks)

    assert table.zone_grade(COVER, SECOND.id) is SeepageGrade.NOT_SEEN


def test_a_zone_without_photos_is_not_seen():
    table = sighting_table(ALL, PHOTOS, [], [])

    assert table.zone_grade(SUMP, SECOND.id) is SeepageGrade.NOT_SEEN


def test_the_worst_grade_of_an_inspection_is_over_its_zones():
    sump_photo = photo(SECOND.id, SUMP)
    leak = Leak(zone_id=SUMP, number=3)

    table = sighting_table(
        ALL, (*PHOTOS, sump_photo), [leak], [mark(leak, sump_photo, SeepageGrade.DRIP)]
    )

    assert table.worst_grade(SECOND.id) is SeepageGrade.DRIP
    assert table.worst_grade(FIRST.id) is SeepageGrade.DRY


def test_a_zone_is_newly_wet_once():
    marks = [
        mark(LEAK, AT_FIRST, SeepageGrade.DRY),
        mark(LEAK, AT_SECOND, SeepageGrade.SEEP),
        mark(LEAK, AT_THIRD, SeepageGrade.DRIP),
    ]

    table = sighting_table(ALL, PHOTOS, [LEAK], marks)

    assert table.newly_wet_zones(FIRST.id) == ()
    assert table.newly_wet_zones(SECOND.id) == (COVER,)
    assert table.newly_wet_zones(THIRD.id) == ()


def test_marks_on_assembly_photos_are_no_sightings():
    assembly = photo(None)

    table = sighting_table(
        ALL, (*PHOTOS, assembly), [LEAK], [mark(LEAK, assembly, SeepageGrade.SEEP)]
    )

    assert set(table.grades(LEAK.id)) == {SeepageGrade.NOT_SEEN}
