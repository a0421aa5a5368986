"""What a report of that engine is made of."""

from datetime import datetime

from leaktrack.model.caution import Caution
from leaktrack.model.comparison import Change, LeakChange, LeakHistory, Sighting
from leaktrack.model.inspection import Reading
from leaktrack.model.joint_strip import JointStrip, StripBolt, StripMark, StripRow
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.redo_plan import AccessStep, PlannedTask, RedoList, RedoTask, TaskReason
from leaktrack.model.sealing_job import (
    Part,
    PartCondition,
    TorquePass,
)
from leaktrack.model.severity import DinTerm, Judgement, PmcsClass, PublishedClasses, Verdict
from leaktrack.model.shapes import PointPx
from leaktrack.model.trace import Candidate, Clue, ClueKind, Trace
from leaktrack.model.warning import InspectionWarning, WarningKind
from leaktrack.report.findings import Findings, JobFindings, PictureFile
from tests.unit.report.sample_records import (
    BASELINE,
    BEAD_EVIDENCE,
    BOLTS,
    CAUSE,
    CHECK,
    CLIP,
    CLIP_EVIDENCE,
    COVER,
    COVER_JOINT,
    COVER_PHOTO,
    ENGINE,
    FIRST,
    JOB,
    LAST,
    LEAK_1,
    LEAK_2,
    LEAK_3,
    MARCH,
    MARK_1,
    MARK_2,
    MATERIAL,
    PHOTOS,
    REAR,
    REAR_JOB,
    REAR_JOINT,
    RULE,
    RUN,
    TOO_LATE,
    UNSEEN_MARK,
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
    chance=0.91,
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
