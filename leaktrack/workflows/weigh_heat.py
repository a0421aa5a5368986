"""Weigh a change against what the oil's heat and the running time alone would make of it."""

from collections.abc import Sequence
from uuid import UUID

from leaktrack.analysis.summing.warming import conditions, heat_factor
from leaktrack.model.heat import HeatFactor
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.workflows.project import Project


def heat_between(project: Project, before_id: UUID, after_id: UUID) -> HeatFactor:
    """Return what heat and running time alone would make between two inspections of an engine.

    Raises:
        MissingRecord: An inspection is not there.
    """
    with project.read() as reader:
        before, after = reader.get(Inspection, before_id), reader.get(Inspection, after_id)
        inspections = reader.all(Inspection, engine_id=after.engine_id)
        runs = reader.all(TestRun, engine_id=after.engine_id)
    return heat_of(before, after, inspections, runs)


def heat_of(
    before: Inspection,
    after: Inspection,
    inspections: Sequence[Inspection],
    runs: Sequence[TestRun],
) -> HeatFactor:
    """Return the same from records that were read already, in any order."""
    ordered = sorted(inspections, key=lambda one: one.looked_at)

    def earlier(than: Inspection) -> list[Inspection]:
        return [one for one in ordered if one.looked_at < than.looked_at]

    return heat_factor(
        conditions(before, earlier(before), runs), conditions(after, earlier(after), runs)
    )
