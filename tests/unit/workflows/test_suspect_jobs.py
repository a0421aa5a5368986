"""What a trace is told around a leak, read from the records."""

from dataclasses import replace

import pytest

from leaktrack.model.engine import Bolt, FaceSide
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Check, CheckKind, CheckResult, Reading
from leaktrack.model.leak import Fluid, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.sealing_job import Part, PartCondition, TorquePass
from leaktrack.model.trace import ClueKind, Origin
from leaktrack.workflows.find_source import telling_mark
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.read_weights import weights
from leaktrack.workflows.suspect_jobs import scene, suspects
from leaktrack.workflows.trace_leak import trace
from tests.builders import a_joint, a_leak, a_mark
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def scene_of(project, leak, engine):
    with project.read() as reader:
        records = EngineRecords(reader, engine.id)
        return scene(records, leak, telling_mark(records, leak, weights(project)))


def marks_of(project, leak):
    return project.all(LeakMark, leak_id=leak.id)


def test_the_first_wet_look_decides_what_counts(project, story):
    found = scene_of(project, story.gap_leak, story.engine)

    assert found.inspection_id == story.inspections[1].id
    assert (found.has_baseline, found.baseline_id) == (True, story.inspections[0].id)
    assert found.was_wet_at_baseline is False  # photographed, and nothing noticed
    assert found.was_cleaned is True
    assert found.is_growing is True
    assert found.is_settled is True
    assert found.is_pressure_high is None


def test_three_joints_of_one_zone_that_become_wet_together_count_as_several(project, story):
    """Common practice, no source for the number: as the warning on the inspection has it."""
    before = scene_of(project, story.gap_leak, story.engine).are_several_wet
    photo_id = story.cover_photos[1].id
    for number in (21, 22, 23):
        joint = a_joint(story.gap_leak.zone_id, name=f"plug {number}")
        leak = a_leak(story.gap_leak.zone_id, number=number, joint_id=joint.id)
        mark = a_mark(leak.id, photo_id, grade=SeepageGrade.SEEP)
        project.apply(added(joint, leak, mark))

    assert before is not True
    assert scene_of(project, story.gap_leak, story.engine).are_several_wet is True


def test_a_leak_that_was_wet_before_the_first_run_says_so(project, story):
    early = replace(
        marks_of(project, story.gap_leak)[0],
        id=new_id(),
        photo_id=story.cover_photos[0].id,
    )
    project.apply(added(early))

    assert scene_of(project, story.gap_leak, story.engine).was_wet_at_baseline is True


def test_without_a_baseline_nothing_is_said_of_it(project, story):
    look = story.inspections[0]
    project.apply(replaced(look, replace(look, is_baseline=False)))

    found = scene_of(project, story.gap_leak, story.engine)

    assert (found.has_baseline, found.was_wet_at_baseline) == (False, None)


def test_what_was_seen_after_wiping_and_taken_for_residue_is_told(project, story):
    mark = marks_of(project, story.gap_leak)[0]
    seen = replace(mark, did_reappear=False, fluid=Fluid.ASSEMBLY_RESIDUE)
    project.apply(replaced(mark, seen))

    found = scene_of(project, story.gap_leak, story.engine)

    assert (found.did_come_back, found.is_residue_seen) == (False, True)


def test_a_reading_of_the_crankcase_is_compared_with_the_makers_limit(project, story):
    """255 mmH2O are 2.5 kPa: car maker M, used engine, hot, at 4000 rpm."""
    look = story.inspections[1].id
    told = {}
    for value, unit in [(300, "mmH2O"), (3.0, "kPa"), (1.0, "kPa"), (20, "mbar")]:
        reading = Reading(inspection_id=look, name="Crankcase pressure", value=value, unit=unit)
        project.apply(added(reading))
        told[value, unit] = scene_of(project, story.gap_leak, story.engine).is_pressure_high
        project.apply(removed(reading))

    assert list(told.values()) == [True, True, False, False]


def test_a_check_of_the_pressure_counts_where_nothing_was_measured(project, story):
    told = []
    for result in (CheckResult.FAILED, CheckResult.PASSED, CheckResult.OPEN):
        check = Check(
            engine_id=story.engine.id, name="Breather", kind=CheckKind.PRESSURE, result=result
        )
        project.apply(added(check))
        told.append(scene_of(project, story.gap_leak, story.engine).is_pressure_high)
        project.apply(removed(check))

    assert told == [True, False, None]


def test_the_faces_above_the_underside_are_named(project, story):
    with project.read() as reader:
        records = EngineRecords(reader, story.engine.id)
        leak = replace(story.gap_leak, zone_id=story.sump.id)
        assert scene(records, leak, None).faces_above == ("Bank 1",)
        assert FaceSide.TOP not in {face.side for face in records.faces}
        assert scene(records, story.gap_leak, None).faces_above == ()


def test_a_suspect_comes_with_all_that_is_recorded_of_its_job(project, story):
    part = Part(
        sealing_job_id=story.first_job.id, name="bolts", is_single_use=True,
        condition=PartCondition.REUSED,
    )  # fmt: skip
    some = TorquePass(
        sealing_job_id=story.first_job.id, number=1, torque_nm=9, bolt_numbers=(1, 2, 3)
    )
    project.apply(added(part, some))

    with project.read() as reader:
        records = EngineRecords(reader, story.engine.id)
        telling = telling_mark(records, story.gap_leak, weights(project))
        first = next(
            one
            for one in suspects(records, story.gap_leak, telling, {})
            if one.job == story.first_job
        )

    assert (first.parts, first.torque_passes) == ((part,), (some,))
    assert first.rule.open_time_min == 10
    assert first.history.jobs == 2  # the other seal with liquid gasket, and the redo
    assert first.audits == ()


def test_an_untightened_bolt_is_told_in_the_trace(project, story):
    some = TorquePass(
        sealing_job_id=story.first_job.id, number=1, torque_nm=9, bolt_numbers=(1, 2, 3, 5, 6, 7)
    )
    project.apply(added(some))

    first = trace(project, story.bolt_leak.id).candidates[0]

    assert first.origin is Origin.BOLT
    assert ClueKind.BOLT_NOT_TIGHTENED in {clue.kind for clue in first.clues}


def test_a_mark_without_a_source_is_traced_from_the_top_of_its_wet_area(project, story):
    for mark in marks_of(project, story.gap_leak):
        after = replace(mark, source_px=None)
        project.apply(replaced(mark, after) if mark.outline_px else removed(mark))

    found = trace(project, story.gap_leak.id)

    assert found.source.is_marked is False
    assert (found.source.at.x, found.source.at.y) == (pytest.approx(750), pytest.approx(825))
    assert found.candidates[0].joint == story.cover_joint


def test_measured_bolts_give_the_scale_where_the_photo_has_none(project, story):
    photo = story.cover_photos[1]
    project.apply(replaced(photo, replace(photo, mm_per_px=None)))
    assert trace(project, story.gap_leak.id).source.is_scale_assumed
    for bolt in project.all(Bolt, joint_id=story.cover_joint.id):
        project.apply(replaced(bolt, replace(bolt, station_mm=45.0 * bolt.number)))

    source = trace(project, story.gap_leak.id).source

    assert not source.is_scale_assumed
    assert source.mm_per_px == pytest.approx(45 / 300)  # bolts stand 300 px apart
    assert project.get(Photo, photo.id).mm_per_px is None


def test_a_place_that_the_baseline_did_not_see_is_neither_wet_nor_dry_there(project, story):
    unseen = LeakMark(
        leak_id=story.gap_leak.id,
        photo_id=story.cover_photos[0].id,
        grade=SeepageGrade.NOT_SEEN,
    )
    project.apply(added(unseen))

    assert scene_of(project, story.gap_leak, story.engine).was_wet_at_baseline is None
