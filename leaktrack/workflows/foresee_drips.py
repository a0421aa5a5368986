"""What the drops of a leak mean for the engine if they go on."""

from leaktrack.analysis.oiling.accounting import dipstick_level
from leaktrack.analysis.oiling.dripping import (
    drip_rate,
    hours_until,
    litres_per_100_h,
    litres_per_1000_km,
    ml_per_day,
)
from leaktrack.analysis.oiling.pooling import pool_ml
from leaktrack.model.between import Between
from leaktrack.model.drip import DripOutlook
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import Fluid, LeakMark
from leaktrack.workflows.calibrate_dipstick import dipstick_points
from leaktrack.workflows.find_engine import Reader

# Drops of other fluids are of other sizes than the oil's.
OILS = (Fluid.UNKNOWN, Fluid.ENGINE_OIL, Fluid.GEAR_OIL, Fluid.HYDRAULIC)


def outlook_of(reader: Reader, mark: LeakMark, look: Inspection | None) -> DripOutlook | None:
    """Return what a mark's drops mean for its engine; None where none were counted, or no oil.

    The speed and the level are those of the run before the look.
    """
    if not mark.drops_per_minute or mark.fluid not in OILS:
        return None
    run = reader.find(TestRun, look.test_run_id) if look and look.test_run_id else None
    try:
        rate = drip_rate(mark.drops_per_minute, mark.drop_edge_mm)
    except BadInput:  # more drops than can be told apart are a stream
        return None
    low, high = rate.ml_per_hour.low, rate.ml_per_hour.high
    km_per_h = (
        run.distance_km / (run.minutes / 60) if run and run.distance_km and run.minutes else 0
    )
    room = _room_ml(reader, run)
    return DripOutlook(
        rate=rate,
        ml_per_day=Between(ml_per_day(low), ml_per_day(high)),
        litres_per_100_h=Between(litres_per_100_h(low), litres_per_100_h(high)),
        litres_per_1000_km=(
            Between(litres_per_1000_km(low, km_per_h), litres_per_1000_km(high, km_per_h))
            if km_per_h > 0
            else None
        ),
        hours_to_minimum=(
            Between(hours_until(room.low, high), hours_until(room.high, low)) if room else None
        ),
    )


def pool_of(mark: LeakMark) -> Between | None:
    """Return how much the pool below a leak holds, in mL; None where there is none, or no oil."""
    if mark.pool_mm is None or mark.fluid not in OILS:
        return None
    return pool_ml(mark.pool_mm)


def _room_ml(reader: Reader, run: TestRun | None) -> Between | None:
    """Return the oil above the lower mark after a run, within two standard deviations."""
    if run is None or run.dipstick_after_mm is None:
        return None
    try:
        points = dipstick_points(reader, run.engine_id)
        at_mark = dipstick_level(points, 0.0)
        level = dipstick_level(points, run.dipstick_after_mm)
    except BadInput:  # not calibrated there: what the height means is not known
        return None
    room = level.ml - at_mark.ml
    return Between(max(room - 2 * level.sigma_ml, 0.0), max(room + 2 * level.sigma_ml, 0.0))
