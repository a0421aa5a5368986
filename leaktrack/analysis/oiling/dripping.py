"""From drops to volume: how large a hanging drop becomes, and what a rate of drops adds up to."""

import math
from itertools import pairwise

from leaktrack.analysis.refusing import above_zero, limited
from leaktrack.model.between import Between
from leaktrack.model.drip import DripRate, DropVolume
from leaktrack.model.errors import BadInput
from leaktrack.model.oil_account import USUAL_EDGE_MM

# Harkins and Brown's correction to Tate's law by R / V^(1/3), as reprinted in colloid texts; the
# figures are from memory. Between them it is interpolated linearly.
_PSI = (
    (0.30, 0.7256), (0.35, 0.7011), (0.40, 0.6828), (0.45, 0.6669), (0.50, 0.6515),
    (0.55, 0.6362), (0.60, 0.6250), (0.65, 0.6171), (0.70, 0.6093), (0.75, 0.6032),
    (0.80, 0.6000), (0.85, 0.5992), (0.90, 0.5998), (0.95, 0.6034), (1.00, 0.6098),
    (1.05, 0.6179), (1.10, 0.6280), (1.15, 0.6407), (1.20, 0.6535),
)  # fmt: skip

GRAVITY = 9.80665
"""m/s2, standard."""

# Mineral oil: 30 to 35 mN/m, read second-hand; density 0.86 to 0.89 g/mL at 15 degC less 0.00065
# for each degree, from memory: 0.80 at about 100 degC.
OIL_TENSION_MN_M = Between(30.0, 35.0)
OIL_DENSITY_KG_M3 = Between(800.0, 890.0)

# "20 drops are 1 mL" is an upper bound for oil: bigger drops do not hang from such edges.
LARGEST_DROP_UL = 50.0

# Edges for which the table above holds with every oil above.
SMALLEST_EDGE_MM, LARGEST_EDGE_MM = 1.5, 9.8

_MOST_DROPS_PER_MINUTE = 600.0  # ten a second run together to a stream; own judgement
_MINUTES_PER_HOUR, _HOURS_PER_DAY = 60.0, 24.0


def drop_shape(ratio: float) -> float:
    """Return how much of the drop that Tate's law promises falls.

    Args:
        ratio: Radius of the edge over the cube root of the drop's volume, 0.30 to 1.20.

    Raises:
        BadInput: The ratio is outside the table.

    Source:
        Harkins and Brown, as reprinted in colloid texts; from memory.

    >>> drop_shape(0.5), round(drop_shape(0.525), 5)
    (0.6515, 0.64385)
    """
    limited(ratio, "edge beside its drop", lowest=_PSI[0][0], highest=_PSI[-1][0])
    for (x0, y0), (x1, y1) in pairwise(_PSI):
        if ratio <= x1:
            return y0 + (y1 - y0) * (ratio - x0) / (x1 - x0)
    return _PSI[-1][1]


def tate_volume_ul(radius_mm: float, tension_mn_m: float, density_kg_m3: float) -> float:
    """Return the volume that surface tension alone could hold at an edge; real drops are smaller.

    V = 2 pi R sigma / (rho g)

    Args:
        radius_mm: Of the edge, above 0.
        tension_mn_m: Surface tension, above 0.
        density_kg_m3: Above 0.

    Raises:
        BadInput: A figure is not above 0.

    Source:
        Tate's law, in the form of a drop-weight paper's abstract.
    """
    above_zero(radius_mm, "radius of the edge", "mm")
    above_zero(tension_mn_m, "surface tension", "mN/m")
    above_zero(density_kg_m3, "density", "kg/m3")
    # mm * mN/m is 1e-6 N, and a m3 is 1e9 uL.
    return 2 * math.pi * radius_mm * tension_mn_m * 1e3 / (density_kg_m3 * GRAVITY)


def drop_volume_ul(
    radius_mm: float, tension_mn_m: float = 31.0, density_kg_m3: float = 870.0
) -> float:
    """Return the volume of a drop that falls from a round edge.

    V = 2 pi R sigma psi(R / V^(1/3)) / (rho g), solved by halving.

    Args:
        radius_mm: Of the edge; for oil about 0.7 to 5 mm.
        tension_mn_m: Surface tension, above 0.
        density_kg_m3: Above 0.

    Raises:
        BadInput: A figure is not above 0, or the edge is outside what the law was measured for.

    Source:
        The drop-weight law of Harkins and Brown; 31 mN/m of mineral oil read second-hand.

    >>> round(drop_volume_ul(2.0), 1)
    28.1
    """
    tate = tate_volume_ul(radius_mm, tension_mn_m, density_kg_m3)
    low, high = _volumes_of_table(radius_mm)

    def excess(volume: float) -> float:
        return volume - tate * drop_shape(radius_mm / volume ** (1 / 3))

    if excess(low) > 0 or excess(high) < 0:
        length = math.sqrt(tension_mn_m * 1e3 / (density_kg_m3 * GRAVITY))
        raise BadInput(
            f"The edge has a radius of {radius_mm:g} mm, but the drop-weight law was measured for "
            f"{0.346 * length:.2g} to {2.66 * length:.2g} mm with such a fluid. "
            "Nothing was worked out from it."
        )
    while high - low > 1e-9 * high:
        middle = (low + high) / 2
        low, high = (low, middle) if excess(middle) > 0 else (middle, high)
    return (low + high) / 2


def drop_volume(edge_mm: float | None = None) -> DropVolume:
    """Return how large a falling drop of warm or cold oil is, as a range.

    Args:
        edge_mm: Width of the edge that it hangs from (the diameter of a bolt's end, the thickness
            of a lip), 1.5 to 9.8 mm; None: nobody measured it.

    Raises:
        BadInput: The edge is outside these limits.

    Source:
        The drop-weight law over 30 to 35 mN/m and 0.80 to 0.89 g/mL. Where nobody measured the
        edge: 2 to 6 mm wide, own judgement, up to the 0.05 mL of "20 drops are 1 mL".
    """
    edges = USUAL_EDGE_MM
    if edge_mm is not None:
        limited(
            edge_mm, "width of the edge", "mm", lowest=SMALLEST_EDGE_MM, highest=LARGEST_EDGE_MM
        )
        edges = Between(edge_mm, edge_mm)
    lightest = drop_volume_ul(edges.low / 2, OIL_TENSION_MN_M.low, OIL_DENSITY_KG_M3.high)
    heaviest = drop_volume_ul(edges.high / 2, OIL_TENSION_MN_M.high, OIL_DENSITY_KG_M3.low)
    if edge_mm is None:
        heaviest = max(heaviest, LARGEST_DROP_UL)
    return DropVolume(Between(lightest, heaviest), edge_mm)


def drip_rate(drops_per_minute: float, edge_mm: float | None = None) -> DripRate:
    """Return what a rate of drops adds up to, as a range.

    Args:
        drops_per_minute: As counted, 0 to 600.
        edge_mm: As for ``drop_volume``.

    Raises:
        BadInput: A figure is outside its limits.
    """
    limited(drops_per_minute, "rate", "drops a minute", highest=_MOST_DROPS_PER_MINUTE)
    drop = drop_volume(edge_mm)
    per_hour = drop.ul.times(drops_per_minute * _MINUTES_PER_HOUR / 1000)
    return DripRate(drops_per_minute, drop, per_hour)


def ml_per_day(ml_per_hour: float) -> float:
    """Return what leaks in a day if it never stops.

    >>> ml_per_day(3.0)
    72.0
    """
    return limited(ml_per_hour, "leak rate", "mL/h") * _HOURS_PER_DAY


def litres_per_1000_km(ml_per_hour: float, km_per_hour: float) -> float:
    """Return what leaks on the road, at the speed of a run.

    Args:
        ml_per_hour: 0 or more.
        km_per_hour: Mean speed, above 0.

    Raises:
        BadInput: A figure is outside its limits.

    >>> litres_per_1000_km(50.0, 50.0)
    1.0
    """
    limited(ml_per_hour, "leak rate", "mL/h")
    return ml_per_hour / above_zero(km_per_hour, "speed", "km/h")


def litres_per_100_h(ml_per_hour: float) -> float:
    """Return what leaks in 100 running hours, as for engines that count hours.

    >>> litres_per_100_h(50.0)
    5.0
    """
    return limited(ml_per_hour, "leak rate", "mL/h") / 10


def hours_until(room_ml: float, ml_per_hour: float) -> float:
    """Return after how many hours of leaking so much oil is gone; infinite where nothing leaks.

    Args:
        room_ml: Oil above the lower mark; 0 or less is at or below it already.
        ml_per_hour: 0 or more.

    Raises:
        BadInput: The rate is negative, or a figure is not a number.
    """
    limited(ml_per_hour, "leak rate", "mL/h")
    limited(room_ml, "oil above the lower mark", "mL", lowest=-math.inf)
    if room_ml <= 0:
        return 0.0
    return room_ml / ml_per_hour if ml_per_hour > 0 else math.inf


def _volumes_of_table(radius_mm: float) -> tuple[float, float]:
    """Return the smallest and largest volume for which the table tells the shape."""
    # A hair inside, so that rounding does not put the ratio outside the table.
    (lowest, _), (highest, _) = _PSI[0], _PSI[-1]
    return (
        (radius_mm / highest) ** 3 * (1 + 1e-12),
        (radius_mm / lowest) ** 3 * (1 - 1e-12),
    )
