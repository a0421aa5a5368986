"""What a report is made of: the records and results of one engine, gathered by a workflow."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from uuid import UUID

from leaktrack.model.agreement import Agreements
from leaktrack.model.comparison import LeakChange, LeakHistory
from leaktrack.model.drain import DrainFindings
from leaktrack.model.engine import Bolt, Engine, Joint, Zone
from leaktrack.model.grade_card import GradeCard
from leaktrack.model.growth import Growth
from leaktrack.model.heat import HeatFactor
from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.joint_strip import JointStrip
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.oil_account import OilAccount
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.pressure import PressureJudgement
from leaktrack.model.redo_benefit import WeighedRedo
from leaktrack.model.redo_plan import RedoList
from leaktrack.model.removed_seal import RemovedSeal
from leaktrack.model.ring import RingFigures, RingFit, SetFigures
from leaktrack.model.seal_life import SealHistoryReport
from leaktrack.model.sealant import BeadSums
from leaktrack.model.sealing_job import (
    Deviation,
    Evidence,
    Material,
    Part,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.severity import Judgement, PublishedClasses
from leaktrack.model.trace import Cause, Trace
from leaktrack.model.units import METRIC
from leaktrack.model.verification import SuccessCount, Verification
from leaktrack.model.warning import InspectionWarning
from leaktrack.model.work_sheet import WorkSheet


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A JPEG file that was made for the report.

    Attributes:
        file: Its name, without folder.
    """

    file: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFindings:
    """A sealing job with all that belongs to it.

    Attributes:
        superseded_by: The later job that replaced this one, if any.
        ring: Its ring in its gland with the figures, where that is recorded.
        removed: Seals that came out later, each with its set where that was measured.
        sums: The arithmetic of its bead; None where there is none.
    """

    job: SealingJob
    material: Material | None = None
    rule: SealingRule | None = None
    torque_passes: tuple[TorquePass, ...] = ()
    parts: tuple[Part, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    superseded_by: SealingJob | None = None
    ring: tuple[RingFit, RingFigures] | None = None
    removed: tuple[tuple[RemovedSeal, SetFigures | None], ...] = ()
    sums: BeadSums | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """All that is known about one engine.

    Attributes:
        project: Name of the project folder.
        made_at: When the report is made, aware; all times are told in its zone.
        made_by: Name and version of this program.
        zones: In the order in which the engine sheet shows them.
        inspections: Oldest first.
        histories: One for each leak, by the leak's number.
        changes: Of each leak from the last inspection but one to the last.
        verifications: What became of leaks where a joint that is blamed was sealed again.
        successes: How often each way of sealing again cured a leak.
        jobs: Oldest first.
        pictures: By the id of the photo, or of the evidence where it is a still of a clip. A photo
            that is not in here could not be read.
        redo: What to redo.
        redo_problem: Why the redo list could not be worked out; empty if it could.
        weighed: What of all open tasks is worth doing in one teardown; None if it was not weighed.
        sheet: What to do of it, day by day.
        judgements: What follows from each leak as last seen, by its id.
        cards: How bad each leak is as last seen, and why; by its number.
        accounts: The oil account of each run that has one, by its id.
        pressures: The crankcase pressure at each inspection where it was measured, by its id.
        seal_history: How long seals last, over all engines of the project.
        agreements: How well the people agree who graded this engine's leaks.
        drains: The debris of its drains, oldest first.
        heat: What heat and running time alone make from the last inspection but one to the last;
            None with fewer than two.
        growths: How each leak grew, by the leak's number.
        units: In which figures are told, "metric" or "imperial".
    """

    project: str
    made_at: datetime
    made_by: str
    engine: Engine
    zones: tuple[Zone, ...] = ()
    joints: tuple[Joint, ...] = ()
    bolts: tuple[Bolt, ...] = ()
    inspections: tuple[Inspection, ...] = ()
    runs: tuple[TestRun, ...] = ()
    readings: tuple[Reading, ...] = ()
    checks: tuple[Check, ...] = ()
    photos: tuple[Photo, ...] = ()
    clips: tuple[Clip, ...] = ()
    marks: tuple[LeakMark, ...] = ()
    histories: tuple[LeakHistory, ...] = ()
    changes: tuple[LeakChange, ...] = ()
    traces: tuple[Trace, ...] = ()
    verifications: tuple[Verification, ...] = ()
    successes: tuple[SuccessCount, ...] = ()
    causes: tuple[Cause, ...] = ()
    jobs: tuple[JobFindings, ...] = ()
    strips: tuple[JointStrip, ...] = ()
    redo: RedoList
    redo_problem: str = ""
    weighed: WeighedRedo | None = None
    sheet: WorkSheet | None = None
    pictures: Mapping[UUID, PictureFile] = field(default_factory=dict)
    published: Mapping[SeepageGrade, PublishedClasses] = field(default_factory=dict)
    judgements: Mapping[UUID, Judgement] = field(default_factory=dict)
    warnings: tuple[InspectionWarning, ...] = ()
    cards: Mapping[int, GradeCard] = field(default_factory=dict)
    accounts: Mapping[UUID, OilAccount] = field(default_factory=dict)
    pressures: Mapping[UUID, PressureJudgement] = field(default_factory=dict)
    seal_history: SealHistoryReport | None = None
    agreements: Agreements | None = None
    drains: tuple[DrainFindings, ...] = ()
    heat: HeatFactor | None = None
    growths: tuple[Growth, ...] = ()
    units: str = METRIC

    @property
    def time_zone(self) -> tzinfo | None:
        """The zone in which the report tells times."""
        return self.made_at.tzinfo

    @property
    def leaks(self) -> tuple[Leak, ...]:
        """All leaks, by their number."""
        return tuple(history.leak for history in self.histories)
