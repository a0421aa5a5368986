"""Follow how leaks grow over running hours."""

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID

from leaktrack.analysis.growing import USUAL_LIMITS, growth
from leaktrack.model.comparison import LeakHistory
from leaktrack.model.growth import Growth
from leaktrack.model.leak import Leak
from leaktrack.model.severity import GradeLimits
from leaktrack.workflows.find_engine import engine_id_of_zone
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.measure_sightings import measured_sightings
from leaktrack.workflows.project import Progress, Project, silent


def growth_of(
    project: Project,
    leak_id: UUID,
    until_id: UUID | None = None,
    limits: GradeLimits = USUAL_LIMITS,
) -> Growth:
    """Return how one leak grew up to an inspection, by the scales written down with its photos.

    Raises:
        MissingRecord: There is no such leak.
    """
    leak = project.get(Leak, leak_id)
    with project.read() as reader:
        records = EngineRecords(reader, engine_id_of_zone(project, leak.zone_id))
        return growth(
            history_of(records, leak), records.inspections, records.runs, until_id, limits
        )


def measured_growth(
    project: Project,
    leak_id: UUID,
    until_id: UUID | None = None,
    progress: Progress = silent,
    limits: GradeLimits = USUAL_LIMITS,
) -> Growth:
    """Return the same with the wet areas measured at the targets in their photos; reads these.

    Raises:
        Cancelled: Stopped by ``progress``.
        MissingRecord: There is no such leak.
    """
    leak = project.get(Leak, leak_id)
    engine_id = engine_id_of_zone(project, leak.zone_id)
    return growths(project, engine_id, [leak_id], until_id, progress, limits)[0]


def growths(
    project: Project,
    engine_id: UUID,
    leak_ids: Sequence[UUID],
    until_id: UUID | None = None,
    progress: Progress = silent,
    limits: GradeLimits = USUAL_LIMITS,
) -> tuple[Growth, ...]:
    """Return how some leaks of an engine grew, by their number, measured like ``measured_growth``.

    Raises:
        Cancelled: Stopped by ``progress``.
    """
    with project.read() as reader:
        records = EngineRecords(reader, engine_id)
        leaks = [leak for leak in records.leaks if leak.id in leak_ids]
        histories = [history_of(records, leak) for leak in leaks]
        inspections, runs = records.inspections, records.runs
    seen = [each for history in histories for each in history.sightings]
    found = measured_sightings(project, seen, progress)
    count = len(inspections)
    return tuple(
        growth(
            replace(history, sightings=found[place * count : (place + 1) * count]),
            inspections,
            runs,
            until_id,
            limits,
        )
        for place, history in enumerate(histories)
    )


def history_of(records: EngineRecords, leak: Leak) -> LeakHistory:
    """Return one leak at every inspection of its engine, oldest first."""
    seen = (records.table.sighting(leak, one.id) for one in records.inspections)
    return LeakHistory(leak, tuple(seen))
