from dataclasses import replace

import pytest

from leaktrack.analysis.stationing import ruled_line
from leaktrack.model.engine import Bolt, JointLine
from leaktrack.model.identity import new_id
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Clip
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.sealing_job import DeviationKind, Evidence, TorquePass
from leaktrack.model.shapes import PointPx
from leaktrack.workflows import carry_to_strip, view_joint_strip
from leaktrack.workflows.find_stations import StationLine
from leaktrack.workflows.view_joint_strip import joint_strip
from tests.beads import a_bead_audit
from tests.leaking_engine import at, cover_line, tell


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


def test_a_sealing_job_says_how_long_it_cured_before_the_engine_ran(project, story):
    strip = joint_strip(project, story.cover_joint.id)

    # Closed on 7 March at 16:46, run on 21 March at 14:05.
    assert row_of(strip, story.first_job).cured_h == pytest.approx(13 * 24 + 21 + 19 / 60)


def test_a_seal_that_was_replaced_before_any_run_has_no_cure(project, story):
    again = replace(story.second_job, id=new_id(), done_at=at("04-12 10:00"))
    project.apply(added(again))

    assert row_of(joint_strip(project, story.cover_joint.id), story.second_job).cured_h is None


def test_footage_of_a_job_is_on_its_row(project, story):
    clip = Clip(
        name="a.mp4",
        path="clips/a.mp4",
        sha256="c" * 64,
        size_bytes=1,
        duration_ms=9000,
        width_px=640,
        height_px=480,
    )
    span = Evidence(sealing_job_id=story.first_job.id, clip_id=clip.id, start_ms=3000, end_ms=5000)
    project.apply(added(clip, span))

    assert row_of(joint_strip(project, story.cover_joint.id), story.first_job).spans == (span,)


def test_a_bolt_that_no_tightening_names_is_told(project, story):
    some = TorquePass(sealing_job_id=story.first_job.id, number=1, bolt_numbers=(1, 2, 4, 5, 6, 7))
    every = TorquePass(sealing_job_id=story.second_job.id, number=1)
    project.apply(added(some, every))

    strip = joint_strip(project, story.cover_joint.id)

    assert row_of(strip, story.first_job).untightened == (3,)
    assert row_of(strip, story.second_job).untightened == ()


def test_deviations_of_a_job_are_on_its_row(project, story):
    strip = joint_strip(project, story.cover_joint.id)

    kinds = {one.kind for one in row_of(strip, story.first_job).deviations}
    assert DeviationKind.CLOSED_TOO_LATE in kinds


def test_the_audits_of_a_job_are_its_beads(project, story, monkeypatch):
    audit = a_bead_audit(story.first_job.id, gaps=((100.0, 104.0),))
    monkeypatch.setattr(view_joint_strip, "bead_audits", lambda _reader, _jobs: (audit,))

    strip = joint_strip(project, story.cover_joint.id)

    (bead,) = row_of(strip, story.first_job).beads
    assert bead.faults[0].start == pytest.approx(3.5)
    assert row_of(strip, story.second_job).beads == ()


def test_a_bead_that_begins_before_the_first_bolt_is_all_on_the_chart(project, story, monkeypatch):
    audit = a_bead_audit(story.first_job.id, stations=(0.4, 5.0))
    monkeypatch.setattr(view_joint_strip, "bead_audits", lambda _reader, _jobs: (audit,))

    strip = joint_strip(project, story.cover_joint.id)

    assert (strip.first, strip.last) == (0.4, len(strip.bolts))


def test_a_row_says_where_each_photo_shows_a_station(project, story):
    row = row_of(joint_strip(project, story.cover_joint.id), story.inspections[1])

    (sight,) = row.sights
    assert sight.photo_id == story.cover_photos[1].id
    assert sight.at(4.5) == PointPx(1050, 820)


def test_a_mark_says_how_well_its_station_is_known(project, story):
    row = row_of(joint_strip(project, story.cover_joint.id), story.inspections[2])

    gap, bolt = row.marks
    assert 0.01 < gap.sigma < 0.06  # a few px of the 300 between two bolts
    assert gap.sigma_mm == pytest.approx(gap.sigma * 300 * 0.15, rel=0.02)
    assert bolt.sigma > gap.sigma  # its source lies farther off the line


@pytest.fixture
def without_line(project, story):
    """The photo of the second look, whose line is taken away."""
    photo = story.cover_photos[1]
    (line,) = project.all(JointLine, joint_id=story.cover_joint.id, photo_id=photo.id)
    project.apply(removed(line))
    return photo, line


def test_photos_whose_leaks_have_no_place_are_named(project, story, without_line):
    photo, _ = without_line

    strip = joint_strip(project, story.cover_joint.id)

    assert strip.unplaced == (photo.id,)
    assert row_of(strip, story.inspections[1]).marks == ()


def test_where_no_photo_tells_stations_none_can_be_carried(project, story):
    lines = project.all(JointLine, joint_id=story.cover_joint.id)
    project.apply(removed(*lines))

    assert joint_strip(project, story.cover_joint.id).unplaced == ()


def test_a_carried_line_places_the_leaks_of_its_photo(project, story, without_line):
    photo, line = without_line
    bolts = project.all(Bolt, joint_id=story.cover_joint.id)
    ruled = ruled_line(line, bolts, is_closed=False)
    carried = StationLine(ruled, (9.0,) * len(ruled.knots_px), is_carried=True)

    strip = joint_strip(project, story.cover_joint.id, {photo.id: carried})

    row = row_of(strip, story.inspections[1])
    assert strip.unplaced == ()
    assert [mark.station for mark in row.marks] == pytest.approx([3.5])
    assert row.seen == (pytest.approx((1.033, 6), abs=0.001),)


def test_lines_are_carried_to_the_photos_that_need_them(project, story, without_line, monkeypatch):
    photo, _ = without_line
    line = object()
    asked = []

    def station_line(_project, joint_id, photo_id):
        asked.append((joint_id, photo_id))
        return line

    monkeypatch.setattr(carry_to_strip, "station_line", station_line)
    strip = joint_strip(project, story.cover_joint.id)

    assert carry_to_strip.carry_to_strip(project, strip) == {photo.id: line}
    assert asked == [(story.cover_joint.id, photo.id)]
