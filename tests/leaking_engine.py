"""An invented engine with its whole story: sealed, run, inspected, traced, sealed again, proved.

A seep between bolts 3 and 4 of the cover joint grows and is gone after the joint was sealed again.
A second one at bolt 4, whose hole goes through to oil, comes later and stays. A third one at the
solenoid is seen once and then not photographed. All photos are records only.
"""

from dataclasses import dataclass
from datetime import datetime

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
from leaktrack.model.inspection import Check, CheckResult, Inspection, TestRun
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Light, Photo
from leaktrack.model.record import added
from leaktrack.model.redo_plan import AccessStep, RedoTask
from leaktrack.model.sealing_job import Closing, Evidence, Material, SealingJob, SealingRule
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState


def at(text: str) -> datetime:
    """Return a time of the year 2026 from "month-day hour:minute", in UTC."""
    return datetime.fromisoformat(f"2026-{text}+00:00")


@dataclass(frozen=True)
class Story:
    """The records that tests name; inspections, runs and photos in their order in time."""

    engine: Engine
    cover: Zone
    solenoid: Zone
    sump: Zone
    cover_joint: Joint
    solenoid_seal: Joint
    sump_gasket: Joint
    bolt_4: Bolt
    first_job: SealingJob
    solenoid_job: SealingJob
    second_job: SealingJob
    runs: tuple[TestRun, ...]
    inspections: tuple[Inspection, ...]
    cover_photos: tuple[Photo, ...]
    solenoid_photos: tuple[Photo, ...]
    bead_photo: Photo
    gap_leak: Leak
    bolt_leak: Leak
    solenoid_leak: Leak
    gap_cause: Cause
    bolt_cause: Cause
    codes: Check
    strainer: Check
    intake: AccessStep
    cover_task: RedoTask


def a_photo(number: int, **fields: object) -> Photo:
    """Return the record of a photo of 2000 x 1500 pixels."""
    plain = {
        "sha256": f"{number:064x}",
        "file_type": "jpg",
        "original_name": f"photo_{number}.jpg",
        "size_bytes": 1000,
        "width_px": 2000,
        "height_px": 1500,
        "light": Light.WHITE,
    }
    return Photo(**{**plain, **fields})


def cover_line(joint: Joint, photo: Photo, y_px: float) -> JointLine:
    """Return a level line with bolts 2 to 6 every 300 px from x = 300, heads 100 px above it."""
    points = tuple(
        LinePoint(PointPx(300 * place, y_px), place + 1, PointPx(300 * place, y_px - 100))
        for place in range(1, 6)
    )
    return JointLine(
        joint_id=joint.id, photo_id=photo.id, points=(LinePoint(PointPx(10, y_px)), *points)
    )


def a_square(x: float, y: float, side: float) -> tuple[PointPx, ...]:
    """Return an outline that hangs down from the middle of its upper side."""
    left, right = x - side / 2, x + side / 2
    return (PointPx(left, y), PointPx(right, y), PointPx(right, y + side), PointPx(left, y + side))


def tell(project) -> Story:
    """Put the whole story into an empty project and return its records."""
    engine = Engine(name="W")
    bank = Face(engine_id=engine.id, side=FaceSide.BANK_1, name="Bank 1")
    below = Face(engine_id=engine.id, side=FaceSide.UNDERSIDE, name="Underside", position=1)
    cover = Zone(face_id=bank.id, name="Cover")
    solenoid = Zone(face_id=bank.id, name="Solenoid", position=1)
    sump = Zone(face_id=below.id, name="Sump")
    cover_joint = Joint(zone_id=cover.id, name="Cover joint", seal_kind=SealKind.LIQUID_GASKET)
    solenoid_seal = Joint(
        zone_id=solenoid.id, name="Solenoid seal", seal_kind=SealKind.LIQUID_GASKET, is_closed=True
    )
    sump_gasket = Joint(zone_id=sump.id, name="Sump gasket", seal_kind=SealKind.GASKET)
    bolts = [
        Bolt(joint_id=cover_joint.id, number=number, opens_into_oil=number == 4)
        for number in range(1, 8)
    ]
    sealant = Material(name="Blue sealant", seal_kind=SealKind.LIQUID_GASKET)
    rule = SealingRule(material_id=sealant.id, closing=Closing.WHILE_WET, open_time_min=10)
    first_job = SealingJob(
        joint_id=cover_joint.id,
        done_at=at("03-07 16:55"),
        material_id=sealant.id,
        bead_laid_at=at("03-07 16:30"),
        closed_at=at("03-07 16:46"),
    )
    solenoid_job = SealingJob(joint_id=solenoid_seal.id, done_at=at("03-08 11:40"))
    second_job = SealingJob(
        joint_id=cover_joint.id,
        done_at=at("04-11 10:20"),
        material_id=sealant.id,
        supersedes_id=first_job.id,
        bead_laid_at=at("04-11 10:02"),
        closed_at=at("04-11 10:09"),
    )
    runs = tuple(
        TestRun(engine_id=engine.id, started_at=at(when), minutes=25, oil_c=86)
        for when in ("03-21 14:05", "04-04 11:40", "04-25 08:15")
    )
    inspections = tuple(
        Inspection(
            engine_id=engine.id,
            test_run_id=run.id if run else None,
            looked_at=at(when),
            is_baseline=run is None,
            title=title,
            oil_c=58,
            cleaned_at=at("03-13 17:00"),
        )
        for when, run, title in [
            ("03-14 10:00", None, "Baseline"),
            ("03-21 15:00", runs[0], "After 25 minutes"),
            ("04-04 16:00", runs[1], "After 4 hours"),
            ("04-25 11:00", runs[2], "After the redo"),
        ]
    )
    cover_photos = tuple(
        a_photo(10 + place, zone_id=cover.id, inspection_id=one.id, mm_per_px=0.15)
        for place, one in enumerate(inspections)
    )
    solenoid_photos = tuple(
        a_photo(20 + place, zone_id=solenoid.id, inspection_id=one.id)
        for place, one in enumerate(inspections[:3])
    )
    bead_photo = a_photo(30, zone_id=cover.id)
    lines = [
        cover_line(cover_joint, photo, y_px)
        for photo, y_px in zip(cover_photos, (800, 820, 790, 810), strict=True)
    ]
    gap_leak = Leak(zone_id=cover.id, number=1)
    bolt_leak = Leak(zone_id=cover.id, number=2)
    solenoid_leak = Leak(zone_id=solenoid.id, number=3, joint_id=solenoid_seal.id)
    marks = [
        LeakMark(
            leak_id=gap_leak.id,
            photo_id=cover_photos[1].id,
            grade=SeepageGrade.SEEP,
            source_px=PointPx(750, 825),
            outline_px=a_square(750, 825, 40),
        ),
        LeakMark(
            leak_id=gap_leak.id,
            photo_id=cover_photos[2].id,
            grade=SeepageGrade.HEAVY_SEEP,
            source_px=PointPx(750, 795),
            outline_px=a_square(750, 795, 120),
            has_hanging_drop=True,
        ),
        LeakMark(
            leak_id=gap_leak.id,
            photo_id=cover_photos[3].id,
            grade=SeepageGrade.DRY,
            source_px=PointPx(750, 815),
        ),
        LeakMark(
            leak_id=bolt_leak.id,
            photo_id=cover_photos[2].id,
            grade=SeepageGrade.SEEP,
            source_px=PointPx(903, 725),
            outline_px=a_square(903, 725, 100),
        ),
        LeakMark(
            leak_id=bolt_leak.id,
            photo_id=cover_photos[3].id,
            grade=SeepageGrade.SEEP,
            source_px=PointPx(903, 745),
            outline_px=a_square(903, 745, 60),
        ),
        LeakMark(
            leak_id=solenoid_leak.id, photo_id=solenoid_photos[2].id, grade=SeepageGrade.STAIN
        ),
    ]
    gap_cause = Cause(
        leak_id=gap_leak.id,
        sealing_job_id=first_job.id,
        state=CauseState.CONFIRMED,
        reason="the bead photo shows a gap",
        decided_at=at("04-05 09:00"),
    )
    bolt_cause = Cause(
        leak_id=bolt_leak.id,
        sealing_job_id=first_job.id,
        bolt_id=bolts[3].id,
        state=CauseState.SUSPECTED,
        reason="comes out at the washer",
        decided_at=at("04-05 09:10"),
    )
    codes = Check(engine_id=engine.id, name="Fault codes", rides_along=True)
    strainer = Check(
        engine_id=engine.id,
        joint_id=sump_gasket.id,
        name="Drain strainer",
        done_at=at("04-05 12:00"),
        result=CheckResult.FAILED,
        finding="grey flakes",
        rides_along=True,
    )
    intake = AccessStep(engine_id=engine.id, name="Take off the intake", hours=1.0, refit_hours=0.5)
    cover_task = RedoTask(
        engine_id=engine.id,
        name="Seal the cover again",
        joint_id=cover_joint.id,
        hours=2.0,
        cure_h=24,
        needs=(intake.id,),
    )
    evidence = Evidence(sealing_job_id=first_job.id, photo_id=bead_photo.id)
    structure = (
        engine,
        bank,
        below,
        cover,
        solenoid,
        sump,
        cover_joint,
        solenoid_seal,
        sump_gasket,
    )
    photos = (*cover_photos, *solenoid_photos, bead_photo)
    sealing = (sealant, rule, first_job, solenoid_job, second_job, evidence)
    leaks = (gap_leak, bolt_leak, solenoid_leak, *marks, gap_cause, bolt_cause)
    planning = (codes, strainer, intake, cover_task)
    project.apply(
        added(*structure, *bolts, *runs, *inspections, *photos, *lines, *sealing, *leaks, *planning)
    )
    return Story(
        engine=engine,
        cover=cover,
        solenoid=solenoid,
        sump=sump,
        cover_joint=cover_joint,
        solenoid_seal=solenoid_seal,
        sump_gasket=sump_gasket,
        bolt_4=bolts[3],
        first_job=first_job,
        solenoid_job=solenoid_job,
        second_job=second_job,
        runs=runs,
        inspections=inspections,
        cover_photos=cover_photos,
        solenoid_photos=solenoid_photos,
        bead_photo=bead_photo,
        gap_leak=gap_leak,
        bolt_leak=bolt_leak,
        solenoid_leak=solenoid_leak,
        gap_cause=gap_cause,
        bolt_cause=bolt_cause,
        codes=codes,
        strainer=strainer,
        intake=intake,
        cover_task=cover_task,
    )
