"""Take photos into the project: files, folders, pasted pictures; a bad one never stops the rest."""

import os
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path
from uuid import UUID

from leaktrack.imaging.reading import PhotoFile, inspect_file
from leaktrack.model.errors import BadInput, Cancelled, LeakTrackError, UnreadablePhoto
from leaktrack.model.inspection import Check, Inspection
from leaktrack.model.photo import Light, Photo
from leaktrack.model.record import Edit, Record, added
from leaktrack.model.sealing_job import Evidence, SealingJob
from leaktrack.workflows.check_input import doubt_of_camera
from leaktrack.workflows.find_engine import engine_id_of_zone
from leaktrack.workflows.project import Progress, Project, silent

Source = Path | tuple[str, bytes]
"""A file, a folder with everything below it, or a pasted picture as name and content."""


class Outcome(Enum):
    """What became of a photo that was offered."""

    ADDED = "added"
    DUPLICATE = "duplicate"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class AddedPhoto:
    """What became of one file.

    Attributes:
        name: The file's name, as offered.
        photo: The new photo; for a duplicate, the one that has the same bytes.
        reason: Why it was refused, what it duplicates, or what is odd about it; often nothing.
    """

    name: str
    outcome: Outcome
    photo: Photo | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class AddedPhotos:
    """What became of all files.

    Attributes:
        edit: Adds the records of the photos; their files are in the project folder already.
        was_cancelled: Stopped early; the edit holds what was finished until then.
    """

    edit: Edit
    results: tuple[AddedPhoto, ...]
    was_cancelled: bool = False

    @property
    def added(self) -> tuple[Photo, ...]:
        """The new photos alone."""
        return tuple(
            result.photo
            for result in self.results
            if result.photo is not None and result.outcome is Outcome.ADDED
        )


@dataclass(frozen=True, slots=True)
class _Place:
    """Where new photos belong."""

    zone_id: UUID | None
    inspection_id: UUID | None
    check_id: UUID | None
    job_id: UUID | None
    light: Light | None


@dataclass(slots=True)
class _Batch:
    """What has been finished so far."""

    known: dict[str, Photo]
    shown_by_job: set[UUID]
    records: list[Record] = field(default_factory=list)
    results: list[AddedPhoto] = field(default_factory=list)


def add_photos(
    project: Project,
    sources: Sequence[Source],
    zone_id: UUID | None = None,
    inspection_id: UUID | None = None,
    check_id: UUID | None = None,
    job_id: UUID | None = None,
    progress: Progress = silent,
) -> AddedPhotos:
    """Copy photos into the project folder and return the edit that adds their records.

    Each file is decoded in full, so that a damaged one is refused now and not in a year. Files with
    the same bytes are stored once. Hidden files inside folders are passed over; folders that cannot
    be read are told like files.

    Args:
        project: The open project.
        sources: Files, folders and pasted pictures.
        zone_id: The zone that all of them show.
        inspection_id: The inspection they belong to; its light becomes theirs.
        check_id: The check they document.
        job_id: The sealing job they show; a duplicate becomes evidence of it too.
        progress: Called before each file; may raise Cancelled to stop.

    Returns:
        One result for each file, in order, and the edit, which is not applied.

    Raises:
        BadInput: The zone and the inspection belong to different engines.
        MissingRecord: Zone, inspection, check or job is not there.
        ReadOnlyProject: It is open for looking only; no file is copied.
    """
    project.refuse_read_only()
    place = _place(project, zone_id, inspection_id, check_id, job_id)
    evidence = project.all(Evidence, sealing_job_id=job_id) if job_id else ()
    batch = _Batch(
        known={photo.sha256: photo for photo in project.all(Photo)},
        shown_by_job={item.photo_id for item in evidence if item.photo_id},
    )
    offered = [file for source in sources for file in _expanded(source)]
    was_cancelled = False
    try:
        for done, source in enumerate(offered):
            progress(done, len(offered), _name(source))
            _take(project, source, place, batch)
        progress(len(offered), len(offered), "")
    except Cancelled:
        was_cancelled = len(batch.results) < len(offered)
    return AddedPhotos(added(*batch.records), tuple(batch.results), was_cancelled)


def _place(
    project: Project,
    zone_id: UUID | None,
    inspection_id: UUID | None,
    check_id: UUID | None,
    job_id: UUID | None,
) -> _Place:
    inspection = project.get(Inspection, inspection_id) if inspection_id else None
    engine_id = engine_id_of_zone(project, zone_id) if zone_id else None
    if inspection and engine_id and inspection.engine_id != engine_id:
        raise BadInput(
            "Zone and inspection belong to different engines. Choose them of one engine."
        )
    if check_id:
        project.get(Check, check_id)
    if job_id:
        project.get(SealingJob, job_id)
    light = inspection.light if inspection else None
    return _Place(zone_id, inspection_id, check_id, job_id, light)


def _expanded(source: Source) -> Iterator[Source]:
    if isinstance(source, tuple) or not source.is_dir():
        yield source
        return
    below = sorted(_below(source))
    shown = [path for path in below if not _is_hidden(path.relative_to(source))]
    # An empty folder stays in the list, so that somebody is told about it.
    yield from shown or [source]


def _below(folder: Path) -> Iterator[Path]:
    """Yield the files below a folder, and the folders that do not let us look into them."""
    unreadable: list[Path] = []
    for here, _, names in os.walk(
        folder, onerror=lambda error: unreadable.append(Path(error.filename))
    ):
        yield from (path for path in (Path(here, name) for name in names) if path.is_file())
    yield from unreadable


def _is_hidden(path: Path) -> bool:
    return any(part.startswith(".") for part in path.parts)


def _name(source: Source) -> str:
    return source[0] if isinstance(source, tuple) else source.name


def _take(project: Project, source: Source, place: _Place, batch: _Batch) -> None:
    name = _name(source)
    try:
        photo = _stored(project, source, place)
    except LeakTrackError as error:
        batch.results.append(AddedPhoto(name, Outcome.REFUSED, reason=_one_line(str(error))))
        return
    except OSError as error:
        reason = f"{name} could not be copied: {error.strerror or error}."
        batch.results.append(AddedPhoto(name, Outcome.REFUSED, reason=_one_line(reason)))
        return
    twin = batch.known.get(photo.sha256)
    if twin is None:
        batch.known[photo.sha256] = photo
        batch.records.append(photo)
        doubt = doubt_of_camera(photo.taken)
        reason = f"{name}: {doubt}" if doubt else ""
        batch.results.append(AddedPhoto(name, Outcome.ADDED, photo, _one_line(reason)))
    else:
        reason = f"{name} is in the project already, as {twin.original_name}."
        batch.results.append(AddedPhoto(name, Outcome.DUPLICATE, twin, reason))
    _note_evidence(place.job_id, twin or photo, batch)


def _note_evidence(job_id: UUID | None, photo: Photo, batch: _Batch) -> None:
    if job_id is not None and photo.id not in batch.shown_by_job:
        batch.shown_by_job.add(photo.id)
        batch.records.append(Evidence(sealing_job_id=job_id, photo_id=photo.id))


def _stored(project: Project, source: Source, place: _Place) -> Photo:
    """Check a file and copy it into the project; return its record."""
    if isinstance(source, Path):
        _refuse_no_file(source)
        file = inspect_file(source)
        sha256 = project.photo_files.put(source, file.file_type)
        size_bytes = project.photo_files.path(sha256, file.file_type).stat().st_size
    else:
        file = _inspected(*source)
        sha256 = project.photo_files.put(source[1], file.file_type)
        size_bytes = len(source[1])
    return Photo(
        sha256=sha256,
        file_type=file.file_type,
        original_name=_name(source),
        size_bytes=size_bytes,
        width_px=file.width_px,
        height_px=file.height_px,
        orientation=file.orientation,
        taken=file.taken,
        zone_id=place.zone_id,
        inspection_id=place.inspection_id,
        check_id=place.check_id,
        light=place.light,
    )


def _refuse_no_file(source: Path) -> None:
    """Refuse what would never end, or not be seen into; all else is told by who opens it."""
    if source.is_dir() and not os.access(source, os.R_OK | os.X_OK):
        raise UnreadablePhoto(
            f"The folder {source.name} may not be looked into. "
            "Ask whoever keeps it to let you read it."
        )
    if source.exists() and not (source.is_file() or source.is_dir()):
        raise UnreadablePhoto(f"{source.name} is no file, but a device or a pipe.")


def _inspected(name: str, content: bytes) -> PhotoFile:
    with tempfile.TemporaryDirectory(prefix="leaktrack-") as folder:
        # Only the last part of the name: a pasted name must not lead out of the folder.
        path = Path(folder) / (Path(name).name or "pasted")
        path.write_bytes(content)
        return inspect_file(path)


def _one_line(text: str) -> str:
    return " ".join(text.split())
