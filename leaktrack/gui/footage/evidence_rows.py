"""The spans that are kept as evidence, as rows of a timeline: one row per sealing job."""

from uuid import UUID

from leaktrack.gui.footage.timeline_rows import ClipSpan, RowKind, TimelineRow
from leaktrack.gui.forms.times import day_text
from leaktrack.model.engine import Joint
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.workflows.project import Project


def job_names(project: Project) -> dict[UUID, str]:
    """Return every sealing job by what people call it, newest first."""
    with project.read() as records:
        joints = {joint.id: joint.name for joint in records.all(Joint)}
        jobs = records.all(SealingJob)
    ordered = sorted(jobs, key=lambda job: job.done_at, reverse=True)
    return {job.id: f"{joints[job.joint_id]}, {day_text(job.done_at)}" for job in ordered}


def evidence_rows(project: Project) -> list[TimelineRow]:
    """Return a row for each sealing job with footage."""
    names = job_names(project)
    spans: dict[UUID, list[ClipSpan]] = {}
    for each in project.all(Evidence):
        if each.clip_id is not None:
            span = ClipSpan(each.clip_id, each.start_ms or 0, each.end_ms)
            spans.setdefault(each.sealing_job_id, []).append(span)
    return [
        TimelineRow(name, RowKind.EVIDENCE, tuple(spans[job_id]))
        for job_id, name in names.items()
        if job_id in spans
    ]
