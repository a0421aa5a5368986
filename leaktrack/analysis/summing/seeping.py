"""How much oil flows through a thin gap, and how wide is a gap that lets so much through?

Steady laminar flow between parallel walls (textbook formula, from memory): a slot passes
Q = w h^3 p / (12 mu L), an annulus Q = pi D c^3 p / (12 mu L) with a factor 1 + 1.5 e^2 where the
shaft sits off centre, up to 2.5. Oil at the open end of a gap is held back by its surface: in a
narrow one the gap stays damp rather than flows, so the figures are upper bounds there.
"""

from dataclasses import dataclass
from math import pi

from leaktrack.analysis.refusing import limited
from leaktrack.model.heat import GapFlow, GapShape

# Mineral oil: 31 mN/m, read second-hand; 30 to 35 elsewhere.
SURFACE_TENSION_N_M = 0.031
# 1 mmH2O and 1 inH2O in Pa; NIST Special Publication 811.
PA_PER_MMH2O = 9.80665
ML_PER_DAY = 86_400 * 1e6  # of 1 m3/s

# Limits. A gap of more than this is no thin one, oil no thinner than water gets here, and no seal
# of an engine meets more pressure than an oil gallery's. Own judgement.
LEAST_GAP_MM, MOST_GAP_MM = 1e-4, 2.0
MOST_MM = 100_000.0
LEAST_MPA_S, MOST_MPA_S = 0.2, 1e6
MOST_PA = 2e6
MOST_ML_PER_DAY = 1e7


@dataclass(frozen=True, slots=True)
class Passage:
    """What oil flows through, without its height.

    Attributes:
        shape: Slot or annulus.
        width_mm: Of a slot across the flow; of an annulus the diameter.
        length_mm: Along the flow.
        off_centre: Of an annulus: 0 where the shaft sits in the middle, 1 where it touches.
    """

    shape: GapShape
    width_mm: float
    length_mm: float
    off_centre: float = 0.0


def flow(passage: Passage, gap_mm: float, pressure_pa: float, mpa_s: float) -> GapFlow:
    """Return how much oil flows through a gap.

    Args:
        passage: What it flows through.
        gap_mm: Height of the slot; clearance on one side of a centred shaft.
        pressure_pa: Between both ends.
        mpa_s: Dynamic viscosity of the oil.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.

    >>> slot = Passage(GapShape.SLOT, width_mm=10, length_mm=10)
    >>> round(flow(slot, 0.010, 1000, 10).ml_per_day, 2)
    0.72
    """
    limited(gap_mm, "gap", "mm", lowest=LEAST_GAP_MM, highest=MOST_GAP_MM)
    conductance = _conductance(passage, pressure_pa, mpa_s)
    return _told(passage, gap_mm, conductance * gap_mm**3, pressure_pa, mpa_s)


def gap(passage: Passage, ml_per_day: float, pressure_pa: float, mpa_s: float) -> GapFlow:
    """Return the gap that lets so much oil through: the cube root undoes ``flow``.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits, or so is the gap.
    """
    limited(ml_per_day, "flow", "mL per day", above=0.0, highest=MOST_ML_PER_DAY)
    limited(pressure_pa, "pressure", "Pa", above=0.0, highest=MOST_PA)
    conductance = _conductance(passage, pressure_pa, mpa_s)
    gap_mm = float((ml_per_day / conductance) ** (1 / 3))
    limited(gap_mm, "gap that this needs", "mm", lowest=LEAST_GAP_MM, highest=MOST_GAP_MM)
    return _told(passage, gap_mm, ml_per_day, pressure_pa, mpa_s)


def head_pa(head_mm: float, density_g_ml: float) -> float:
    """Return the pressure in Pa below so much oil.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.

    >>> round(head_pa(100, 0.87))
    853
    """
    limited(head_mm, "height of oil", "mm", highest=2000.0)
    limited(density_g_ml, "density", "g/mL", lowest=0.5, highest=1.5)
    return density_g_ml * PA_PER_MMH2O * head_mm


def capillary_pa(gap_mm: float) -> float:
    """Return how strongly oil is held in the open end of a wetted slot: 2 sigma / h, in Pa."""
    limited(gap_mm, "gap", "mm", lowest=LEAST_GAP_MM, highest=MOST_GAP_MM)
    return 2 * SURFACE_TENSION_N_M / (gap_mm / 1000)


def _conductance(passage: Passage, pressure_pa: float, mpa_s: float) -> float:
    """Return mL per day for a gap of 1 mm; what is not as the formula wants it is refused."""
    limited(passage.width_mm, "width", "mm", above=0.0, highest=MOST_MM)
    limited(passage.length_mm, "length along the flow", "mm", above=0.0, highest=MOST_MM)
    limited(pressure_pa, "pressure", "Pa", highest=MOST_PA)
    limited(mpa_s, "viscosity", "mPa s", lowest=LEAST_MPA_S, highest=MOST_MPA_S)
    limited(passage.off_centre, "share that the shaft sits off centre", highest=1.0)
    across = passage.width_mm
    if passage.shape is GapShape.ANNULUS:
        across *= pi * (1 + 1.5 * passage.off_centre**2)
    # w h^3 / L in mm3, p / mu in 1/s: together mm3/s, of which 1000 are a mL.
    return across / passage.length_mm * pressure_pa / (12 * mpa_s / 1000) / 1000 * 86_400


def _told(
    passage: Passage, gap_mm: float, ml_per_day: float, pressure_pa: float, mpa_s: float
) -> GapFlow:
    held_pa = capillary_pa(gap_mm)
    across_mm = passage.width_mm * (pi if passage.shape is GapShape.ANNULUS else 1.0)
    # rho Q / (mu w), with a density of 0.85 g/mL: only its size matters.
    m2_s = ml_per_day / ML_PER_DAY / (across_mm / 1000)
    return GapFlow(
        gap_mm=gap_mm,
        ml_per_day=ml_per_day,
        pressure_pa=pressure_pa,
        capillary_pa=held_pa,
        reynolds=2 * 850.0 * m2_s / (mpa_s / 1000),
        may_only_wick=held_pa >= pressure_pa,
    )
