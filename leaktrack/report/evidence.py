"""Show what was photographed and filmed while a joint was sealed."""

from collections.abc import Iterator

from leaktrack.model.sealing_job import Evidence
from leaktrack.report.amounts import clip_time
from leaktrack.report.contents import Block, Bullets, Gallery, Picture
from leaktrack.report.findings import Findings, JobFindings
from leaktrack.report.naming import Names, by_id
from leaktrack.report.photos_section import photo_caption


def evidence_blocks(job: JobFindings, findings: Findings, names: Names) -> list[Block]:
    """Return a job's photos and a still of each span as pictures, and spans without one as text."""
    pictures = tuple(_pictures(job, findings, names))
    spans = tuple(_spans(job, findings))
    blocks: list[Block] = []
    if pictures:
        blocks.append(Gallery(pictures, is_small=True))
    if spans:
        blocks.append(Bullets(spans))
    return blocks


def _pictures(job: JobFindings, findings: Findings, names: Names) -> Iterator[Picture]:
    photos = by_id(findings.photos)
    for evidence in job.evidence:
        photo = photos.get(evidence.photo_id) if evidence.photo_id else None
        file = findings.pictures.get(photo.id if photo else evidence.id)
        if file is None:
            continue
        caption = photo_caption(photo) if photo else f"Still from {_span(evidence, findings)}"
        if photo and evidence.note:
            caption += f". {evidence.note}"
        yield Picture(
            file=file.file,
            width_px=file.width_px,
            height_px=file.height_px,
            alternative=f"Evidence of the sealing: {names.job(job.job)}. {caption}",
            caption=caption,
        )


def _spans(job: JobFindings, findings: Findings) -> Iterator[str]:
    for evidence in job.evidence:
        if evidence.clip_id and evidence.id not in findings.pictures:
            yield f"Footage: {_span(evidence, findings)}"


def _span(evidence: Evidence, findings: Findings) -> str:
    clips = by_id(findings.clips)
    clip = clips.get(evidence.clip_id) if evidence.clip_id else None
    name = clip.name if clip else "a clip that is not there any more"
    if evidence.start_ms is not None and evidence.end_ms is not None:
        name += f", {clip_time(evidence.start_ms)} to {clip_time(evidence.end_ms)}"
    return f"{name}: {evidence.note}" if evidence.note else name
