"""What a report is made of: the records and results of one engine, gathered by a workflow."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from uuid import UUID

from leaktrack.model.comparison import LeakChange, LeakHistory
from leaktrack.model.engine import Bolt, Engine, Joint, Zone
from leaktrack.model.growth import Growth
from leaktrack.model.heat import HeatFactor
from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.joint_strip import JointStrip
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.redo_plan import RedoList
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
        judgements: What follows from each leak as last seen, by its id.
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
    pictures: Mapping[UUID, PictureFile] = field(default_factory=dict)
    published: Mapping[SeepageGrade, PublishedClasses] = field(default_factory=dict)
    judgements: Mapping[UUID, Judgement] = field(default_factory=dict)
    warnings: tuple[InspectionWarning, ...] = ()
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
