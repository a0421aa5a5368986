"""Gather one engine's records for looking at: each kind is read once, if it is asked for."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from datetime import datetime
from functools import cached_property
from typing import TypeVar
from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.deviating import deviations
from leaktrack.analysis.sighting import SightingTable, sighting_table
from leaktrack.model.bead_audit import BeadAudit, MisplacedBead
from leaktrack.model.engine import Bolt, Engine, Face, Joint, JointLine, Zone
from leaktrack.model.inspection import Check, Inspection, Reading, TestRun
from leaktrack.model.leak import Leak, LeakMark
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.photo import Photo
from leaktrack.model.redo_plan import AccessStep, RedoPlan, RedoTask
from leaktrack.model.sealing_job import (
    Deviation,
    Evidence,
    Material,
    Part,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.model.trace import Cause
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.gather_beads import bead_audits
from leaktrack.workflows.pass_bolts import misplaced_beads

T = TypeVar("T")
K = TypeVar("K", bound=Hashable)


class EngineRecords:
    """One engine's records, as a reader sees them; valid while that reader is open.

    A view asks for thousands of records by their owner. Reading a kind once and sorting it out here
    is much faster than a query per owner.
    """

    def __init__(self, reader: Reader, engine_id: UUID) -> None:
        self._reader = reader
        self.engine = reader.get(Engine, engine_id)

    @cached_property
    def dipstick(self) -> tuple[DipstickPoint, ...]:
        """What heights on its dipstick mean, as far as both are known."""
        points = self._reader.all(DipstickPoint, engine_id=self.engine.id)
        return tuple(
            one for one in points if one.height_mm is not None and one.volume_ml is not None
        )

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """The faces, in their order."""
        return tuple(self._reader.all(Face, engine_id=self.engine.id))

    @cached_property
    def zones(self) -> tuple[Zone, ...]:
        """The zones, face by face."""
        by_face = grouped(self._reader.all(Zone), lambda zone: zone.face_id)
        return tuple(zone for face in self.faces for zone in by_face.get(face.id, ()))

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """The joints, zone by zone."""
        by_zone = grouped(self._reader.all(Joint), lambda joint: joint.zone_id)
        return tuple(joint for zone in self.zones for joint in by_zone.get(zone.id, ()))

    @cached_property
    def joint_by_id(self) -> Mapping[UUID, Joint]:
        """The joints by their id."""
        return {joint.id: joint for joint in self.joints}

    @cached_property
    def bolts(self) -> Mapping[UUID, Sequence[Bolt]]:
        """The bolts of each joint."""
        return grouped(self._reader.all(Bolt), lambda bolt: bolt.joint_id)

    @cached_property
    def lines_by_photo(self) -> Mapping[UUID, Sequence[JointLine]]:
        """The lines of this engine's joints in each photo."""
        own = (line for line in self._reader.all(JointLine) if line.joint_id in self.joint_by_id)
        return grouped(own, lambda line: line.photo_id)

    @cached_property
    def photos(self) -> Mapping[UUID, Photo]:
        """All photos of the project by their id."""
        return {photo.id: photo for photo in self._reader.all(Photo)}

    @cached_property
    def runs(self) -> tuple[TestRun, ...]:
        """The runs, oldest first."""
        runs = self._reader.all(TestRun, engine_id=self.engine.id)
        return tuple(sorted(runs, key=lambda run: run.started_at))

    @cached_property
    def inspections(self) -> tuple[Inspection, ...]:
        """The inspections, oldest first."""
        return self.table.inspections

    @cached_property
    def checks(self) -> tuple[Check, ...]:
        """The checks before the teardown."""
        return tuple(self._reader.all(Check, engine_id=self.engine.id))

    @cached_property
    def leaks(self) -> tuple[Leak, ...]:
        """The leaks by their number."""
        zone_ids = {zone.id for zone in self.zones}
        own = (leak for leak in self._reader.all(Leak) if leak.zone_id in zone_ids)
        return tuple(sorted(own, key=lambda leak: leak.number))

    @cached_property
    def marks(self) -> Mapping[UUID, Sequence[LeakMark]]:
        """The marks of each leak."""
        return grouped(self._reader.all(LeakMark), lambda mark: mark.leak_id)

    @cached_property
    def table(self) -> SightingTable:
        """The leaks by inspections."""
        return sighting_table(
            self._reader.all(Inspection, engine_id=self.engine.id),
            self.photos.values(),
            self.leaks,
            (mark for leak in self.leaks for mark in self.marks.get(leak.id, ())),
        )

    @cached_property
    def jobs(self) -> tuple[SealingJob, ...]:
        """The sealing jobs, oldest first."""
        own = (job for job in self._reader.all(SealingJob) if job.joint_id in self.joint_by_id)
        return tuple(sorted(own, key=lambda job: job.done_at))

    @cached_property
    def jobs_by_joint(self) -> Mapping[UUID, Sequence[SealingJob]]:
        """The sealing jobs of each joint, oldest first."""
        return grouped(self.jobs, lambda job: job.joint_id)

    @cached_property
    def materials(self) -> Mapping[UUID, Material]:
        """The materials by their id."""
        return {material.id: material for material in self._reader.all(Material)}

    @cached_property
    def evidence(self) -> Mapping[UUID, Sequence[Evidence]]:
        """What shows each sealing job."""
        return grouped(self._reader.all(Evidence), lambda one: one.sealing_job_id)

    @cached_property
    def rules(self) -> Mapping[UUID, SealingRule]:
        """The rule of each material."""
        return {rule.material_id: rule for rule in self._reader.all(SealingRule)}

    @cached_property
    def torque_passes(self) -> Mapping[UUID, Sequence[TorquePass]]:
        """The rounds of tightening of each sealing job."""
        return grouped(self._reader.all(TorquePass), lambda one: one.sealing_job_id)

    @cached_property
    def parts(self) -> Mapping[UUID, Sequence[Part]]:
        """The parts of each sealing job."""
        return grouped(self._reader.all(Part), lambda part: part.sealing_job_id)

    @cached_property
    def readings(self) -> Mapping[UUID, Sequence[Reading]]:
        """The readings of each run and inspection."""
        return grouped(
            self._reader.all(Reading),
            lambda one: one.inspection_id or one.test_run_id or one.id,
        )

    @cached_property
    def audits(self) -> Mapping[UUID, Sequence[BeadAudit]]:
        """What photos show of the bead of each sealing job."""
        job_ids = [job.id for job in self.jobs]
        return grouped(bead_audits(self._reader, job_ids), lambda audit: audit.sealing_job_id)

    @cached_property
    def causes(self) -> tuple[Cause, ...]:
        """The verdicts on leaks of this engine."""
        leak_ids = {leak.id for leak in self.leaks}
        return tuple(cause for cause in self._reader.all(Cause) if cause.leak_id in leak_ids)

    @cached_property
    def steps(self) -> tuple[AccessStep, ...]:
        """The access steps."""
        return tuple(self._reader.all(AccessStep, engine_id=self.engine.id))

    @cached_property
    def tasks(self) -> tuple[RedoTask, ...]:
        """The tasks that can be done in a teardown."""
        return tuple(self._reader.all(RedoTask, engine_id=self.engine.id))

    @cached_property
    def plans(self) -> tuple[RedoPlan, ...]:
        """The redo plans that somebody kept."""
        return tuple(self._reader.all(RedoPlan, engine_id=self.engine.id))

    @cached_property
    def deviations(self) -> Mapping[UUID, tuple[Deviation, ...]]:
        """Where each sealing job departs from its rule."""
        return {
            job.id: deviations(
                job,
                self.rule_of(job),
                self.torque_passes.get(job.id, ()),
                self.parts.get(job.id, ()),
                self.evidence.get(job.id, ()),
                self.first_run_on(job),
                self.joint_by_id[job.joint_id].seal_kind,
                self.misplaced(job),
            )
            for job in self.jobs
        }

    def misplaced(self, job: SealingJob) -> tuple[MisplacedBead, ...]:
        """Return the bolts where a photo shows a job's bead on the wrong side."""
        rule = self.rule_of(job)
        if rule is None or rule.bead_place is None:  # then the beads need not be read
            return ()
        audits = self.audits.get(job.id, ())
        lines = [
            line
            for audit in audits
            for line in self.lines_by_photo.get(audit.photo_id, ())
            if line.joint_id == job.joint_id
        ]
        return misplaced_beads(audits, lines, rule.bead_place)

    def rule_of(self, job: SealingJob) -> SealingRule | None:
        """Return the rule of a job's material, where both are known."""
        return self.rules.get(job.material_id) if job.material_id else None

    def ran_at(self, inspection: Inspection) -> datetime:
        """Return when the engine ran before an inspection; the time of the look without runs.

        Sealing jobs after that moment cannot be to blame for what was seen.
        """
        own = [run.started_at for run in self.runs if run.id == inspection.test_run_id]
        earlier = [run.started_at for run in self.runs if run.started_at <= inspection.looked_at]
        return (own or earlier or [inspection.looked_at])[-1]

    def wet_inspections(self, leak: Leak) -> tuple[Inspection, ...]:
        """Return the inspections that saw a leak wet, oldest first."""
        grade = self.table.grade
        return tuple(one for one in self.inspections if is_wet(grade(leak.id, one.id)))

    def job_after(self, job: SealingJob) -> SealingJob | None:
        """Return the next job on the same joint, which replaced this one."""
        later = [other for other in self.jobs_by_joint[job.joint_id] if other.done_at > job.done_at]
        return later[0] if later else None

    def first_run_on(self, job: SealingJob) -> datetime | None:
        """Return when the engine first ran on a job; None if it did not before the next one."""
        later = self.job_after(job)
        started = (run.started_at for run in self.runs if run.started_at >= job.done_at)
        first = next(started, None)
        if first is None or (later is not None and first >= later.done_at):
            return None
        return first


def grouped(records: Iterable[T], key: Callable[[T], K]) -> dict[K, list[T]]:
    """Return records by what a key makes of them, in the order in which they come."""
    groups: dict[K, list[T]] = defaultdict(list)
    for record in records:
        groups[key(record)].append(record)
    return dict(groups)
