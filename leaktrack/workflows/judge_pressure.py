"""What the crankcase pressure was at a look, and what that means."""

from uuid import UUID

from leaktrack.analysis.breathing import PA_PER_MMH2O, pressure_judgement
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.pressure import PressureJudgement
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project

# NIST Special Publication 811: 1 inH2O is 249.0889 Pa, 1 psi 6894.757 Pa.
_PASCALS = {
    "mmh2o": PA_PER_MMH2O,
    "inh2o": 249.0889,
    "pa": 1.0,
    "mbar": 100.0,
    "hpa": 100.0,
    "kpa": 1000.0,
    "psi": 6894.757,
}
_MMH2O = {unit: pascals / PA_PER_MMH2O for unit, pascals in _PASCALS.items()}


def crankcase_mmh2o(records: EngineRecords, look: Inspection | None) -> float | None:
    """Return the crankcase pressure at a look or in its run, in mmH2O; None: not measured.

    A reading counts whose name has "crankcase" in it and whose unit is one of pressure.
    """
    if look is None:
        return None
    if look.crankcase_mmh2o is not None:
        return look.crankcase_mmh2o
    owners = [look.id, look.test_run_id] if look.test_run_id else [look.id]
    for reading in (one for owner in owners for one in records.readings.get(owner, ())):
        factor = _MMH2O.get(reading.unit.lower().replace("₂", "2").replace(" ", ""))
        if "crankcase" in reading.name.lower() and factor is not None:
            return reading.value * factor
    return None


def pressure_at(records: EngineRecords, look: Inspection) -> PressureJudgement | None:
    """Return what the pressure at a look means; None: not measured, or no pressure at all."""
    measured = crankcase_mmh2o(records, look)
    if measured is None:
        return None
    try:
        return pressure_judgement(measured)
    except BadInput:  # a reading is free text and figures; what cannot be says nothing
        return None


def pressure_of(project: Project, inspection_id: UUID) -> PressureJudgement | None:
    """Return what the pressure at an inspection means; None: not measured.

    Raises:
        MissingRecord: There is no such inspection.
    """
    with project.read() as reader:
        look = reader.get(Inspection, inspection_id)
        return pressure_at(EngineRecords(reader, look.engine_id), look)
