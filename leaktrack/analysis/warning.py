"""What should be borne in mind before an inspection is believed?"""

from collections.abc import Iterator, Sequence
from uuid import UUID

from leaktrack.analysis.breathing import pressure_judgement
from leaktrack.analysis.sighting import SightingTable
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.pressure import PressureState
from leaktrack.model.warning import InspectionWarning, WarningKind

# From how many zones (or joints) at once pressure is more likely than as many bad seals. Common
# practice, no source for the number.
SEVERAL_ZONES = 3


def warnings(
    inspection: Inspection,
    table: SightingTable,
    runs: Sequence[TestRun],
    pressure_mmh2o: float | None = None,
) -> tuple[InspectionWarning, ...]:
    """Return why an inspection may mislead.

    A baseline is asked for once there is a run that an earlier look could have preceded; the
    baseline itself needs neither oil temperature nor baseline.

    Args:
        inspection: One of the table's.
        table: All inspections of the engine.
        runs: All runs of the engine.
        pressure_mmh2o: In the crankcase at this look or in its run; None: nobody measured it.

    Raises:
        BadInput: The pressure is not a number or out of reason.

    Source:
        Common practice in makers' texts: know a clean start, look at a known oil temperature (the
        same gap passes hot oil many times faster than cold oil), and suspect the crankcase's
        breather if several joints are newly wet at once. Limits of pressure: ``breathing``.
    """
    found = (*_pressure(inspection, table, pressure_mmh2o), *_warnings(inspection, table, runs))
    return tuple(found)


def are_several_newly_wet(table: SightingTable, inspection_id: UUID) -> bool:
    """Return whether so many zones or joints are newly wet that they may have one cause."""
    zones, joints = (
        newly_wet(inspection_id) for newly_wet in (table.newly_wet_zones, table.newly_wet_joints)
    )
    return max(len(zones), len(joints)) >= SEVERAL_ZONES


def _pressure(
    inspection: Inspection, table: SightingTable, pressure_mmh2o: float | None
) -> Iterator[InspectionWarning]:
    zones = table.newly_wet_zones(inspection.id)
    state = None if pressure_mmh2o is None else pressure_judgement(pressure_mmh2o).state
    if are_several_newly_wet(table, inspection.id):
        is_one = state is PressureState.HIGH
        kind = WarningKind.ONE_CAUSE if is_one else WarningKind.SEVERAL_NEWLY_WET
        yield InspectionWarning(kind, inspection.id, zones)
    elif state is PressureState.HIGH:
        yield InspectionWarning(WarningKind.PRESSURE_HIGH, inspection.id)
    if state is PressureState.LOW:
        yield InspectionWarning(WarningKind.PRESSURE_LOW, inspection.id)


def _warnings(
    inspection: Inspection, table: SightingTable, runs: Sequence[TestRun]
) -> Iterator[InspectionWarning]:
    if inspection.cleaned_at is None and not inspection.cleaned_how:
        yield InspectionWarning(WarningKind.NOT_CLEANED, inspection.id)
    if inspection.is_baseline or not _has_run_before(inspection, runs):
        return
    if not _has_baseline_before(inspection, table):
        yield InspectionWarning(WarningKind.NO_BASELINE, inspection.id)
    if inspection.oil_c is None:
        yield InspectionWarning(WarningKind.OIL_TEMPERATURE_UNKNOWN, inspection.id)


def _has_run_before(inspection: Inspection, runs: Sequence[TestRun]) -> bool:
    return inspection.test_run_id is not None or any(
        run.started_at <= inspection.looked_at for run in runs
    )


def _has_baseline_before(inspection: Inspection, table: SightingTable) -> bool:
    return any(
        earlier.is_baseline and earlier.looked_at <= inspection.looked_at
        for earlier in table.inspections
    )
