"""Whatever a person does to the records can be taken back without a trace."""

from dataclasses import replace

import pytest

from leaktrack.model.engine import FaceSide, LinePoint, SealKind
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Check, CheckResult, Inspection, Reading, TestRun
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.redo_plan import RedoDecision, RedoTask
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms
from leaktrack.model.sealing_job import Part, SealingJob, TorquePass
from leaktrack.model.shapes import PointPx
from leaktrack.places import demo_source
from leaktrack.workflows import (
    add_photos,
    assign_photos,
    clips,
    derive_scale,
    draw_joint_line,
    mark_leaks,
    measure_scale,
    record_run,
    record_sealing_job,
    set_up_engine,
    settle_redo,
    use_redo_library,
)
from tests.filled_project import DAY, MARCH, everything

PHOTO = demo_source() / "photos" / "bank1_cover_i0.jpg"
VIDEO = demo_source() / "assembly_video.mp4"
LINE = (LinePoint(PointPx(50, 60), 2), LinePoint(PointPx(400, 70)), LinePoint(PointPx(800, 60), 5))


def a_pass(number):
    return TorquePass(sealing_job_id=new_id(), number=number, torque_nm=5)


def a_joint_with_five_bolts(project, filled):
    joint, edit = set_up_engine.new_joint(
        project, filled.zone.id, "Sump", SealKind.GASKET, bolt_count=5
    )
    project.apply(edit)
    return joint.id


def a_run_with_a_reading(project, filled):
    run = TestRun(engine_id=filled.engine.id, started_at=MARCH)
    project.apply(record_run.record_run(project, run, [Reading(name="boost", value=0.4)]))
    return run.id


def an_empty_inspection(project, filled):
    inspection = Inspection(engine_id=filled.engine.id, looked_at=MARCH)
    project.apply(record_run.record_inspection(project, inspection))
    return inspection.id


def a_task(project):
    return project.all(RedoTask)[0]


def a_stored_photo(project):
    added = add_photos.add_photos(project, [PHOTO])
    project.apply(added.edit)
    return added.added[0].id


def a_stored_clip(project):
    clip, edit = clips.add_clip(project, VIDEO)
    project.apply(edit)
    return clip.id


EDITS = {
    # setting up
    "new engine": lambda p, f: set_up_engine.new_engine("T3", sides=[FaceSide.TOP])[1],
    "new zone": lambda p, f: set_up_engine.new_zone(p, f.face.id, "Rear")[1],
    "new joint": lambda p, f: set_up_engine.new_joint(
        p, f.zone.id, "Sump", SealKind.GASKET, bolt_count=3
    )[1],
    "more bolts": lambda p, f: set_up_engine.set_bolt_count(p, f.joint.id, 9),
    "fewer bolts": lambda p, f: set_up_engine.set_bolt_count(p, a_joint_with_five_bolts(p, f), 2),
    "new material": lambda p, f: set_up_engine.new_material(
        "Grey sealant", SealKind.LIQUID_GASKET, open_time_min=5
    )[1],
    "new rule": lambda p, f: set_up_engine.set_rule(p, f.unused_material.id, source="its bag"),
    "other rule": lambda p, f: set_up_engine.set_rule(p, f.material.id, open_time_min=15),
    "amend zone": lambda p, f: set_up_engine.amend(f.zone, replace(f.zone, name="Cover, left")),
    "remove zone": lambda p, f: set_up_engine.remove_zone(p, f.empty_zone.id),
    "remove joint": lambda p, f: set_up_engine.remove_joint(p, f.empty_joint.id),
    "remove face": lambda p, f: set_up_engine.remove_face(p, f.other_face.id),
    "remove material": lambda p, f: set_up_engine.remove_material(p, f.unused_material.id),
    "draw line": lambda p, f: draw_joint_line.draw_joint_line(p, f.joint.id, f.later.id, LINE),
    "draw line again": lambda p, f: draw_joint_line.draw_joint_line(
        p, f.joint.id, f.reference.id, LINE
    ),
    "remove line": lambda p, f: draw_joint_line.remove_joint_line(p, f.line.id),
    # sealing
    "record job": lambda p, f: record_sealing_job.record_job(
        p,
        SealingJob(joint_id=f.joint.id, done_at=MARCH + 5 * DAY),
        [a_pass(1), a_pass(2)],
        [Part(sealing_job_id=f.job.id, name="ring")],
        [f.loose.id],
    ),
    "amend job": lambda p, f: record_sealing_job.amend_job(
        p, f.job, replace(f.job, done_at=MARCH + 30 * DAY)
    ),
    "remove job": lambda p, f: record_sealing_job.remove_job(p, f.later_job.id),
    "set passes": lambda p, f: record_sealing_job.set_torque_passes(
        p, f.job.id, [replace(f.torque_pass, torque_nm=12), a_pass(2)]
    ),
    "set parts": lambda p, f: record_sealing_job.set_parts(p, f.job.id, []),
    "add photo evidence": lambda p, f: record_sealing_job.add_evidence(
        p, f.job.id, photo_id=f.loose.id
    ),
    "add clip evidence": lambda p, f: record_sealing_job.add_evidence(
        p, f.later_job.id, clip_id=f.clip.id, start_ms=0, end_ms=900
    ),
    "amend evidence": lambda p, f: record_sealing_job.amend_evidence(
        p, f.clip_evidence, replace(f.clip_evidence, end_ms=9000)
    ),
    "remove evidence": lambda p, f: record_sealing_job.remove_evidence(p, f.clip_evidence.id),
    "amend clip": lambda p, f: clips.amend_clip(f.clip, replace(f.clip, name="Bench")),
    # runs, inspections, checks
    "record run": lambda p, f: record_run.record_run(
        p,
        TestRun(engine_id=f.engine.id, started_at=MARCH),
        [Reading(name="boost", value=0.4, unit="bar")],
    ),
    "record inspection": lambda p, f: record_run.record_inspection(
        p, Inspection(engine_id=f.engine.id, looked_at=MARCH)
    ),
    "record check": lambda p, f: record_run.record_check(
        p, Check(engine_id=f.engine.id, name="Codes")
    ),
    "amend run": lambda p, f: record_run.amend_run(p, f.run, replace(f.run, minutes=30)),
    "amend inspection": lambda p, f: record_run.amend_inspection(
        p, f.inspection, replace(f.inspection, load="idle")
    ),
    "amend check": lambda p, f: record_run.amend_check(
        p, f.check, replace(f.check, result=CheckResult.PASSED)
    ),
    "set readings": lambda p, f: record_run.set_readings(
        p, [Reading(name="vacuum", value=-3)], test_run_id=f.run.id
    ),
    "mark unknown": lambda p, f: record_run.mark_unknown(p, f.run, ["oil_c"]),
    "remove run": lambda p, f: record_run.remove_run(p, a_run_with_a_reading(p, f)),
    "remove inspection": lambda p, f: record_run.remove_inspection(p, an_empty_inspection(p, f)),
    "remove check": lambda p, f: record_run.remove_check(p, f.check.id),
    # photos
    "assign photo": lambda p, f: assign_photos.assign_photos(
        p, [f.loose.id, f.later.id], f.empty_zone.id, None
    ),
    "amend photo": lambda p, f: assign_photos.amend_photo(
        f.loose, replace(f.loose, mm_per_px=0.2, scale_source="ruler")
    ),
    "remove photo": lambda p, f: assign_photos.remove_photo(p, f.loose.id),
    "add photos": lambda p, f: (
        add_photos.add_photos(p, [PHOTO], f.zone.id, f.inspection.id, job_id=f.job.id).edit
    ),
    "measure scale": lambda p, f: measure_scale.measure_scale(p, a_stored_photo(p)),
    "scale by a length": lambda p, f: derive_scale.scale_by_length(
        p, a_stored_photo(p), (PointPx(0, 0), PointPx(300, 0)), 30
    ),
    "add clip": lambda p, f: clips.add_clip(p, VIDEO)[1],
    "grab still": lambda p, f: clips.grab_still(p, a_stored_clip(p), 1000, f.job.id)[1],
    "remove clip": lambda p, f: clips.remove_clip(p, a_stored_clip(p)),
    # marks
    "mark new leak": lambda p, f: mark_leaks.add_leak(p, f.later.id, SeepageGrade.STAIN)[1],
    "mark known leak": lambda p, f: mark_leaks.add_leak(
        p, f.reference.id, SeepageGrade.DRY, leak_id=f.lone_leak.id, joint_id=f.joint.id
    )[1],
    "change mark": lambda p, f: mark_leaks.change_mark(p, f.later_mark.id, grade=SeepageGrade.DRY),
    "remove mark": lambda p, f: mark_leaks.remove_mark(p, f.mark.id),
    "remove last mark": lambda p, f: mark_leaks.remove_mark(p, f.lone_mark.id),
    "split a leak": lambda p, f: mark_leaks.reassign_mark(p, f.later_mark.id, None),
    # the teardown
    "settle terms": lambda p, f: settle_redo.settle_terms(
        p, RedoTerms(engine_id=f.engine.id, workers=2)
    ),
    "settle a must": lambda p, f: settle_redo.decide(p, a_task(p).id, RedoDecision.MUST),
    "tick off a task": lambda p, f: settle_redo.tick_off(p, a_task(p).id, WorkKind.TASK, 2.5),
    "take from the library": lambda p, f: use_redo_library.add_from_library(
        p, f.engine.id, ["pan-seal"]
    ),
    "amend leak": lambda p, f: mark_leaks.amend_leak(p, f.leak, replace(f.leak, note="at bolt 2")),
}


@pytest.mark.parametrize("make", EDITS.values(), ids=EDITS.keys())
def test_an_edit_and_its_inverse_leave_every_record_as_it_was(project, filled, make):
    edit = make(project, filled)
    before = everything(project)

    inverse = project.apply(edit)
    between = everything(project)
    project.apply(inverse)

    assert between != before
    assert everything(project) == before
