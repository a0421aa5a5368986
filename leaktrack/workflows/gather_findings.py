"""Gather all that a report of one engine is made of, without opening any photo."""

from datetime import datetime
from uuid import UUID

from leaktrack.analysis.growing import USUAL_LIMITS, growth
from leaktrack.analysis.oiling.grading import published, verdict
from leaktrack.model.comparison import LeakChange, LeakHistory
from leaktrack.model.debris import DrainCount
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.heat import HeatFactor
from leaktrack.model.inspection import Reading
from leaktrack.model.leak import Fluid, Leak, SeepageGrade
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.redo_plan import RedoList
from leaktrack.model.ring import RingFigures, RingFit
from leaktrack.model.sealing_job import Part, SealingRule, TorquePass
from leaktrack.model.severity import GradeLimits, Judgement, PublishedClasses
from leaktrack.model.units import METRIC
from leaktrack.report.findings import Findings, JobFindings
from leaktrack.workflows.compare_inspections import compare
from leaktrack.workflows.examine_seal import removed_seals_of, set_figures
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.fit_ring import figures_of, ring_fit_of
from leaktrack.workflows.follow_growth import history_of
from leaktrack.workflows.gather_engine import EngineRecords, grouped
from leaktrack.workflows.gather_figures import accounts_of, last_cards, pressures_of
from leaktrack.workflows.grade_blind import agreements_of
from leaktrack.workflows.keep_drain import drain_findings
from leaktrack.workflows.plan_redo import redo_list_of
from leaktrack.workflows.project import Project
from leaktrack.workflows.read_weights import weights
from leaktrack.workflows.tell_seal_history import seal_history
from leaktrack.workflows.trace_leak import trace_of
from leaktrack.workflows.verify_redo import blamed_verifications, successes
from leaktrack.workflows.view_joint_strip import joint_strip
from leaktrack.workflows.warn_of_look import warnings_at
from leaktrack.workflows.weigh_heat import heat_of
from leaktrack.workflows.weigh_redo import redo_inputs_of, weighed
from leaktrack.workflows.work_out_bead import bead_sums
from leaktrack.workflows.write_work_sheet import work_sheet_of

_NOTHING = RedoList(
    tasks=(),
    steps=(),
    without_task=(),
    hours=0.0,
    alone_hours=0.0,
    money=0.0,
    cure_h=0.0,
    cautions=(),
)


def findings_of(
    project: Project,
    engine_id: UUID,
    made_at: datetime,
    made_by: str,
    limits: GradeLimits | None = None,
    units: str = METRIC,
) -> Findings:
    """Return what is known about an engine; its pictures are still missing.

    Raises:
        BadInput: A file of weights cannot be used.
        MissingRecord: There is no such engine.
    """
    weighting = weights(project)
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        jobs = _jobs(reader, records)
        histories = _histories(records)
        redo, redo_problem = _redo(records)
        traces = tuple(trace_of(records, leak, weighting) for leak in records.leaks)
        choice = None if redo_problem else weighed(redo_inputs_of(reader, records, traces))
        sheet = None if choice is None else work_sheet_of(reader, records, choice, made_at)
        return Findings(
            project=project.name,
            made_at=made_at,
            made_by=made_by,
            engine=records.engine,
            zones=records.zones,
            joints=records.joints,
            bolts=tuple(bolt for bolts in records.bolts.values() for bolt in bolts),
            inspections=records.inspections,
            runs=records.runs,
            readings=_readings(reader, records),
            checks=records.checks,
            photos=_photos(records, jobs),
            clips=tuple(reader.all(Clip)),
            marks=tuple(mark for leak in records.leaks for mark in records.marks.get(leak.id, ())),
            histories=histories,
            causes=records.causes,
            jobs=jobs,
            redo=redo,
            redo_problem=redo_problem,
            weighed=choice,
            sheet=sheet,
            published=_published(),
            judgements=_judgements(records, histories),
            warnings=tuple(
                one
                for inspection in records.inspections
                for one in warnings_at(records, inspection)
            ),
            cards=last_cards(reader, records, limits),
            accounts=accounts_of(records),
            pressures=pressures_of(records),
            changes=_last_changes(project, records),
            traces=traces,
            verifications=tuple(
                one for leak in records.leaks for one in blamed_verifications(records, leak)
            ),
            successes=successes(project),
            strips=tuple(joint_strip(project, joint.id) for joint in records.joints),
            seal_history=seal_history(project),
            agreements=agreements_of(reader, records),
            drains=drain_findings(records, reader.all(DrainCount)),
            heat=_heat(records),
            growths=tuple(
                growth(one, records.inspections, records.runs, limits=limits or USUAL_LIMITS)
                for one in histories
            ),
            units=units,
        )


def _last_changes(project: Project, records: EngineRecords) -> tuple[LeakChange, ...]:
    if len(records.inspections) < 2:
        return ()
    before, after = records.inspections[-2:]
    return compare(project, before.id, after.id).changes


def _heat(records: EngineRecords) -> HeatFactor | None:
    if len(records.inspections) < 2:
        return None
    before, after = records.inspections[-2:]
    return heat_of(before, after, records.inspections, records.runs)


def _histories(records: EngineRecords) -> tuple[LeakHistory, ...]:
    return tuple(history_of(records, leak) for leak in records.leaks)


def _jobs(reader: Reader, records: EngineRecords) -> tuple[JobFindings, ...]:
    rules = {rule.material_id: rule for rule in reader.all(SealingRule)}
    passes = grouped(reader.all(TorquePass), lambda one: one.sealing_job_id)
    parts = grouped(reader.all(Part), lambda part: part.sealing_job_id)
    return tuple(
        JobFindings(
            job=job,
            material=records.materials.get(job.material_id) if job.material_id else None,
            rule=rules.get(job.material_id) if job.material_id else None,
            torque_passes=tuple(passes.get(job.id, ())),
            parts=tuple(parts.get(job.id, ())),
            evidence=tuple(records.evidence.get(job.id, ())),
            deviations=records.deviations[job.id],
            superseded_by=records.job_after(job),
            ring=_ring(reader, job.id),
            removed=tuple((seal, set_figures(seal)) for seal in removed_seals_of(reader, job.id)),
            sums=bead_sums(
                job,
                records.joint_by_id[job.joint_id],
                records.rule_of(job),
                records.first_run_on(job),
            ),
        )
        for job in records.jobs
    )


def _ring(reader: Reader, job_id: UUID) -> tuple[RingFit, RingFigures] | None:
    fit = ring_fit_of(reader, job_id)
    return None if fit is None else (fit, figures_of(fit))


def _readings(reader: Reader, records: EngineRecords) -> tuple[Reading, ...]:
    own = {run.id for run in records.runs} | {one.id for one in records.inspections}
    return tuple(
        reading
        for reading in reader.all(Reading)
        if reading.test_run_id in own or reading.inspection_id in own
    )


def _photos(records: EngineRecords, jobs: tuple[JobFindings, ...]) -> tuple[Photo, ...]:
    """Return the photos of this engine: of its zones, inspections, checks and sealing jobs."""
    owners: set[UUID | None] = {zone.id for zone in records.zones}
    owners |= {one.id for one in records.inspections} | {check.id for check in records.checks}
    evidence = {one.photo_id for job in jobs for one in job.evidence}
    return tuple(
        photo
        for photo in records.photos.values()
        if photo.id in evidence
        or not owners.isdisjoint({photo.zone_id, photo.inspection_id, photo.check_id})
    )


def _redo(records: EngineRecords) -> tuple[RedoList, str]:
    """Return the redo list; where it cannot be worked out, none and the reason."""
    try:
        return redo_list_of(records), ""
    except (BadInput, MissingRecord) as error:  # the rest of the report still holds
        return _NOTHING, f"The redo list could not be worked out. {error}"


def _published() -> dict[SeepageGrade, PublishedClasses]:
    classes = {grade: published(grade) for grade in SeepageGrade}
    return {grade: found for grade, found in classes.items() if found is not None}


def _judgements(
    records: EngineRecords, histories: tuple[LeakHistory, ...]
) -> dict[UUID, Judgement]:
    judged = {history.leak.id: _judgement(records, history) for history in histories}
    return {leak_id: judgement for leak_id, judgement in judged.items() if judgement is not None}


def _judgement(records: EngineRecords, history: LeakHistory) -> Judgement | None:
    """Return what follows from the last look that saw the leak."""
    seen = [one for one in history.sightings if one.grade is not SeepageGrade.NOT_SEEN]
    if not seen:
        return None
    leak: Leak = history.leak
    joint = records.joint_by_id.get(leak.joint_id) if leak.joint_id else None
    fluid = seen[-1].mark.fluid if seen[-1].mark else Fluid.UNKNOWN
    return verdict(seen[-1].grade, joint.seal_kind if joint else None, fluid)
