"""Show a sealing job with all that belongs to it, and where it departs from its material's rule."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from leaktrack.analysis.deviating import deviations
from leaktrack.model.bead_audit import MisplacedBead
from leaktrack.model.engine import Joint, JointLine
from leaktrack.model.inspection import TestRun
from leaktrack.model.sealing_job import (
    Deviation,
    Evidence,
    Material,
    Part,
    SealingJob,
    SealingRule,
    TorquePass,
)
from leaktrack.workflows.find_engine import Reader, engine_id_of_joint
from leaktrack.workflows.gather_beads import bead_audits
from leaktrack.workflows.pass_bolts import misplaced_beads
from leaktrack.workflows.project import Project


@dataclass(frozen=True, slots=True)
class JobView:
    """Everything that belongs to one sealing job.

    Attributes:
        rule: The rule of the job's material, where one was recorded.
        deviations: Where the job departs from that rule, and what was not recorded.
        superseded_by: The later job that replaced this one, if any.
        first_run_at: When the engine first ran on it; None if it has not.
    """

    job: SealingJob
    joint: Joint
    material: Material | None
    rule: SealingRule | None
    torque_passes: tuple[TorquePass, ...]
    parts: tuple[Part, ...]
    evidence: tuple[Evidence, ...]
    deviations: tuple[Deviation, ...]
    superseded_by: SealingJob | None
    first_run_at: datetime | None = None


def job_view(project: Project, job_id: UUID) -> JobView:
    """Return a sealing job with all that belongs to it, and its deviations.

    Raises:
        MissingRecord: There is no such job.
    """
    with project.read() as records:
        job = records.get(SealingJob, job_id)
        joint = records.get(Joint, job.joint_id)
        rules = records.all(SealingRule, material_id=job.material_id) if job.material_id else ()
        passes = records.all(TorquePass, sealing_job_id=job_id)
        parts = records.all(Part, sealing_job_id=job_id)
        evidence = records.all(Evidence, sealing_job_id=job_id)
        later = _superseding(records, job)
        first_run_at = _first_run_on(records, job, later)
        rule = rules[0] if rules else None
        misplaced = _misplaced(records, job, rule)
        material = records.get(Material, job.material_id) if job.material_id else None
    return JobView(
        job=job,
        joint=joint,
        material=material,
        rule=rule,
        torque_passes=passes,
        parts=parts,
        evidence=evidence,
        deviations=deviations(
            job, rule, passes, parts, evidence, first_run_at, joint.seal_kind, misplaced
        ),
        superseded_by=later,
        first_run_at=first_run_at,
    )


def _misplaced(
    reader: Reader, job: SealingJob, rule: SealingRule | None
) -> tuple[MisplacedBead, ...]:
    if rule is None or rule.bead_place is None:
        return ()
    audits = bead_audits(reader, [job.id])
    lines = reader.all(
        JointLine, joint_id=job.joint_id, photo_id=[audit.photo_id for audit in audits]
    )
    return misplaced_beads(audits, lines, rule.bead_place)


def _superseding(reader: Reader, job: SealingJob) -> SealingJob | None:
    later = reader.all(SealingJob, joint_id=job.joint_id, supersedes_id=job.id)
    return later[0] if later else None


def _first_run_on(reader: Reader, job: SealingJob, later: SealingJob | None) -> datetime | None:
    runs = reader.all(TestRun, engine_id=engine_id_of_joint(reader, job.joint_id))
    return min(
        (
            run.started_at
            for run in runs
            if job.done_at <= run.started_at and (later is None or run.started_at < later.done_at)
        ),
        default=None,
    )
