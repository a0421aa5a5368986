"""From pools and films to volume: how much oil lies below a leak or clings to the engine."""

import math

from leaktrack.analysis.oiling.dripping import GRAVITY, OIL_DENSITY_KG_M3, OIL_TENSION_MN_M
from leaktrack.analysis.refusing import above_zero, limited
from leaktrack.model.between import Between
from leaktrack.model.oil_account import FILM_MM, POOL_ANGLE_DEG

LARGEST_POOL_MM = 2000.0


def capillary_length_mm(tension_mn_m: float = 31.0, density_kg_m3: float = 870.0) -> float:
    """Return the length up to which surface tension shapes a fluid: sqrt(sigma / (rho g)).

    Raises:
        BadInput: A figure is not above 0.

    >>> round(capillary_length_mm(), 3)
    1.906
    """
    above_zero(tension_mn_m, "surface tension", "mN/m")
    above_zero(density_kg_m3, "density", "kg/m3")
    return 1e3 * math.sqrt(tension_mn_m * 1e-3 / (density_kg_m3 * GRAVITY))


def pool_depth_mm(
    contact_deg: float, tension_mn_m: float = 31.0, density_kg_m3: float = 870.0
) -> float:
    """Return how deep a wide pool stands on a level floor: 2 lc sin(theta / 2).

    Args:
        contact_deg: Contact angle on the floor, 0 to 180.
        tension_mn_m: Surface tension, above 0.
        density_kg_m3: Above 0.

    Raises:
        BadInput: A figure is out of its limits.

    Source:
        Textbook formula, from memory; it holds for pools much wider than 2 mm.
    """
    limited(contact_deg, "contact angle", "deg", highest=180.0)
    length = capillary_length_mm(tension_mn_m, density_kg_m3)
    return 2 * length * math.sin(math.radians(contact_deg) / 2)


def pool_ml(width_mm: float) -> Between:
    """Return how much oil a round pool holds, as a range over contact angles of 10 to 30 deg.

    Args:
        width_mm: Its diameter, 0 to 2,000.

    Raises:
        BadInput: It is not a number or outside these limits.
    """
    limited(width_mm, "width of the pool", "mm", highest=LARGEST_POOL_MM)
    area_mm2 = math.pi / 4 * width_mm**2
    shallow = pool_depth_mm(POOL_ANGLE_DEG.low, OIL_TENSION_MN_M.low, OIL_DENSITY_KG_M3.high)
    deep = pool_depth_mm(POOL_ANGLE_DEG.high, OIL_TENSION_MN_M.high, OIL_DENSITY_KG_M3.low)
    return Between(area_mm2 * shallow / 1e3, area_mm2 * deep / 1e3)


def film_ml(area_mm2: float) -> Between:
    """Return how much oil a wet area holds: a film of 0.02 to 0.1 mm.

    Raises:
        BadInput: The area is negative or not a number.

    Source:
        DTIC ADA088168: 0.05 mm for fuel on the skin of aircraft, here an order of magnitude.
    """
    return FILM_MM.times(limited(area_mm2, "wet area", "mm2") / 1000)


def draining_film_mm(
    viscosity_pa_s: float, below_mm: float, seconds: float, density_kg_m3: float = 870.0
) -> float:
    """Return how thick a film on an upright wall still is: sqrt(mu x / (rho g t)).

    Args:
        viscosity_pa_s: Dynamic viscosity, 0 or more.
        below_mm: How far below the upper edge, 0 or more.
        seconds: For how long it has drained, above 0.
        density_kg_m3: Above 0.

    Raises:
        BadInput: A figure is out of its limits.

    Source:
        Jeffreys' draining film, from memory.
    """
    limited(viscosity_pa_s, "viscosity", "Pa s")
    limited(below_mm, "way below the edge", "mm")
    above_zero(seconds, "time of draining", "s")
    above_zero(density_kg_m3, "density", "kg/m3")
    return 1e3 * math.sqrt(viscosity_pa_s * below_mm * 1e-3 / (density_kg_m3 * GRAVITY * seconds))
