"""The records of an invented engine with two joints, three inspections and three leaks."""

from datetime import datetime, timedelta

from leaktrack.model.engine import Bolt, Engine, Joint, SealKind, Zone
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Check, CheckResult, Inspection, TestRun
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Clip, Light, Photo, TakenAt
from leaktrack.model.sealing_job import (
    Deviation,
    DeviationKind,
    Evidence,
    Material,
    SealingJob,
    SealingRule,
)
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Cause, CauseState

MARCH = datetime.fromisoformat("2026-03-07T16:55:00+01:00")
DAY = timedelta(days=1)

ENGINE = Engine(name="W7", description="60-degree V6, rebuilt by a volunteer workshop")
COVER = Zone(face_id=new_id(), name="Bank 1 cover")
REAR = Zone(face_id=new_id(), name="Rear seal carrier")
COVER_JOINT = Joint(
    zone_id=COVER.id, name="Bank 1 cover joint", seal_kind=SealKind.LIQUID_GASKET, length_mm=422
)
REAR_JOINT = Joint(
    zone_id=REAR.id, name="Rear carrier joint", seal_kind=SealKind.GASKET, is_closed=True
)
BOLTS = tuple(Bolt(joint_id=COVER_JOINT.id, number=number) for number in range(1, 12))
RUN = TestRun(
    engine_id=ENGINE.id,
    started_at=MARCH + 14 * DAY,
    minutes=25,
    load="idle",
    oil_before_ml=6200,
    oil_after_ml=6150,
)
BASELINE = Inspection(
    engine_id=ENGINE.id, looked_at=MARCH + 7 * DAY, is_baseline=True, title="Baseline, not yet run"
)
FIRST = Inspection(
    engine_id=ENGINE.id,
    looked_at=MARCH + 14 * DAY,
    title="After 25 minutes on the stand",
    test_run_id=RUN.id,
    minutes_since_shutdown=30,
    oil_c=58,
    light=Light.WHITE,
    done_by="Workshop team A",
    unknown_facts=("crankcase_mmh2o",),
)
LAST = Inspection(engine_id=ENGINE.id, looked_at=MARCH + 28 * DAY, title="After 4 hours")
LEAK_1 = Leak(zone_id=COVER.id, number=1, joint_id=COVER_JOINT.id, note="Between bolts 4 and 5.")
LEAK_2 = Leak(zone_id=COVER.id, number=2)
LEAK_3 = Leak(zone_id=REAR.id, number=3)
MATERIAL = Material(name="Blue silicone gasket maker", seal_kind=SealKind.LIQUID_GASKET)
RULE = SealingRule(material_id=MATERIAL.id, source="text on the tube")
JOB = SealingJob(
    joint_id=COVER_JOINT.id,
    done_at=MARCH,
    material_id=MATERIAL.id,
    bead_mm=3.0,
    closed_at=MARCH - timedelta(minutes=7),
    done_by="Workshop team A",
    unknown_facts=("surface_work",),
)
REAR_JOB = SealingJob(joint_id=REAR_JOINT.id, done_at=MARCH + DAY)


def a_photo(name: str, **fields: object) -> Photo:
    """Return the record of a photo of 1000 x 800 pixels."""
    plain = {
        "sha256": f"{abs(hash(name)):064x}"[:64],
        "file_type": "jpg",
        "original_name": name,
        "size_bytes": 1000,
        "width_px": 1000,
        "height_px": 800,
    }
    return Photo(**{**plain, **fields})


COVER_PHOTO = a_photo(
    "cover_i2.jpg",
    zone_id=COVER.id,
    inspection_id=LAST.id,
    taken=TakenAt(datetime(2026, 4, 4, 16, 5)),  # noqa: DTZ001 - a camera's clock has no zone
    light=Light.WHITE,
    mm_per_px=0.2,
)
BASELINE_PHOTO = a_photo("cover_i0.jpg", zone_id=COVER.id, inspection_id=BASELINE.id)
SECOND_PHOTO = a_photo("cover_i0_b.jpg", zone_id=COVER.id, inspection_id=BASELINE.id)
REAR_PHOTO = a_photo("rear_i1.jpg", zone_id=REAR.id, inspection_id=FIRST.id)
BEAD_PHOTO = a_photo("cover_bead.jpg")
CHECK = Check(
    engine_id=ENGINE.id,
    name="Debris in the drain strainer",
    done_at=MARCH + 28 * DAY,
    result=CheckResult.FAILED,
    finding="Blue crumbs.",
    implies="Look for squeezed-out sealant.",
    rides_along=True,
)
CHECK_PHOTO = a_photo("strainer.jpg", check_id=CHECK.id)
PHOTOS = (COVER_PHOTO, BASELINE_PHOTO, SECOND_PHOTO, REAR_PHOTO, BEAD_PHOTO, CHECK_PHOTO)

MARK_1 = LeakMark(
    leak_id=LEAK_1.id,
    photo_id=COVER_PHOTO.id,
    grade=SeepageGrade.DRIP,
    source_px=PointPx(380, 400),
    outline_px=(PointPx(360, 395), PointPx(400, 395), PointPx(410, 560), PointPx(370, 560)),
    fluid=Fluid.ENGINE_OIL,
    drops_per_minute=2,
    note="Runs down to the rib.",
)
MARK_2 = LeakMark(
    leak_id=LEAK_2.id,
    photo_id=COVER_PHOTO.id,
    grade=SeepageGrade.SEEP,
    source_px=PointPx(660, 370),
    outline_px=(PointPx(650, 365), PointPx(680, 365), PointPx(670, 440)),
    reappears_after_min=180,
)
UNSEEN_MARK = LeakMark(
    leak_id=LEAK_3.id,
    photo_id=REAR_PHOTO.id,
    grade=SeepageGrade.NOT_SEEN,
    note="Behind the bracket.",
)

CLIP = Clip(
    name="Assembly, 8 March",
    path="clips/a.mp4",
    sha256="0" * 64,
    size_bytes=1,
    duration_ms=80_000,
    width_px=640,
    height_px=480,
)
BEAD_EVIDENCE = Evidence(sealing_job_id=JOB.id, photo_id=BEAD_PHOTO.id, note="whole bead, open")
CLIP_EVIDENCE = Evidence(
    sealing_job_id=JOB.id, clip_id=CLIP.id, start_ms=8240, end_ms=24760, note="bead, left to right"
)
TOO_LATE = Deviation(DeviationKind.CLOSED_TOO_LATE, JOB.id, "closed_at", 16.0, 10.0, "min")
CAUSE = Cause(
    leak_id=LEAK_1.id,
    sealing_job_id=JOB.id,
    bolt_id=BOLTS[3].id,
    state=CauseState.CONFIRMED,
    reason="The bead photo shows a gap there.",
    decided_at=MARCH + 49 * DAY,
    decided_by="Team A",
)
