"""Say what heights on an engine's own dipstick mean in mL."""

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID

from leaktrack.analysis.oiling.accounting import check_calibration
from leaktrack.model.engine import Engine
from leaktrack.model.oil_account import DipstickPoint
from leaktrack.model.record import Edit
from leaktrack.workflows.change_list import list_edit
from leaktrack.workflows.check_input import check_record
from leaktrack.workflows.find_engine import Reader
from leaktrack.workflows.project import Project


def dipstick_points(reader: Reader, engine_id: UUID) -> tuple[DipstickPoint, ...]:
    """Return the known heights of an engine's dipstick, lowest first; those not known yet last."""
    points = reader.all(DipstickPoint, engine_id=engine_id)
    return tuple(sorted(points, key=_height))


def set_dipstick(project: Project, engine_id: UUID, points: Sequence[DipstickPoint]) -> Edit:
    """Return the edit that leaves exactly these points on an engine's dipstick.

    Raises:
        BadInput: A figure is out of reason, or more height is not more oil.
        MissingRecord: There is no such engine.
    """
    project.get(Engine, engine_id)
    own = [replace(point, engine_id=engine_id) for point in points]
    for point in own:
        check_record(point)
    check_calibration(own)
    return list_edit(project.all(DipstickPoint, engine_id=engine_id), own)


def next_point(engine_id: UUID, points: Sequence[DipstickPoint]) -> DipstickPoint:
    """Return a fresh point: the lower mark, which is 0 by definition, then one to be filled in."""
    if not points:
        return DipstickPoint(engine_id=engine_id, height_mm=0.0, volume_ml=0.0)
    return DipstickPoint(engine_id=engine_id)


def _height(point: DipstickPoint) -> tuple[bool, float]:
    return point.height_mm is None, point.height_mm or 0.0
