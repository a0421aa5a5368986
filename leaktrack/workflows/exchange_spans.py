"""Hand spans of footage on to other programs, and take theirs: WebVTT chapters and media links."""

from collections.abc import Iterable, Sequence
from pathlib import Path, PurePosixPath
from uuid import UUID

from leaktrack.model.engine import Joint
from leaktrack.model.errors import BadInput
from leaktrack.model.footage_span import NamedSpan
from leaktrack.model.photo import Clip
from leaktrack.model.record import Edit
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.report.media_fragments import as_uri_list, read_uri_list
from leaktrack.report.webvtt import as_webvtt, read_webvtt
from leaktrack.workflows.keep_cache import write_for_others
from leaktrack.workflows.project import Project
from leaktrack.workflows.record_sealing_job import add_evidence

VTT, LINKS = ".vtt", ".txt"
_LARGEST_BYTES = 5_000_000


def spans_of_clip(project: Project, clip_id: UUID) -> tuple[NamedSpan, ...]:
    """Return what is kept of a clip as evidence, earliest first, named for job and note.

    Raises:
        MissingRecord: There is no such clip.
    """
    clip = project.get(Clip, clip_id)
    spans = []
    for each in project.all(Evidence, clip_id=clip_id):
        job = project.get(SealingJob, each.sealing_job_id)
        joint = project.get(Joint, job.joint_id).name
        name = ": ".join(part for part in (joint, each.note) if part)
        end_ms = clip.duration_ms if each.end_ms is None else each.end_ms
        spans.append(NamedSpan(each.start_ms or 0, end_ms, name))
    return tuple(sorted(spans, key=lambda span: span.start_ms))


def write_spans(
    project: Project, clip_id: UUID, file: Path, spans: Sequence[NamedSpan] | None = None
) -> None:
    """Write spans of a clip to a file: ``.vtt`` as WebVTT chapters, else as links with ``#t=``.

    Args:
        project: The open project.
        clip_id: The clip.
        file: Where to; what stands there is replaced.
        spans: None: the clip's evidence.

    Raises:
        BadInput: There is nothing to write, or the file cannot be written.
        MissingRecord: There is no such clip.
    """
    clip = project.get(Clip, clip_id)
    told = spans_of_clip(project, clip_id) if spans is None else spans
    if not told:
        raise BadInput(f"No span of '{clip.name}' is kept, so there is nothing to write.")
    if file.suffix.lower() == VTT:
        text = as_webvtt(told, clip.sha256)
    else:
        uri = project.clip_path(clip).absolute().as_uri()
        text = as_uri_list((uri, span) for span in told)
    try:
        write_for_others(file, text.encode("utf-8"))
    except OSError as error:
        raise BadInput(
            f"{file.name} cannot be written: {error.strerror or error}. What was there is as it "
            "was. Choose another folder."
        ) from error


def read_spans(
    project: Project, file: Path, clip_id: UUID | None = None
) -> tuple[tuple[UUID, NamedSpan], ...]:
    """Return the spans that a file tells of, each with its clip.

    Args:
        project: The open project.
        file: WebVTT, or a list of links with ``#t=``.
        clip_id: The clip that is meant where the file does not say which.

    Raises:
        BadInput: The file or a line of it cannot be read, or a span belongs to no clip.
    """
    try:
        if file.stat().st_size > _LARGEST_BYTES:
            raise BadInput(f"{file.name} is too large for a list of spans. Nothing was changed.")
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise BadInput(
            f"{file.name}, line {line}: it is no UTF-8 text. Nothing was changed."
        ) from (error)
    except OSError as error:
        raise BadInput(
            f"{file.name} cannot be read: {error.strerror or error}. Nothing was changed."
        ) from error
    clips = project.all(Clip)
    if text.startswith("WEBVTT") or file.suffix.lower() == VTT:
        spans, sha256 = read_webvtt(text, file.name)
        by_hash = next((clip.id for clip in clips if clip.sha256 == sha256), None)
        if sha256 and by_hash is None:
            raise BadInput(
                f"{file.name} tells of a video that is not in the project: its SHA-256 begins with "
                f"{sha256[:12]}. Add that video first. Nothing was changed."
            )
        return tuple((_known(by_hash or clip_id, file), span) for span in spans)
    return tuple(
        (_known(_named(project, clips, span.source) or clip_id, file), span)
        for span in read_uri_list(text, file.name)
    )


def evidence_edit(project: Project, job_id: UUID, spans: Iterable[tuple[UUID, NamedSpan]]) -> Edit:
    """Return the edit that keeps spans as evidence of a job; those kept already are left out.

    Raises:
        BadInput: A span does not lie within its clip, or all of them are kept already.
        MissingRecord: Job or clip is not there.
    """
    kept = {
        (each.clip_id, each.start_ms, each.end_ms)
        for each in project.all(Evidence, sealing_job_id=job_id)
    }
    edit = Edit(())
    for clip_id, span in spans:
        if (clip_id, span.start_ms, span.end_ms) not in kept:
            edit = edit.then(
                add_evidence(
                    project,
                    job_id,
                    clip_id=clip_id,
                    start_ms=span.start_ms,
                    end_ms=span.end_ms,
                    note=span.name,
                )
            )
    if not edit.changes:
        raise BadInput("The job has all of these spans already. Nothing was changed.")
    return edit


def _named(project: Project, clips: Sequence[Clip], source: str) -> UUID | None:
    """Return the clip whose file has the name that a link ends with."""
    name = PurePosixPath(source).name
    same = [clip.id for clip in clips if name and project.clip_path(clip).name == name]
    return same[0] if len(same) == 1 else None


def _known(clip_id: UUID | None, file: Path) -> UUID:
    if clip_id is None:
        raise BadInput(
            f"{file.name} does not say which video it tells of. Open that clip, then read it again."
        )
    return clip_id
