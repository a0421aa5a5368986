"""Count the debris of a drain in a photo of the project, keep it, and compare drains."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from uuid import UUID

from leaktrack.analysis.colouring import crumb_sources
from leaktrack.model.debris import CrumbSource, DebrisCount, DrainComparison, DrainCount, Particle
from leaktrack.model.drain import Drain, DrainFindings
from leaktrack.model.engine import Engine, SealKind
from leaktrack.model.errors import BadInput
from leaktrack.model.photo import Photo
from leaktrack.model.record import Edit, added, removed, replaced
from leaktrack.workflows.check_input import check_aware
from leaktrack.workflows.count_debris import count_debris
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.measure_scale import USUAL_SIDE_MM
from leaktrack.workflows.project import Progress, Project, silent

_SEALANTS = frozenset({SealKind.LIQUID_GASKET, SealKind.THREAD_SEALANT})


def count_in_photo(
    project: Project,
    photo_id: UUID,
    at: datetime,
    target_mm: float = USUAL_SIDE_MM,
    progress: Progress = silent,
) -> tuple[DrainCount, DebrisCount]:
    """Return what a photo of the project shows of a drain; nothing is kept yet.

    Raises:
        BadInput: No paper is found.
        Cancelled: Stopped by ``progress``.
        UnreadablePhoto: The file is missing or damaged.
    """
    check_aware(at, "time of the count")
    photo = project.get(Photo, photo_id)
    found = count_debris(project.photo_file(photo), target_mm, progress)
    bare = tuple(replace(one, outline=()) for one in found.particles)
    count = DrainCount(
        photo_id=photo_id,
        counted_at=at,
        particles=bare,
        unit=found.unit,
        mm_per_px=found.mm_per_px,
        least=found.least,
        is_paper_doubtful=found.is_paper_doubtful,
    )
    return count, found


def drain_of_photo(project: Project, photo_id: UUID) -> DrainCount | None:
    """Return the count that somebody kept of a photo."""
    kept = project.all(DrainCount, photo_id=photo_id)
    return kept[0] if kept else None


def keep_drain(project: Project, count: DrainCount) -> Edit:
    """Return the edit that keeps a count in place of the one there is.

    Raises:
        BadInput: The photo belongs to no check, so nobody could say which drain it shows.
        MissingRecord: The photo is not there any more.
    """
    if project.get(Photo, count.photo_id).check_id is None:
        raise BadInput(
            "This photo belongs to no check, so nobody could say which drain it shows. Record a "
            "check of the kind debris, and add the photo to it."
        )
    before = drain_of_photo(project, count.photo_id)
    if before is None:
        return added(count)
    return replaced(before, replace(count, id=before.id))


def remove_drain(project: Project, count_id: UUID) -> Edit:
    """Return the edit that takes a kept count away; the photo stays."""
    return removed(project.get(DrainCount, count_id))


def drains(project: Project, engine_id: UUID) -> tuple[Drain, ...]:
    """Return the kept counts of an engine, oldest drain first."""
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        counts = reader.all(DrainCount)
        return drains_of(records, counts)


def drains_of(records: EngineRecords, counts: Sequence[DrainCount]) -> tuple[Drain, ...]:
    """Return the same for records that are gathered already."""
    checks = {check.id: check for check in records.checks}
    dated = []
    for count in counts:
        check_id = records.photos[count.photo_id].check_id
        check = checks.get(check_id) if check_id else None
        if check is not None:
            dated.append((check.done_at or count.counted_at, count, check))
    dated.sort(key=lambda one: (one[0], one[1].id))
    found: list[Drain] = []
    earlier: datetime | None = None
    before: datetime | None = None
    for at, count, check in dated:
        if before is not None and at > before:
            earlier, before = before, at
        before = before or at
        found.append(Drain(count, check, at, _hours(records, earlier, at)))
    return tuple(found)


def drain_findings(
    records: EngineRecords, counts: Sequence[DrainCount]
) -> tuple[DrainFindings, ...]:
    """Return each kept drain with where its crumbs may come from and how it compares."""
    known = drains_of(records, counts)
    found = []
    for place, drain in enumerate(known):
        earlier = [one for one in known[:place] if one.at < drain.at]
        comparison = None
        if earlier and earlier[-1].count.unit == drain.count.unit == "mm":
            comparison = compare_drains(earlier[-1], drain)
        found.append(DrainFindings(drain, crumbs_of(records, drain.count.particles), comparison))
    return tuple(found)


def compare_drains(before: Drain, after: Drain) -> DrainComparison:
    """Return how the debris of two drains compares.

    Raises:
        BadInput: One of the photos has no scale.
    """
    from leaktrack.analysis.draining import compared_drains

    by_hour = before.hours is not None and after.hours is not None
    hours = (before.hours, after.hours) if by_hour else (None, None)
    return compared_drains(before.count, after.count, *hours)


def compare_photos(
    before: Path, after: Path, target_mm: float = USUAL_SIDE_MM, progress: Progress = silent
) -> tuple[DebrisCount, DrainComparison]:
    """Return what the later of two photo files shows, and how it compares with the earlier one.

    Raises:
        BadInput: No paper is found in one, or it has no scale.
        UnreadablePhoto: A file is missing or damaged.
    """
    from leaktrack.analysis.draining import compared_drains

    earlier, later = (count_debris(path, target_mm, progress) for path in (before, after))
    return later, compared_drains(earlier, later)


def crumbs_from(
    project: Project, engine_id: UUID, particles: Sequence[Particle]
) -> tuple[CrumbSource, ...]:
    """Return which joints the crumbs of sealant may come from, by their colour."""
    with project.read() as reader:
        reader.get(Engine, engine_id)
        return crumbs_of(EngineRecords(reader, engine_id), particles)


def crumbs_of(records: EngineRecords, particles: Sequence[Particle]) -> tuple[CrumbSource, ...]:
    """Return the same for records that are gathered already."""
    sealants: dict[str, str] = {}
    for job in records.jobs:
        material = records.materials.get(job.material_id) if job.material_id else None
        joint = records.joint_by_id[job.joint_id]
        if material is not None and joint.seal_kind in _SEALANTS:
            sealants[f"{joint.name} ({material.name})"] = f"{material.colour} {material.name}"
    return crumb_sources(particles, tuple(sealants.items()))


def _hours(records: EngineRecords, since: datetime | None, until: datetime) -> float | None:
    minutes = [
        run.minutes
        for run in records.runs
        if run.started_at <= until and (since is None or run.started_at > since)
    ]
    if since is None or None in minutes or not minutes:
        return None
    return sum(each for each in minutes if each is not None) / 60
