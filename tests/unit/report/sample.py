"""A report's findings: an invented engine with two joints, three inspections and three leaks."""

import io
from dataclasses import dataclass
from datetime import datetime, timedelta

from PIL import Image

from leaktrack.model.caution import Caution
from leaktrack.model.comparison import Change, LeakChange, LeakHistory, Sighting
from leaktrack.model.engine import Bolt, Engine, Joint, SealKind, Zone
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Check, CheckResult, Inspection, Reading, TestRun
from leaktrack.model.joint_strip import JointStrip, StripBolt, StripMark, StripRow
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Clip, Light, Photo, TakenAt
from leaktrack.model.redo_plan import AccessStep, PlannedTask, RedoList, RedoTask, TaskReason
from leaktrack.model.sealing_job import (
    Deviation,
    DeviationKind,
    Evidence,
    Material,
    Part,
    PartCondition,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.severity import DinTerm, Judgement, PmcsClass, PublishedClasses, Verdict
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Candidate, Cause, CauseState, Clue, ClueKind, Trace
from leaktrack.model.warning import InspectionWarning, WarningKind
from leaktrack.report.findings import Findings, JobFindings, PictureFile

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


def _sightings(*grades: SeepageGrade) -> tuple[Sighting, ...]:
    inspections = (BASELINE, FIRST, LAST)
    return tuple(
        Sighting(inspection.id, grade)
        for inspection, grade in zip(inspections, grades, strict=True)
    )


_HISTORY_1 = LeakHistory(LEAK_1, _sightings(SeepageGrade.DRY, SeepageGrade.SEEP, SeepageGrade.DRIP))
_HISTORY_2 = LeakHistory(
    LEAK_2,
    (
        Sighting(BASELINE.id, SeepageGrade.NOT_SEEN, nothing_noticed=True),
        *_sightings(SeepageGrade.DRY, SeepageGrade.DRY, SeepageGrade.SEEP)[1:],
    ),
)
_HISTORY_3 = LeakHistory(
    LEAK_3, _sightings(SeepageGrade.NOT_SEEN, SeepageGrade.NOT_SEEN, SeepageGrade.NOT_SEEN)
)
_CANDIDATE = Candidate(
    joint=COVER_JOINT,
    job=JOB,
    bolt=None,
    station=4.46,
    distance_px=3.0,
    joint_at_px=PointPx(380, 398),
    clues=(
        Clue(ClueKind.AT_THE_JOINT, 1.0, "mm"),
        Clue(ClueKind.RULE_DEVIATION, deviation=TOO_LATE),
    ),
    evidence=(BEAD_EVIDENCE, CLIP_EVIDENCE),
    verdict=CAUSE,
)
_STRIP = JointStrip(
    joint=COVER_JOINT,
    bolts=tuple(StripBolt(bolt.number, float(bolt.number), None) for bolt in BOLTS),
    first=1.0,
    last=11.0,
    rows=(
        StripRow(MARCH, None, JOB),
        StripRow(BASELINE.looked_at, BASELINE, None, (), ((1.6, 10.2),)),
        StripRow(
            LAST.looked_at,
            LAST,
            None,
            (
                StripMark(
                    LEAK_1.id, 1, MARK_1.id, COVER_PHOTO.id, 4.46, 4.3, 4.8, MARK_1.grade,
                    PointPx(380, 398),
                ),
                StripMark(
                    LEAK_2.id, 2, MARK_2.id, COVER_PHOTO.id, 7.0, 6.9, 7.2, MARK_2.grade,
                    PointPx(660, 398),
                ),
            ),
            ((1.6, 10.2),),
        ),
    ),
)  # fmt: skip
_BATTERY = AccessStep(
    engine_id=ENGINE.id,
    name="Disconnect the battery",
    hours=0.2,
    refit_hours=0.2,
    cautions=(Caution.BATTERY,),
)
_TASK = RedoTask(
    engine_id=ENGINE.id,
    name="Seal the bank 1 cover again",
    joint_id=COVER_JOINT.id,
    hours=1.5,
    money=38,
    cure_h=24,
    needs=(_BATTERY.id,),
    cautions=(Caution.SEALANT_VAPOUR,),
)
REDO = RedoList(
    tasks=(PlannedTask(_TASK, ((TaskReason.CONFIRMED_CAUSE, LEAK_1.id),), 1.9, 1.9),),
    steps=(_BATTERY,),
    without_task=((TaskReason.CHECK_FAILED, CHECK.id),),
    hours=1.9,
    alone_hours=2.3,
    money=38,
    cure_h=24,
    cautions=(Caution.BATTERY, Caution.SEALANT_VAPOUR),
)
NOTHING_TO_REDO = RedoList(
    tasks=(), steps=(), without_task=(), hours=0, alone_hours=0, money=0, cure_h=0, cautions=()
)

FINDINGS = Findings(
    project="w7-on-the-bench",
    made_at=datetime.fromisoformat("2026-04-26T09:30:00+02:00"),
    made_by="leaktrack 0.1.0",
    engine=ENGINE,
    zones=(COVER, REAR),
    joints=(COVER_JOINT, REAR_JOINT),
    bolts=BOLTS,
    inspections=(BASELINE, FIRST, LAST),
    runs=(RUN,),
    readings=(Reading(inspection_id=FIRST.id, name="oil pressure", value=3.4, unit="bar"),),
    checks=(CHECK,),
    photos=PHOTOS,
    clips=(CLIP,),
    marks=(MARK_1, MARK_2, UNSEEN_MARK),
    histories=(_HISTORY_1, _HISTORY_2, _HISTORY_3),
    changes=(
        LeakChange(LEAK_1, _HISTORY_1.sightings[1], _HISTORY_1.sightings[2], Change.GROWING),
        LeakChange(LEAK_2, _HISTORY_2.sightings[1], _HISTORY_2.sightings[2], Change.NEW),
    ),
    traces=(Trace(LEAK_1, COVER_PHOTO.id, MARK_1.source_px, (_CANDIDATE,)),),
    causes=(CAUSE,),
    jobs=(
        JobFindings(
            job=JOB,
            material=MATERIAL,
            rule=RULE,
            torque_passes=(TorquePass(sealing_job_id=JOB.id, number=1, torque_nm=5),),
            parts=(
                Part(
                    sealing_job_id=JOB.id,
                    name="cover bolts",
                    is_single_use=True,
                    condition=PartCondition.REUSED,
                ),
            ),
            evidence=(BEAD_EVIDENCE, CLIP_EVIDENCE),
            deviations=(TOO_LATE,),
        ),
        JobFindings(job=REAR_JOB),
    ),
    strips=(_STRIP,),
    redo=REDO,
    pictures={
        photo.id: PictureFile(f"p{number}.jpg", 500, 400) for number, photo in enumerate(PHOTOS)
    },
    published={
        grade: PublishedClasses(PmcsClass.II, 3, (DinTerm.WET,))
        for grade in SeepageGrade
        if grade is not SeepageGrade.NOT_SEEN
    },
    judgements={LEAK_1.id: Judgement(Verdict.REPAIR, "Drops fall.", "a source")},
    warnings=(InspectionWarning(WarningKind.NOT_CLEANED, FIRST.id),),
)


@dataclass(frozen=True)
class GreyPictures:
    """Gives the bytes of a grey JPEG for every name."""

    width_px: int = 500
    height_px: int = 400

    def __call__(self, _file: str) -> bytes:
        """Return the JPEG's bytes."""
        file = io.BytesIO()
        Image.new("RGB", (self.width_px, self.height_px), "grey").save(file, "JPEG")
        return file.getvalue()
