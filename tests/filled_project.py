"""A small project with at least one record of every kind, for tests that need something to change.

All of it is invented. Photos and clips are records only; their files are not there.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import get_args

from leaktrack.model.engine import (
    Bolt,
    Engine,
    Face,
    FaceSide,
    Joint,
    JointLine,
    LinePoint,
    SealKind,
    Zone,
)
from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Clip, Light, Photo, TakenAt
from leaktrack.model.record import Record, added
from leaktrack.model.redo_plan import AccessStep, RedoPlan, RedoTask
from leaktrack.model.sealing_job import (
    Evidence,
    Material,
    Part,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState

KINDS = get_args(Record)
MARCH = datetime.fromisoformat("2026-03-07T16:00:00+00:00")
DAY = timedelta(days=1)


def a_photo(number: int, **fields: object) -> Photo:
    """Return the record of a photo of 1000 x 800 pixels."""
    plain = {
        "sha256": f"{number:064x}",
        "file_type": "jpg",
        "original_name": f"photo_{number}.jpg",
        "size_bytes": 1000 + number,
        "width_px": 1000,
        "height_px": 800,
    }
    return Photo(**{**plain, **fields})


@dataclass(frozen=True)
class Filled:
    """The records that tests name."""

    engine: Engine
    other_engine: Engine
    face: Face
    other_face: Face
    zone: Zone
    empty_zone: Zone
    other_zone: Zone
    joint: Joint
    empty_joint: Joint
    other_joint: Joint
    bolts: tuple[Bolt, ...]
    material: Material
    unused_material: Material
    rule: SealingRule
    reference: Photo
    later: Photo
    loose: Photo
    line: JointLine
    clip: Clip
    job: SealingJob
    later_job: SealingJob
    torque_pass: TorquePass
    part: Part
    photo_evidence: Evidence
    clip_evidence: Evidence
    run: TestRun
    baseline: Inspection
    inspection: Inspection
    reading: Reading
    check: Check
    leak: Leak
    lone_leak: Leak
    mark: LeakMark
    later_mark: LeakMark
    lone_mark: LeakMark
    cause: Cause
    step: AccessStep
    task: RedoTask
    plan: RedoPlan


def fill(project) -> Filled:
    """Put the records into an empty project and return them."""
    filled = _records()
    named = [getattr(filled, name) for name in Filled.__dataclass_fields__]
    flat = [record for item in named for record in (item if isinstance(item, tuple) else (item,))]
    ordered = sorted(flat, key=lambda record: _ORDER.index(type(record)))
    project.apply(added(*ordered))
    return filled


def everything(project) -> dict[type, frozenset]:
    """Return all records of all kinds."""
    with project.read() as records:
        return {kind: frozenset(records.all(kind)) for kind in KINDS}


# Parents first.
_ORDER = [
    Engine, Face, Clip, Material, SealingRule, TestRun, Inspection, Zone, Joint, Bolt, Check, Photo,
    JointLine, SealingJob, TorquePass, Part, Evidence, Reading, Leak, LeakMark, Cause, AccessStep,
    RedoTask, RedoPlan,
]  # fmt: skip


def _records() -> Filled:
    engine, other_engine = Engine(name="T1", oil_capacity_ml=5000), Engine(name="T2")
    face = Face(engine_id=engine.id, side=FaceSide.BANK_1, name="Bank 1")
    other_face = Face(engine_id=other_engine.id, side=FaceSide.TOP, name="Top")
    zone = Zone(face_id=face.id, name="Cover")
    empty_zone = Zone(face_id=face.id, name="Front", position=1)
    other_zone = Zone(face_id=other_face.id, name="Lid")
    joint = Joint(zone_id=zone.id, name="Cover joint", seal_kind=SealKind.LIQUID_GASKET)
    empty_joint = Joint(zone_id=zone.id, name="Plug", seal_kind=SealKind.WASHER, position=1)
    other_joint = Joint(zone_id=other_zone.id, name="Lid joint", seal_kind=SealKind.GASKET)
    bolts = tuple(Bolt(joint_id=joint.id, number=number) for number in range(1, 7))
    material = Material(name="Blue sealant", seal_kind=SealKind.LIQUID_GASKET, colour="blue")
    rule = SealingRule(material_id=material.id, open_time_min=10, bead_max_mm=3.5)
    run = TestRun(engine_id=engine.id, started_at=MARCH + 10 * DAY, minutes=25)
    baseline = Inspection(engine_id=engine.id, looked_at=MARCH + 9 * DAY, is_baseline=True)
    inspection = Inspection(
        engine_id=engine.id,
        test_run_id=run.id,
        looked_at=MARCH + 10.1 * DAY,
        light=Light.WHITE,
        unknown_facts=("load",),
    )
    check = Check(engine_id=engine.id, joint_id=joint.id, name="Oil pressure sender")
    reference = a_photo(1, zone_id=zone.id, inspection_id=baseline.id)
    later = a_photo(
        2,
        zone_id=zone.id,
        inspection_id=inspection.id,
        taken=TakenAt(datetime.fromisoformat("2026-03-17T19:00:00"), 60),
    )
    loose = a_photo(3)
    line = JointLine(
        joint_id=joint.id,
        photo_id=reference.id,
        points=(
            LinePoint(PointPx(100, 400), 1, PointPx(100, 380)),
            LinePoint(PointPx(500, 410), 2),
            LinePoint(PointPx(900, 400), 3),
        ),
    )
    clip = Clip(
        name="Assembly",
        path="clips/a.mp4",
        sha256="c" * 64,
        size_bytes=10_000,
        duration_ms=60_000,
        width_px=640,
        height_px=360,
    )
    job = SealingJob(
        joint_id=joint.id, done_at=MARCH, material_id=material.id, bead_mm=4.0, bead_laid_at=MARCH
    )
    later_job = SealingJob(joint_id=joint.id, done_at=MARCH + 20 * DAY, supersedes_id=job.id)
    leak = Leak(zone_id=zone.id, number=1, joint_id=joint.id)
    lone_leak = Leak(zone_id=zone.id, number=2)
    wet = (PointPx(300, 420), PointPx(340, 420), PointPx(320, 500))
    step = AccessStep(engine_id=engine.id, name="Take off the intake", hours=1.0)
    task = RedoTask(
        engine_id=engine.id, name="Seal the cover again", joint_id=joint.id, hours=1.5,
        needs=(step.id,),
    )  # fmt: skip
    return Filled(
        engine=engine,
        other_engine=other_engine,
        face=face,
        other_face=other_face,
        zone=zone,
        empty_zone=empty_zone,
        other_zone=other_zone,
        joint=joint,
        empty_joint=empty_joint,
        other_joint=other_joint,
        bolts=bolts,
        material=material,
        unused_material=Material(name="O-ring", seal_kind=SealKind.O_RING),
        rule=rule,
        reference=reference,
        later=later,
        loose=loose,
        line=line,
        clip=clip,
        job=job,
        later_job=later_job,
        torque_pass=TorquePass(
            sealing_job_id=job.id, number=1, torque_nm=10, bolt_numbers=(1, 2, 6)
        ),
        part=Part(sealing_job_id=job.id, name="cover bolts"),
        photo_evidence=Evidence(sealing_job_id=job.id, photo_id=reference.id),
        clip_evidence=Evidence(sealing_job_id=job.id, clip_id=clip.id, start_ms=1000, end_ms=5000),
        run=run,
        baseline=baseline,
        inspection=inspection,
        reading=Reading(test_run_id=run.id, name="oil pressure", value=3.1, unit="bar"),
        check=check,
        leak=leak,
        lone_leak=lone_leak,
        mark=LeakMark(leak_id=leak.id, photo_id=reference.id, grade=SeepageGrade.DRY),
        later_mark=LeakMark(
            leak_id=leak.id,
            photo_id=later.id,
            grade=SeepageGrade.DRIP,
            source_px=PointPx(320, 425),
            outline_px=wet,
            has_hanging_drop=True,
            drops_per_minute=2.0,
        ),
        lone_mark=LeakMark(leak_id=lone_leak.id, photo_id=later.id, grade=SeepageGrade.SEEP),
        cause=Cause(
            leak_id=lone_leak.id,
            sealing_job_id=job.id,
            bolt_id=bolts[3].id,
            state=CauseState.SUSPECTED,
            reason="starts at bolt 4",
            decided_at=MARCH + 11 * DAY,
        ),
        step=step,
        task=task,
        plan=RedoPlan(engine_id=engine.id, made_at=MARCH + 12 * DAY, task_ids=(task.id,)),
    )
