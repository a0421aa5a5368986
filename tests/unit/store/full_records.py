"""One record of each kind with every field filled in, parents before what points at them."""

from datetime import datetime, timedelta, timezone

from leaktrack.model.agreement import BlindGrade
from leaktrack.model.bead_audit import (
    BeadAudit,
    BeadDefect,
    BeadDefectKind,
    BeadPoint,
    BeadVerdict,
    UnreadStretch,
)
from leaktrack.model.caution import Caution
from leaktrack.model.debris import DrainCount, Particle, ParticleKind
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
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import (
    Airflow,
    Check,
    CheckKind,
    CheckResult,
    Inspection,
    Reading,
    TestRun,
)
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.photo import Clip, Light, Photo, TakenAt
from leaktrack.model.record import Record, added
from leaktrack.model.redo_plan import (
    AccessStep,
    AnyOf,
    RedoDecision,
    RedoPart,
    RedoPlan,
    RedoTask,
)
from leaktrack.model.redo_problem import WorkKind
from leaktrack.model.redo_terms import RedoTerms, WorkTime
from leaktrack.model.removed_seal import RemovedSeal, SealFailure
from leaktrack.model.ring import RingFit
from leaktrack.model.sealing_job import (
    BeadPlace,
    Closing,
    Evidence,
    Material,
    Part,
    PartCondition,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState
from leaktrack.model.wet_search import Dismissal, WetKind

# Not on the hour, with parts of a second, in another zone than UTC.
MOMENT = datetime(2026, 3, 7, 23, 59, 58, 123456, tzinfo=timezone(timedelta(hours=5, minutes=45)))
TAKEN = TakenAt(datetime.fromisoformat("2026-03-07T23:59:58.120000"), utc_offset_min=345)
RECORDED = TakenAt(datetime.fromisoformat("2026-03-07T23:59:58"))

_ENGINE = Engine(name="Würth's Ωmega", description="on stand\n2", oil_capacity_ml=5250.5)
_FACE = Face(engine_id=_ENGINE.id, side=FaceSide.UNDERSIDE, name="Underside", position=3)
_REFERENCE_ID = new_id()
_ZONE = Zone(face_id=_FACE.id, name="Sump", position=2, reference_photo_id=_REFERENCE_ID)
_JOINT = Joint(
    zone_id=_ZONE.id,
    name="Sump joint",
    seal_kind=SealKind.LIQUID_GASKET,
    is_closed=True,
    length_mm=812.25,
    gap_mm=0.08,
    face_mm=11.5,
    position=4,
    note="two long bolts",
)
_BOLT = Bolt(joint_id=_JOINT.id, number=7, station_mm=120.5, opens_into_oil=False, note="stud")
_RUN = TestRun(
    engine_id=_ENGINE.id,
    started_at=MOMENT,
    minutes=25.5,
    distance_km=12.5,
    load="idle",
    highest_rpm=3000.0,
    oil_c=86.5,
    coolant_c=90.0,
    ambient_c=-3.5,
    oil_grade="5W-30",
    oil_before_ml=5000.0,
    oil_after_ml=4950.0,
    oil_added_ml=100.0,
    dipstick_before_mm=18.5,
    dipstick_before_c=21.5,
    dipstick_after_mm=-2.5,
    dipstick_after_c=64.0,
    note="smooth",
    unknown_facts=("load", "oil_c"),
)
_INSPECTION = Inspection(
    engine_id=_ENGINE.id,
    test_run_id=_RUN.id,
    looked_at=MOMENT,
    is_baseline=True,
    title="After 25 minutes",
    engine_hours=0.4,
    distance_since_seal_km=12.5,
    minutes_since_shutdown=15.0,
    oil_c=58.0,
    ambient_c=18.0,
    oil_grade="5W-30",
    oil_added_ml=50.0,
    load="idle",
    pitch_deg=1.5,
    roll_deg=-2.0,
    airflow=Airflow.FAN,
    crankcase_mmh2o=-12.0,
    cleaned_at=MOMENT - timedelta(days=1),
    cleaned_how="wiped",
    light=Light.UV,
    has_dye=False,
    done_by="Anna",
    note="cold hall",
    unknown_facts=("load",),
)
_READING = Reading(
    test_run_id=_RUN.id,
    inspection_id=_INSPECTION.id,
    name="oil pressure",
    value=3.1,
    unit="bar",
    note="hot",
)
_CHECK = Check(
    engine_id=_ENGINE.id,
    joint_id=_JOINT.id,
    name="Strainer",
    kind=CheckKind.DEBRIS,
    done_at=MOMENT,
    result=CheckResult.FAILED,
    finding="blue crumbs",
    implies="look at the pick-up",
    rides_along=True,
)
_PHOTO = Photo(
    id=_REFERENCE_ID,
    sha256="0123456789abcdef" * 4,
    file_type="heic",
    original_name="Träger 1.heic",
    size_bytes=5_000_000_000,
    width_px=12000,
    height_px=9000,
    orientation=6,
    taken=TAKEN,
    zone_id=_ZONE.id,
    inspection_id=_INSPECTION.id,
    check_id=_CHECK.id,
    light=Light.POWDER,
    mm_per_px=0.125,
    plane=(0.125, 0.0, -7.5, 0.25, 0.0625, 3.0, 1e-5, -2e-6, 1.0),
    down_deg=-12.5,
    air_deg=88.25,
    scale_source="two bolts",
    note="steady",
)
_LINE = JointLine(
    joint_id=_JOINT.id,
    photo_id=_PHOTO.id,
    points=(
        LinePoint(PointPx(0.1, -0.5)),
        LinePoint(PointPx(100.25, 7.0), 7),
        LinePoint(PointPx(1 / 3, 2e-9), 8, PointPx(11999.5, 8999.5), 2.625),
    ),
)
_CLIP = Clip(
    name="Assembly",
    path="clips/ab/abc.mp4",
    sha256="fedcba9876543210" * 4,
    size_bytes=9_000_000_000,
    duration_ms=3_000_000_000,
    width_px=1920,
    height_px=1080,
    recorded=RECORDED,
    note="from the tripod",
)
_MATERIAL = Material(
    name="Blue sealant", seal_kind=SealKind.THREAD_SEALANT, colour="blue", note="new tube"
)
_RULE = SealingRule(
    material_id=_MATERIAL.id,
    closing=Closing.AFTER_SKIN,
    open_time_min=10.0,
    skin_time_min=5.0,
    cure_before_filling_h=2.0,
    cure_before_running_h=24.0,
    bead_min_mm=2.0,
    bead_max_mm=3.5,
    bead_place=BeadPlace.AROUND_BOLTS,
    lowest_c=5.0,
    highest_c=40.0,
    source="text on the tube",
)
_EARLIER_JOB = SealingJob(joint_id=_JOINT.id, done_at=MOMENT - timedelta(days=9))
_JOB = SealingJob(
    joint_id=_JOINT.id,
    done_at=MOMENT,
    material_id=_MATERIAL.id,
    supersedes_id=_EARLIER_JOB.id,
    bead_mm=3.0,
    bead_place=BeadPlace.INSIDE_BOLTS,
    bead_laid_at=MOMENT - timedelta(minutes=20),
    closed_at=MOMENT - timedelta(minutes=10),
    filled_at=MOMENT + timedelta(hours=3),
    temperature_c=21.0,
    humidity_percent=45.0,
    surface_work="scraped, wiped",
    done_by="Ben",
    note="second try",
    unknown_facts=("humidity_percent",),
)
_PASS = TorquePass(
    sealing_job_id=_JOB.id,
    number=2,
    torque_nm=10.0,
    angle_deg=90.0,
    sequence="centre outward",
    bolt_numbers=(1, 2, 12),
    done_at=MOMENT,
    tool="click wrench",
)
_PART = Part(
    sealing_job_id=_JOB.id,
    name="crush washer",
    is_single_use=True,
    condition=PartCondition.REUSED,
    note="looked fine",
)
_EVIDENCE = Evidence(
    sealing_job_id=_JOB.id,
    photo_id=_PHOTO.id,
    clip_id=_CLIP.id,
    start_ms=2_999_999_000,
    end_ms=2_999_999_999,
    note="gap at bolt 4",
)
_AUDIT = BeadAudit(
    sealing_job_id=_JOB.id,
    photo_id=_PHOTO.id,
    made_at=MOMENT,
    verdict=BeadVerdict.DEFECTIVE,
    unit="mm",
    nominal=3.0,
    narrowest=2.25,
    widest=3.75,
    tolerance_source="text on the tube",
    mm_per_px=0.125,
    points=(
        BeadPoint(0.0, 2.875, -0.25, True, PointPx(12.5, 40.25), 1.5),
        BeadPoint(0.5, 0.0, 0.0, False, PointPx(16.5, 40.75)),
    ),
    defects=(BeadDefect(BeadDefectKind.GAP, 0.25, 2.75, 0.0, 0.9375, 1.5, 1.625),),
    unread=(UnreadStretch(3.5, 6.0, "glare"),),
)
_LEAK = Leak(zone_id=_ZONE.id, number=3, joint_id=_JOINT.id, note="left end")
_MARK = LeakMark(
    leak_id=_LEAK.id,
    photo_id=_PHOTO.id,
    grade=SeepageGrade.HEAVY_SEEP,
    source_px=PointPx(1 / 3, 0.1 + 0.2),
    outline_px=(PointPx(0.5, 1.5), PointPx(1e5, 2.25), PointPx(-0.5, 1e-7)),
    fluid=Fluid.GEAR_OIL,
    has_hanging_drop=False,
    do_drops_fall=True,
    is_stream=False,
    drops_per_minute=0.5,
    drop_edge_mm=4.25,
    pool_mm=72.5,
    wet_for_min=31.5,
    did_reappear=True,
    reappears_after_min=12.0,
    note="fresh",
)
_CAUSE = Cause(
    leak_id=_LEAK.id,
    sealing_job_id=_JOB.id,
    bolt_id=_BOLT.id,
    state=CauseState.RULED_OUT,
    reason="dry there",
    decided_at=MOMENT,
    decided_by="Anna",
)
_STEP = AccessStep(
    engine_id=_ENGINE.id,
    name="Lift the engine",
    hours=2.5,
    refit_hours=3.5,
    money=12.5,
    is_done=True,
    needs=(new_id(), new_id()),
    cautions=(Caution.LIFTING, Caution.HOT_OIL),
    position=5,
    parts=(RedoPart("hoist bolt", 4), RedoPart("sling", 1, is_single_use=False)),
    tools=("hoist", "stand"),
    template="engine-out",
)
_TASK = RedoTask(
    engine_id=_ENGINE.id,
    name="Seal the sump again",
    joint_id=_JOINT.id,
    check_id=_CHECK.id,
    hours=1.5,
    money=20.0,
    cure_h=24.0,
    needs=(_STEP.id, AnyOf(((new_id(), new_id()), (new_id(),)))),
    cautions=(Caution.SOLVENT,),
    is_done=True,
    decision=RedoDecision.NEVER,
    does_cure_block_refit=True,
    chance=0.4,
    mess=55.5,
    parts=(RedoPart("sealant"),),
    tools=("scraper of plastic",),
    template="sump-seal",
)
_TERMS = RedoTerms(
    engine_id=_ENGINE.id,
    hour_rate=62.5,
    mess=35.0,
    workers=2,
    day_hours=7.5,
    hours_budget=40.0,
    money_budget=500.0,
)
_TIME = WorkTime(
    engine_id=_ENGINE.id,
    access_step_id=_STEP.id,
    redo_task_id=_TASK.id,
    kind=WorkKind.TAKE_OFF,
    hours=2.75,
    done_at=MOMENT,
    done_by="A. Meyer",
    note="one bolt sheared",
)
_PLAN = RedoPlan(
    engine_id=_ENGINE.id,
    made_at=MOMENT,
    task_ids=(_TASK.id,),
    hours=7.5,
    money=32.5,
    note="in April",
)

_DISMISSAL = Dismissal(
    photo_id=_PHOTO.id,
    decided_at=MOMENT,
    kind=WetKind.DRIED,
    outline_px=(PointPx(0.5, 1.5), PointPx(11.0, 2.25), PointPx(1 / 3, 12.0)),
    score=0.625,
)

_RING = RingFit(
    sealing_job_id=_JOB.id,
    size="-214",
    inner_mm=24.99,
    inner_tolerance_mm=0.25,
    section_mm=3.53,
    section_tolerance_mm=0.1,
    seat_mm=25.4,
    seat_tolerance_mm=0.05,
    depth_mm=2.82,
    depth_tolerance_mm=0.03,
    width_mm=4.75,
    width_tolerance_mm=0.125,
    is_dynamic=True,
    note="from the drawing",
)
_SEAL = RemovedSeal(
    sealing_job_id=_JOB.id,
    examined_at=MOMENT,
    failure=SealFailure.COMPRESSION_SET,
    second_failure=SealFailure.HEAT,
    place="at bolt 4",
    cause="ran hot",
    new_mm=3.53,
    squeezed_mm=2.65,
    recovered_mm=3.31,
    recovered_after_min=30.0,
    caliper_mm=0.02,
    hardness_shore_a=85.0,
    photo_id=_PHOTO.id,
    examined_by="Anna",
    note="kept in a bag",
)
_BLIND = BlindGrade(
    leak_id=_LEAK.id,
    photo_id=_PHOTO.id,
    grade=SeepageGrade.DRIP,
    graded_by="Ben",
    graded_at=MOMENT,
)
_DRAIN = DrainCount(
    photo_id=_PHOTO.id,
    counted_at=MOMENT,
    particles=(
        Particle(
            at=PointPx(12.5, 40.25),
            outline=(),
            length=2.125,
            width=1.5,
            area=2.25,
            kind=ParticleKind.SEALANT_CRUMB,
            lightness=48.5,
            colour=(30.0, -2.5),
        ),
    ),
    unit="mm",
    mm_per_px=0.125,
    least=0.5,
    is_paper_doubtful=True,
)
_DIPSTICK = DipstickPoint(engine_id=_ENGINE.id, height_mm=20.5, volume_ml=1012.5)

FULL_RECORDS: tuple[Record, ...] = (
    _ENGINE, _FACE, _ZONE, _JOINT, _BOLT, _RUN, _INSPECTION, _READING, _CHECK, _PHOTO, _LINE,
    _CLIP, _MATERIAL, _RULE, _JOB, _PASS, _PART, _EVIDENCE, _LEAK, _MARK, _CAUSE, _STEP, _TASK,
    _PLAN, _TERMS, _TIME, _AUDIT, _DISMISSAL, _RING, _SEAL, _BLIND, _DRAIN,
    _DIPSTICK,
)  # fmt: skip

ALL_FULL = added(*FULL_RECORDS[:14], _EARLIER_JOB, *FULL_RECORDS[14:])
"""The edit that adds them, and the one more job that a full job points at."""


def kind_name(record: Record) -> str:
    """Return what a test about this record is called."""
    return type(record).__name__
