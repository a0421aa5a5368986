"""Summarise an engine in a few lines of text, and say how much its report will hold."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from leaktrack.model.comparison import Sighting
from leaktrack.model.errors import BadInput, MissingRecord
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Leak, SeepageGrade
from leaktrack.model.trace import CauseState
from leaktrack.model.words import grade_words, word
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.plan_redo import redo_list_of
from leaktrack.workflows.project import Project


@dataclass(frozen=True, slots=True)
class ReportExtent:
    """How much there is to report on an engine.

    Attributes:
        photos: Of its zones and inspections.
    """

    inspections: int
    zones: int
    photos: int
    leaks: int
    jobs: int
    verdicts: int
    checks: int


def report_extent(project: Project, engine_id: UUID) -> ReportExtent:
    """Return how much there is to report.

    Raises:
        MissingRecord: There is no such engine.
    """
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        zone_ids = {zone.id for zone in records.zones}
        inspection_ids = {inspection.id for inspection in records.inspections}
        own_photos = [
            photo
            for photo in records.photos.values()
            if photo.zone_id in zone_ids or photo.inspection_id in inspection_ids
        ]
        return ReportExtent(
            inspections=len(records.inspections),
            zones=len(records.zones),
            photos=len(own_photos),
            leaks=len(records.leaks),
            jobs=len(records.jobs),
            verdicts=len(records.causes),
            checks=len(records.checks),
        )


def short_summary(project: Project, engine_id: UUID) -> str:
    """Return a few lines to send to somebody: each leak, how it fared, its causes, what is to redo.

    Raises:
        MissingRecord: There is no such engine.
    """
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        lines = [records.engine.name]
        if records.inspections:
            lines.append(f"Last inspection: {_inspection_words(records.inspections[-1])}")
        else:
            lines.append("Not inspected yet.")
        for leak in records.leaks:
            lines.append(_leak_line(records, leak))
            lines += [f"  {words}" for words in _cause_lines(records, leak)]
        if records.inspections and not records.leaks:
            lines.append("No leak is marked.")
        lines.append(_redo_line(records))
        return "\n".join(lines)


def _inspection_words(inspection: Inspection) -> str:
    day = inspection.looked_at.astimezone().strftime("%Y-%m-%d")
    return f"{inspection.title}, {day}" if inspection.title else day


def _leak_line(records: EngineRecords, leak: Leak) -> str:
    zone = next(zone for zone in records.zones if zone.id == leak.zone_id)
    joint = records.joint_by_id.get(leak.joint_id) if leak.joint_id else None
    place = zone.name if joint is None else f"{zone.name}, {joint.name}"
    sightings = [records.table.sighting(leak, one.id) for one in records.inspections]
    return f"Leak {leak.number} ({place}): {_history_words(sightings)}"


def _history_words(sightings: list[Sighting]) -> str:
    """Return the grades from the first mark on, such as "2 seep, then 3 heavy seep"."""
    marked = [place for place, one in enumerate(sightings) if one.mark is not None]
    if not marked:
        return grade_words(SeepageGrade.NOT_SEEN)
    return ", then ".join(grade_words(one.grade) for one in sightings[marked[0] :])


def _cause_lines(records: EngineRecords, leak: Leak) -> Iterator[str]:
    jobs = {job.id: job for job in records.jobs}
    for cause in records.causes:
        if cause.leak_id != leak.id or cause.state is CauseState.RULED_OUT:
            continue
        job = jobs[cause.sealing_job_id]
        joint = records.joint_by_id[job.joint_id]
        day = job.done_at.astimezone().strftime("%Y-%m-%d")
        yield f"{word(cause.state)}: {joint.name}, sealed {day} ({cause.reason})"


def _redo_line(records: EngineRecords) -> str:
    try:
        redo = redo_list_of(records)
    except (BadInput, MissingRecord) as error:  # the rest still holds
        return f"The redo list could not be worked out. {error}"
    if not redo.tasks and not redo.without_task:
        return "Nothing to redo."
    names = ", ".join(planned.task.name for planned in redo.tasks) or "no task written yet"
    still = f"; {len(redo.without_task)} more without a task" if redo.without_task else ""
    return f"To redo: {names}; {redo.hours:g} h together{still}."
