"""Draw up the oil account of a run: what is missing against what visible leaks explain."""

from uuid import UUID

from leaktrack.analysis.comparing import is_wet
from leaktrack.analysis.oiling import accounting
from leaktrack.analysis.oiling.accounting import TYPED_SIGMA_ML, dipstick_level
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Leak, SeepageGrade
from leaktrack.model.oil_account import OilAccount, OilLevel, OilLoss, SeenLeak
from leaktrack.workflows.foresee_drips import OILS
from leaktrack.workflows.gather_engine import EngineRecords
from leaktrack.workflows.project import Project


def oil_account(project: Project, run_id: UUID) -> OilAccount:
    """Return a run's oil account; its state says where it cannot be drawn up.

    The leaks are those that the first inspection after the run shows wet, each by its wettest mark.

    Raises:
        BadInput: A height lies outside what the dipstick was calibrated for.
        MissingRecord: There is no such run.
    """
    with project.read() as reader:
        run = reader.get(TestRun, run_id)
        return account_of(EngineRecords(reader, run.engine_id), run)


def account_of(records: EngineRecords, run: TestRun) -> OilAccount:
    """Return a run's oil account, as ``oil_account``."""
    loss, is_calibrated = _loss(records, run)
    look = _look_after(records, run)
    leaks = None if look is None else _seen(records, look)
    return accounting.oil_account(loss, leaks, run.minutes, is_calibrated=is_calibrated)


def _loss(records: EngineRecords, run: TestRun) -> tuple[OilLoss | None, bool]:
    """Return what is missing, by heights on the dipstick if they tell, else by amounts in mL."""
    added, holds = run.oil_added_ml or 0.0, records.engine.oil_capacity_ml
    heights = (run.dipstick_before_mm, run.dipstick_after_mm)
    points = records.dipstick
    if heights[0] is not None and heights[1] is not None and len(points) >= 2:
        before = dipstick_level(points, heights[0], run.dipstick_before_c)
        after = dipstick_level(points, heights[1], run.dipstick_after_c)
        return accounting.oil_loss(before, after, added, holds), True
    if run.oil_before_ml is None or run.oil_after_ml is None:
        return None, False
    before = OilLevel(run.oil_before_ml, TYPED_SIGMA_ML, run.dipstick_before_c)
    after = OilLevel(run.oil_after_ml, TYPED_SIGMA_ML, run.dipstick_after_c)
    return accounting.oil_loss(before, after, added, holds), False


def _look_after(records: EngineRecords, run: TestRun) -> Inspection | None:
    """Return the first inspection of a run; without any, the first look before the next run."""
    own = [one for one in records.inspections if one.test_run_id == run.id]
    if own:
        return own[0]
    later = [other.started_at for other in records.runs if other.started_at > run.started_at]
    end = min(later, default=None)
    looks = (
        one
        for one in records.inspections
        if one.test_run_id is None
        and one.looked_at >= run.started_at
        and (end is None or one.looked_at < end)
    )
    return next(looks, None)


def _seen(records: EngineRecords, look: Inspection) -> list[SeenLeak]:
    found = (_leak_at(records, leak, look) for leak in records.leaks)
    return [one for one in found if one is not None]


def _leak_at(records: EngineRecords, leak: Leak, look: Inspection) -> SeenLeak | None:
    sighting = records.table.sighting(leak, look.id)
    mark = sighting.mark
    if mark is None or not is_wet(sighting.grade) or mark.fluid not in OILS:
        return None
    does_fall = bool(mark.do_drops_fall or mark.is_stream or mark.pool_mm) or mark.grade in (
        SeepageGrade.DRIP,
        SeepageGrade.STREAM,
    )
    return SeenLeak(
        number=leak.number,
        does_fall=does_fall,
        drops_per_minute=None if mark.is_stream else mark.drops_per_minute,
        edge_mm=mark.drop_edge_mm,
        area_mm2=sighting.area_mm2,
        pool_mm=mark.pool_mm,
    )
