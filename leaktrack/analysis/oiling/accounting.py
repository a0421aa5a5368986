"""The oil account: what the dipstick says is missing against what visible leaks can explain."""

import math
from collections.abc import Sequence
from itertools import pairwise

from leaktrack.analysis.oiling.dripping import drip_rate
from leaktrack.analysis.oiling.pooling import film_ml, pool_ml
from leaktrack.analysis.refusing import limited
from leaktrack.model.between import Between
from leaktrack.model.errors import BadInput
from leaktrack.model.oil_account import (
    AccountState,
    DipstickPoint,
    LeakAmount,
    LeakWay,
    OilAccount,
    OilLevel,
    OilLoss,
    SeenLeak,
)

READING_SIGMA_MM = 1.0
"""How well a dipstick is read, one standard deviation, level and drained down; own judgement."""

TYPED_SIGMA_ML = 100.0
"""How well an amount is known that somebody gave in mL without a calibration. Own judgement."""

# A reading may lie beyond the outer points by so much of their distance, with the outer slope. Own
# judgement: the sump changes its width somewhere.
_MOST_BEYOND = 0.5

# Oil of 870 kg/m3 that loses 0.65 kg/m3 for each degree; from memory.
EXPANSION_PER_C = 0.65 / 870.0
_UNKNOWN_WARMTH_C = 10.0  # how unlike two readings may be whose temperatures nobody noted
_USUAL_OIL_ML = 5000.0  # where nobody recorded what the engine holds; own judgement both


def dipstick_level(
    points: Sequence[DipstickPoint], height_mm: float, oil_c: float | None = None
) -> OilLevel:
    """Return how much oil a height on the dipstick means, by the engine's own calibration.

    Between two points it is interpolated linearly; outside by up to half their span, with the
    slope of the outer two.

    Args:
        points: Two or more, rising in height and in volume.
        height_mm: Above the lower mark.
        oil_c: Oil temperature while it was read.

    Raises:
        BadInput: Fewer than two points, points that do not rise, or a height too far outside.

    >>> from uuid import UUID
    >>> ends = ((0.0, 0.0), (20.0, 1000.0))
    >>> stick = [DipstickPoint(engine_id=UUID(int=0), height_mm=h, volume_ml=v) for h, v in ends]
    >>> dipstick_level(stick, 15.0)
    OilLevel(ml=750.0, sigma_ml=50.0, oil_c=None)
    """
    known = check_calibration(points)
    if len(known) < 2:
        raise BadInput(
            "A dipstick needs two known heights, such as its two marks. Nothing was worked out."
        )
    lowest, highest = known[0][0], known[-1][0]
    beyond = _MOST_BEYOND * (highest - lowest)
    limited(height_mm, "dipstick", "mm", lowest=lowest - beyond, highest=highest + beyond)
    place = sum(height_mm > height for height, _ml in known[1:-1])
    (below_mm, below_ml), (above_mm, above_ml) = known[place : place + 2]
    slope = (above_ml - below_ml) / (above_mm - below_mm)
    return OilLevel(below_ml + slope * (height_mm - below_mm), slope * READING_SIGMA_MM, oil_c)


def check_calibration(points: Sequence[DipstickPoint]) -> tuple[tuple[float, float], ...]:
    """Return height and oil of the points of a dipstick that are known, lowest first.

    Raises:
        BadInput: A figure is none, or more height is not more oil.
    """
    known = sorted(
        (
            limited(point.height_mm, "height on the dipstick", "mm", lowest=-1000, highest=1000),
            limited(point.volume_ml, "oil at that height", "mL", lowest=-1e6, highest=1e6),
        )
        for point in points
        if point.height_mm is not None and point.volume_ml is not None
    )
    for (below_mm, below_ml), (above_mm, above_ml) in pairwise(known):
        if not (below_mm < above_mm and below_ml < above_ml):
            raise BadInput(
                f"The dipstick says {below_ml:g} mL at {below_mm:g} mm and {above_ml:g} mL at "
                f"{above_mm:g} mm, but more height must be more oil. Correct one of the two."
            )
    return tuple(known)


def oil_loss(
    before: OilLevel, after: OilLevel, added_ml: float = 0.0, holds_ml: float | None = None
) -> OilLoss:
    """Return how much oil is missing, with its standard deviation.

    Hot oil is larger: where both temperatures and what the engine holds are known, the second level
    is brought to the temperature of the first. Where a temperature is not known, the doubt reckons
    with readings 10 degC apart.

    Args:
        before: The level before the run.
        after: The level after it.
        added_ml: Filled in between, 0 or more.
        holds_ml: All oil in the engine; None: not known, 5 L for the doubt.

    Raises:
        BadInput: A figure is not a number or out of its limits.

    >>> oil_loss(OilLevel(900.0, 30.0, 20.0), OilLevel(800.0, 40.0, 20.0), holds_ml=4000.0)
    OilLoss(ml=100.0, sigma_ml=50.0, warmth_ml=0.0, unlike_c=0.0)
    """
    limited(added_ml, "oil added", "mL", highest=1e6)
    for level in (before, after):
        limited(level.ml, "oil level", "mL", lowest=-1e6, highest=1e6)
        limited(level.sigma_ml, "doubt of the oil level", "mL")
        if level.oil_c is not None:
            limited(level.oil_c, "oil temperature", "degC", lowest=-60, highest=250)
    if holds_ml is not None:
        limited(holds_ml, "oil that the engine holds", "mL", highest=1e6)
    missing = before.ml + added_ml - after.ml
    ml_per_c = EXPANSION_PER_C * (_USUAL_OIL_ML if holds_ml is None else holds_ml)
    unlike_c = 0.0
    warmth: float | None = None
    if before.oil_c is None or after.oil_c is None:
        unlike_c = _UNKNOWN_WARMTH_C
    elif holds_ml is None:
        unlike_c = abs(after.oil_c - before.oil_c)
    else:
        warmth = ml_per_c * (after.oil_c - before.oil_c)
    sigma = math.hypot(before.sigma_ml, after.sigma_ml, ml_per_c * unlike_c)
    return OilLoss(missing + (warmth or 0.0), sigma, warmth, unlike_c)


def leak_amount(seen: SeenLeak, minutes: float) -> LeakAmount:
    """Return how much oil a leak may have lost in a run, as a range.

    A pool below it tells what fell. Without one, drops are taken to have fallen all the run at the
    rate that was counted. What stays on the engine is a film.

    Args:
        seen: What the look after the run shows.
        minutes: How long the engine ran, 0 or more.

    Raises:
        BadInput: A figure is out of its limits.
    """
    limited(minutes, "time of the run", "min")
    film = Between(0.0, 0.0) if seen.area_mm2 is None else film_ml(seen.area_mm2)
    if seen.pool_mm is not None:
        way = LeakWay.POOL if seen.area_mm2 is None else LeakWay.POOL_AND_FILM
        return LeakAmount(seen.number, way, pool_ml(seen.pool_mm).plus(film))
    if seen.drops_per_minute is not None:
        rate = drip_rate(seen.drops_per_minute, seen.edge_mm)
        dripped = rate.ml_per_hour.times(minutes / 60)
        way = LeakWay.DROPS if seen.area_mm2 is None else LeakWay.DROPS_AND_FILM
        return LeakAmount(seen.number, way, dripped.plus(film))
    if seen.does_fall:
        return LeakAmount(seen.number, LeakWay.NOT_COUNTED, Between(film.low, math.inf))
    way = LeakWay.NO_SIZE if seen.area_mm2 is None else LeakWay.FILM
    return LeakAmount(seen.number, way, film)


def oil_account(
    loss: OilLoss | None,
    leaks: Sequence[SeenLeak] | None,
    minutes: float | None,
    *,
    is_calibrated: bool = False,
) -> OilAccount:
    """Return what is missing against what visible leaks explain, or why that cannot be said.

    The share's bounds set the least that leaks explain against the most that may be missing, and
    the other way round; what is missing is taken two standard deviations to both sides.

    Args:
        loss: By the dipstick; None: not read before and after.
        leaks: Wet ones that the look after the run shows; None: nobody looked.
        minutes: How long the engine ran; None: not known.
        is_calibrated: Whether the engine's own dipstick told the loss.

    Raises:
        BadInput: A figure is out of its limits.
    """
    if leaks is None:
        return OilAccount(AccountState.NO_LOOK, loss, is_calibrated)
    if minutes is None and any(one.drops_per_minute and one.pool_mm is None for one in leaks):
        return OilAccount(AccountState.NO_TIME, loss, is_calibrated)
    amounts = tuple(leak_amount(leak, minutes or 0.0) for leak in leaks)
    explained = Between(0.0, 0.0)
    for amount in amounts:
        explained = explained.plus(amount.ml)
    state, share = _share(loss, amounts, explained)
    return OilAccount(state, loss, is_calibrated, amounts, explained, share, minutes)


def _share(
    loss: OilLoss | None, amounts: Sequence[LeakAmount], explained: Between
) -> tuple[AccountState, Between | None]:
    if loss is None:
        return AccountState.NO_READINGS, None
    missing = loss.bounds_ml
    if missing.low <= 0:
        return AccountState.LOSS_IN_DOUBT, None
    unsized = (LeakWay.NOT_COUNTED, LeakWay.NO_SIZE)
    if amounts and all(one.way in unsized for one in amounts):
        return AccountState.NOTHING_COUNTED, None
    return AccountState.DRAWN_UP, Between(
        explained.low / missing.high, explained.high / missing.low
    )
