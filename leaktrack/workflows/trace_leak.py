"""Trace a leak to the sealing jobs that may have caused it, and keep a person's verdict."""

from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

from leaktrack.analysis.discerning import next_check
from leaktrack.analysis.tracing import traced
from leaktrack.analysis.weighing import Weights
from leaktrack.model.engine import Bolt
from leaktrack.model.errors import BadInput
from leaktrack.model.leak import Leak
from leaktrack.model.record import Edit, added, removed, replaced
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.trace import Cause, CauseState, Trace
from leaktrack.workflows.find_engine import engine_id_of_zone
from leaktrack.workflows.find_source import telling_mark
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project
from leaktrack.workflows.read_weights import weights
from leaktrack.workflows.suspect_jobs import scene, suspects
from leaktrack.workflows.verify_redo import verifications


def trace(project: Project, leak_id: UUID) -> Trace:
    """Return what a leak may come from, most likely first, with the chance of each and the reasons.

    The jobs are those in force when the engine ran before an inspection that saw the leak wet, and
    those that somebody judged; beside them stand joints without a job, oil from above, the part
    itself, residue, crankcase pressure and what is not in the record. The distances come from the
    earliest mark with a source whose photo has joint lines: where it was wet first says most. Marks
    of later looks count as well, up to the next sealing.

    Raises:
        BadInput: A file of weights cannot be used.
        MissingRecord: There is no such leak.
    """
    weighed = weights(project)
    with project.read() as reader:
        leak = reader.get(Leak, leak_id)
        records = EngineRecords(reader, engine_id_of_zone(reader, leak.zone_id))
        return trace_of(records, leak, weighed)


def trace_of(records: EngineRecords, leak: Leak, weighed: Weights) -> Trace:
    """Return the same from records and weights that were read already."""
    telling = telling_mark(records, leak, weighed)
    outcomes = {one.blamed.id: one.outcome for one in verifications(records, leak)}
    around = scene(records, leak, telling)
    found = traced(suspects(records, leak, telling, outcomes), around, weighed)
    made = Trace(
        leak,
        telling.photo.id if telling else None,
        telling.source.at if telling else None,
        found.candidates,
        found.joints_without_job,
        found.others,
        telling.source if telling else None,
        own_weights=weighed.own,
    )
    return replace(made, next_check=next_check(made.ranked, around))


def set_verdict(
    project: Project,
    leak_id: UUID,
    sealing_job_id: UUID,
    state: CauseState,
    reason: str,
    bolt_id: UUID | None = None,
    decided_by: str = "",
    decided_at: datetime | None = None,
) -> Edit:
    """Return the edit that sets a person's verdict on one possible cause of a leak.

    There is one verdict for each leak and place: the joint as the sealing job left it, or one bolt
    of it. A new one takes the place of the old. Who rules out the whole joint means its bolts too:
    what was said of them before goes.

    Args:
        project: The open project.
        leak_id: The leak.
        sealing_job_id: The job that did or did not cause it.
        state: The verdict.
        reason: Why, in words; a verdict without a reason cannot be checked by anybody.
        bolt_id: The bolt that is meant, where it is one.
        decided_by: Who decided.
        decided_at: When; now, if not given.

    Raises:
        BadInput: The reason is empty, or the bolt belongs to another joint.
        MissingRecord: Leak, job or bolt is not there.
    """
    if not reason.strip():
        raise BadInput("A verdict needs a reason. Nothing was changed. Write down what shows it.")
    with project.read() as reader:
        leak, job = reader.get(Leak, leak_id), reader.get(SealingJob, sealing_job_id)
        if bolt_id is not None and reader.get(Bolt, bolt_id).joint_id != job.joint_id:
            raise BadInput(
                "This bolt belongs to another joint than the sealing job. Nothing was changed. "
                "Choose a bolt of the same joint."
            )
        earlier = reader.all(Cause, leak_id=leak.id, sealing_job_id=job.id)
    verdict = Cause(
        leak_id=leak.id,
        sealing_job_id=job.id,
        bolt_id=bolt_id,
        state=state,
        reason=reason.strip(),
        decided_at=decided_at or datetime.now(UTC),
        decided_by=decided_by,
    )
    here = next((one for one in earlier if one.bolt_id == bolt_id), None)
    said = replaced(here, replace(verdict, id=here.id)) if here else added(verdict)
    if bolt_id is None and state is CauseState.RULED_OUT:
        return said.then(removed(*(one for one in earlier if one is not here)))
    return said
