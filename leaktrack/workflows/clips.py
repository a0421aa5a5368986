"""Take video clips into the project, step through their frames and grab stills from them."""

import hashlib
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from uuid import UUID

from leaktrack.imaging import sampling
from leaktrack.imaging.sampling import Frame, VideoReader
from leaktrack.imaging.skimming import KeyFrames
from leaktrack.imaging.tiling import encode_png
from leaktrack.model.engine import Joint
from leaktrack.model.errors import BadInput, UnreadableVideo
from leaktrack.model.photo import Clip, Photo, TakenAt
from leaktrack.model.record import Edit, added, replaced
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.workflows.check_input import checked_text
from leaktrack.workflows.project import Progress, Project, silent
from leaktrack.workflows.remove_records import removal

LARGEST_COPY_BYTES = 200_000_000
"""Larger clips stay where they are and are found by path and hash; own judgement."""

_CHUNK_BYTES = 1 << 20


def add_clip(
    project: Project,
    path: Path,
    name: str = "",
    recorded: TakenAt | None = None,
    progress: Progress = silent,
) -> tuple[Clip, Edit]:
    """Take a video into the project and return it with the edit that adds its record.

    Small files are copied into the project folder; large ones stay where they are.

    Args:
        project: The open project.
        path: The video file.
        name: What people call it; empty: the file's name.
        recorded: When it begins; None: what the camera wrote into it, if anything.
        progress: Called with the bytes read so far; may raise Cancelled, which leaves nothing.

    Raises:
        BadInput: The project has this video already.
        Cancelled: Stopped by ``progress``.
        ReadOnlyProject: It is open for looking only; nothing is copied.
        UnreadableVideo: The file is missing, damaged or no video.
    """
    project.refuse_read_only()
    source = path.absolute()
    facts = sampling.video_facts(source)
    sha256, size_bytes = _hashed(source, progress)
    twins = project.all(Clip, sha256=sha256)
    if twins:
        raise BadInput(f"{path.name} is in the project already, as '{twins[0].name}'.")
    kept_path = source.as_posix()
    if size_bytes < LARGEST_COPY_BYTES:
        kept_path = project.keep_clip(source, sha256)
    clip = Clip(
        name=checked_text(name or path.stem, "clip"),
        path=kept_path,
        sha256=sha256,
        size_bytes=size_bytes,
        duration_ms=facts.duration_ms,
        width_px=facts.width_px,
        height_px=facts.height_px,
        recorded=recorded or facts.recorded,
    )
    return clip, added(clip)


def amend_clip(before: Clip, after: Clip) -> Edit:
    """Return the edit that changes a clip's name, note, time, or the place of its file.

    Raises:
        BadInput: It has no name, or the file itself would be another.
    """
    checked_text(after.name, "clip")
    if before.sha256 != after.sha256:
        raise BadInput("A clip's file is never changed. Add the other video as a clip of its own.")
    return replaced(before, after)


def remove_clip(project: Project, clip_id: UUID) -> Edit:
    """Return the edit that takes a clip out of the records; its file stays.

    Raises:
        BadInput: It is evidence of a sealing job.
    """
    clip = project.get(Clip, clip_id)
    return removal(project, clip, f"clip '{clip.name}'")


def clip_file(project: Project, clip_id: UUID) -> Path:
    """Return where a clip's file is.

    Raises:
        MissingRecord: There is no such clip.
        UnreadableVideo: The file is not there; the text says where it was looked for.
    """
    clip = project.get(Clip, clip_id)
    path: Path = project.clip_path(clip)
    if not path.is_file():
        raise UnreadableVideo(
            f"The file of clip '{clip.name}' is not at {path}. Records, photos and other clips are "
            "not affected. Put the file back there, or connect the drive it is on."
        )
    return path


def open_clip(project: Project, clip_id: UUID) -> VideoReader:
    """Return a clip opened for looking at many frames; use it in a ``with`` block, in one thread.

    Raises:
        MissingRecord: There is no such clip.
        UnreadableVideo: Its file is missing or damaged.
    """
    return VideoReader(clip_file(project, clip_id))


def skim_clip(project: Project, clip_id: UUID) -> KeyFrames:
    """Return a clip opened for coarse pictures while somebody looks for a place, in one thread.

    Raises:
        MissingRecord: There is no such clip.
        UnreadableVideo: Its file is missing or damaged.
    """
    return KeyFrames(clip_file(project, clip_id))


def frame_at(project: Project, clip_id: UUID, at_ms: int) -> Frame:
    """Return the frame that is shown at a time, with its own exact time.

    Raises:
        MissingRecord: There is no such clip.
        UnreadableVideo: Its file is missing or damaged.
    """
    return sampling.frame_at(clip_file(project, clip_id), at_ms)


def grab_still(
    project: Project, clip_id: UUID, at_ms: int, job_id: UUID | None = None
) -> tuple[Photo, Edit]:
    """Keep one frame of a clip as a photo, without loss.

    Args:
        project: The open project.
        clip_id: The clip.
        at_ms: Where in the clip.
        job_id: A sealing job that the still shows; it becomes evidence of it, and a photo of the
            zone of its joint.

    Returns:
        The photo, and the edit that adds it. A frame that was grabbed before gives the same photo
        again, and the edit adds only what is new.

    Raises:
        MissingRecord: Clip or job is not there.
        ReadOnlyProject: It is open for looking only; nothing is kept.
        UnreadableVideo: The clip's file is missing or damaged.
    """
    project.refuse_read_only()
    clip = project.get(Clip, clip_id)
    zone_id = None
    if job_id is not None:
        zone_id = project.get(Joint, project.get(SealingJob, job_id).joint_id).zone_id
    frame = frame_at(project, clip_id, at_ms)
    photo, edit = _still(project, clip, frame, zone_id)
    if job_id is None or project.all(Evidence, sealing_job_id=job_id, photo_id=photo.id):
        return photo, edit
    return photo, edit.then(added(Evidence(sealing_job_id=job_id, photo_id=photo.id)))


def time_code(at_ms: int) -> str:
    """Return a place in a clip as people read it.

    >>> time_code(83_450)
    '0:01:23.450'
    """
    seconds, ms = divmod(at_ms, 1000)
    minutes, second = divmod(seconds, 60)
    hour, minute = divmod(minutes, 60)
    return f"{hour}:{minute:02}:{second:02}.{ms:03}"


def _still(project: Project, clip: Clip, frame: Frame, zone_id: UUID | None) -> tuple[Photo, Edit]:
    png = encode_png(frame.rgb)
    sha256 = project.photo_files.put(png, "png")
    twins = project.all(Photo, sha256=sha256)
    if twins:
        return twins[0], Edit(())
    code = time_code(frame.at_ms)
    photo = Photo(
        sha256=sha256,
        file_type="png",
        original_name=f"{clip.name} {code.replace(':', '.')}.png",
        size_bytes=len(png),
        width_px=frame.rgb.shape[1],
        height_px=frame.rgb.shape[0],
        taken=_later(clip.recorded, frame.at_ms),
        zone_id=zone_id,
        note=f"Still from '{clip.name}' at {code} ({frame.at_ms} ms). SHA-256 of the video: "
        f"{clip.sha256}",
    )
    return photo, added(photo)


def _later(recorded: TakenAt | None, at_ms: int) -> TakenAt | None:
    if recorded is None:
        return None
    return replace(recorded, local=recorded.local + timedelta(milliseconds=at_ms))


def sha256_of(path: Path, progress: Progress = silent) -> str:
    """Return the hash of all bytes of a file, 64 hex digits.

    Raises:
        Cancelled: Stopped by ``progress``.
        OSError: It cannot be read.
    """
    digest, done = hashlib.sha256(), 0
    size_bytes = path.stat().st_size
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            progress(done, size_bytes, path.name)
            digest.update(chunk)
            done += len(chunk)
    progress(done, done, path.name)
    return digest.hexdigest()


def _hashed(path: Path, progress: Progress) -> tuple[str, int]:
    try:
        return sha256_of(path, progress), path.stat().st_size
    except OSError as error:
        raise UnreadableVideo(
            f"{path.name} cannot be read: {error.strerror or error}. Nothing was changed."
        ) from error
