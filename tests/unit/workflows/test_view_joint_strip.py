from dataclasses import replace

import pytest

from leaktrack.model.engine import Bolt
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.record import added, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.view_joint_strip import joint_strip
from tests.leaking_engine import cover_line, tell


@pytest.fixture
def story(project):
    return tell(project)


def row_of(strip, record):
    return next(row for row in strip.rows if record in (row.inspection, row.job))


def test_rows_are_in_time_with_sealing_jobs_as_breaks(project, story):
    strip = joint_strip(project, story.cover_joint.id)

    baseline, first, second, third = story.inspections
    assert [row.inspection or row.job for row in strip.rows] == [
        story.first_job,
        baseline,
        first,
        second,
        story.second_job,
        third,
    ]


def test_the_chart_runs_from_the_first_bolt_to_the_last(project, story):
    strip = joint_strip(project, story.cover_joint.id)

    assert (strip.first, strip.last) == (1, 7)
    assert [bolt.number for bolt in strip.bolts] == [1, 2, 3, 4, 5, 6, 7]


def test_a_closed_joint_runs_on_to_its_first_bolt_again(project, story):
    project.apply(
        added(*(Bolt(joint_id=story.solenoid_seal.id, number=number) for number in (1, 2)))
    )

    strip = joint_strip(project, story.solenoid_seal.id)

    assert (strip.first, strip.last) == (1, 3)


def test_a_joint_without_bolts_runs_from_0_to_1(project, story):
    strip = joint_strip(project, story.sump_gasket.id)

    assert (strip.first, strip.last, strip.bolts) == (0, 1, ())


def test_marks_stand_at_their_stations_with_the_wet_stretch(project, story):
    strip = joint_strip(project, story.cover_joint.id)

    gap, bolt = row_of(strip, story.inspections[2]).marks
    assert (gap.leak_number, gap.grade) == (1, SeepageGrade.HEAVY_SEEP)
    assert (gap.station, gap.wet_from, gap.wet_to) == pytest.approx((3.5, 3.3, 3.7), abs=0.01)
    assert gap.at_px == PointPx(750, 790)
    assert bolt.station == pytest.approx(4.01)


def test_each_row_says_what_of_the_joint_its_photos_show(project, story):
    strip = joint_strip(project, story.cover_joint.id)

    # The line begins 290 px before bolt 2, which is 300 px before bolt 3.
    assert row_of(strip, story.inspections[1]).seen == (pytest.approx((1.033, 6), abs=0.001),)
    assert row_of(strip, story.first_job).seen == ()


def test_a_leak_given_to_another_joint_is_not_on_the_chart(project, story):
    leak = story.gap_leak
    project.apply(replaced(leak, replace(leak, joint_id=story.solenoid_seal.id)))

    row = row_of(joint_strip(project, story.cover_joint.id), story.inspections[1])

    assert row.marks == ()


@pytest.mark.parametrize(("y", "is_on_chart"), [(900, True), (1000, False)])
def test_a_leak_of_no_known_joint_is_on_the_chart_of_a_near_one(project, story, y, is_on_chart):
    stray = Leak(zone_id=story.cover.id, number=9)
    mark = LeakMark(
        leak_id=stray.id,
        photo_id=story.cover_photos[3].id,
        grade=SeepageGrade.STAIN,
        source_px=PointPx(1200, y),
    )
    project.apply(added(stray, mark))

    row = row_of(joint_strip(project, story.cover_joint.id), story.inspections[3])

    assert (9 in {one.leak_number for one in row.marks}) is is_on_chart


def test_a_leak_of_no_known_joint_is_on_the_chart_of_the_nearest_one_only(project, story):
    photo = story.cover_photos[3]
    lower = replace(story.sump_gasket, zone_id=story.cover.id)
    bolts = [Bolt(joint_id=lower.id, number=number) for number in range(1, 8)]
    stray = Leak(zone_id=story.cover.id, number=9)
    mark = LeakMark(
        leak_id=stray.id,
        photo_id=photo.id,
        grade=SeepageGrade.STAIN,
        source_px=PointPx(1200, 870),
    )
    project.apply(added(*bolts, cover_line(lower, photo, 900), stray, mark))

    upper_row = row_of(joint_strip(project, story.cover_joint.id), story.inspections[3])
    lower_row = row_of(joint_strip(project, lower.id), story.inspections[3])

    assert [one.leak_number for one in lower_row.marks] == [9]
    assert 9 not in {one.leak_number for one in upper_row.marks}
