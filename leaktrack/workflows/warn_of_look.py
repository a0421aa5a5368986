"""Say what should be borne in mind before an inspection is believed."""

from uuid import UUID

from leaktrack.analysis.warning import warnings
from leaktrack.model.inspection import Inspection
from leaktrack.model.warning import InspectionWarning
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.judge_pressure import pressure_at
from leaktrack.workflows.project import Project


def warnings_at(records: EngineRecords, look: Inspection) -> tuple[InspectionWarning, ...]:
    """Return why a look at an engine may mislead, its crankcase pressure included."""
    pressure = pressure_at(records, look)
    return warnings(look, records.table, records.runs, pressure.mmh2o if pressure else None)


def warnings_of(project: Project, inspection_id: UUID) -> tuple[InspectionWarning, ...]:
    """Return why an inspection may mislead.

    Raises:
        MissingRecord: There is no such inspection.
    """
    with project.read() as reader:
        look = reader.get(Inspection, inspection_id)
        return warnings_at(EngineRecords(reader, look.engine_id), look)
