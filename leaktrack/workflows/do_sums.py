"""Do the trade's sums without a project: viscosity, gaps and beads."""

from collections.abc import Sequence
from dataclasses import dataclass

from leaktrack.analysis.summing.bedding import (
    bead_range,
    film_range,
    tolerance_as_volume,
    volume_range,
)
from leaktrack.analysis.summing.curing import time_here
from leaktrack.analysis.summing.indexing import viscosity_index
from leaktrack.analysis.summing.seeping import Passage, flow, gap, head_pa
from leaktrack.analysis.summing.thinning import Oil, density, oil_of, oil_through
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import GapFlow, GapShape, Range


@dataclass(frozen=True, slots=True)
class ViscositySum:
    """An oil at one temperature.

    Attributes:
        faster: So many times as fast as at the first temperature it leaks; None for that one.
    """

    oil_c: float
    cst: Range
    mpa_s: Range
    faster: Range | None


@dataclass(frozen=True, slots=True)
class GapSum:
    """A flow through a gap for the thickest, the likely and the thinnest oil it may be."""

    mpa_s: Range
    least: GapFlow
    likely: GapFlow
    most: GapFlow


@dataclass(frozen=True, slots=True)
class BeadSum:
    """A bead's arithmetic; None where no figure was given for it."""

    film_mm: Range | None
    bead_mm: Range | None
    ml_per_m: Range | None
    ml: Range | None
    tolerance: Range | None
    time_h: Range | None


def the_oil(grade: str | None, points: Sequence[tuple[float, float]] = ()) -> Oil:
    """Return an oil by its grade, or by two points of temperature in C and viscosity in cSt.

    Raises:
        BadInput: Neither is given, or both, or what is given cannot be.
    """
    if (grade is None) == (not points):
        raise BadInput(
            "Say which oil it is: either by its grade, such as 5W-30, or by its viscosity at two "
            "temperatures. Nothing was worked out."
        )
    if grade is not None:
        return oil_of(grade)
    if len(points) != 2:
        raise BadInput(
            f"The viscosity is given at {len(points)} temperatures, but two are needed. "
            "Nothing was worked out."
        )
    return oil_through(*points[0], *points[1])


def viscosities(oil: Oil, temperatures_c: Sequence[float]) -> tuple[ViscositySum, ...]:
    """Return how thick an oil is at some temperatures, and how much faster it leaks there.

    Raises:
        BadInput: A temperature is outside the formula's limits.
    """
    first = temperatures_c[0]
    return tuple(
        ViscositySum(
            oil_c,
            oil.cst(oil_c),
            oil.mpa_s(oil_c),
            oil.faster(first, oil_c) if place else None,
        )
        for place, oil_c in enumerate(temperatures_c)
    )


def index(
    at_40_cst: float, at_100_cst: float, low_cst: float | None, high_cst: float | None
) -> float:
    """Return an oil's viscosity index.

    Raises:
        BadInput: A figure is no number or beyond the limits, or L and H are missing.
    """
    return viscosity_index(at_40_cst, at_100_cst, low_cst, high_cst)


def passage_of(
    width_mm: float | None, shaft_mm: float | None, length_mm: float, off_centre: float
) -> Passage:
    """Return a slot of a width, or the ring gap around a shaft.

    Raises:
        BadInput: Not exactly one of both is given.
    """
    if (width_mm is None) == (shaft_mm is None):
        raise BadInput(
            "Give either the width of a slot or the diameter of a shaft. Nothing was worked out."
        )
    if shaft_mm is not None:
        return Passage(GapShape.ANNULUS, shaft_mm, length_mm, off_centre)
    return Passage(GapShape.SLOT, width_mm or 0.0, length_mm)


def pressure_of(pressure_kpa: float | None, head_mm: float | None, oil_c: float | None) -> float:
    """Return the pressure in Pa: as given, or that below so much oil.

    Raises:
        BadInput: Not exactly one of both is given, or it cannot be.
    """
    if (pressure_kpa is None) == (head_mm is None):
        raise BadInput(
            "Give either the pressure or the height of oil above the gap. Nothing was worked out."
        )
    if pressure_kpa is not None:
        return pressure_kpa * 1000
    return head_pa(head_mm or 0.0, density(20.0 if oil_c is None else oil_c))


def flows(passage: Passage, gap_mm: float, pressure_pa: float, mpa_s: Range) -> GapSum:
    """Return how much flows through a gap; thin oil flows most.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.
    """
    least, likely, most = (
        flow(passage, gap_mm, pressure_pa, each) for each in (mpa_s.most, mpa_s.likely, mpa_s.least)
    )
    return GapSum(mpa_s, least, likely, most)


def gaps(passage: Passage, ml_per_day: float, pressure_pa: float, mpa_s: Range) -> GapSum:
    """Return the gap that lets so much through; thick oil needs the widest.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits.
    """
    least, likely, most = (
        gap(passage, ml_per_day, pressure_pa, each)
        for each in (mpa_s.least, mpa_s.likely, mpa_s.most)
    )
    return GapSum(mpa_s, least, likely, most)


def bead(
    bead_mm: float | None,
    gap_mm: float | None,
    width_mm: float | None,
    length_mm: float | None,
    tolerance_mm: float | None,
    wait: tuple[float, float | None, float | None] | None,
) -> BeadSum:
    """Return whatever the given figures tell of a bead.

    Args:
        bead_mm: Its width as laid.
        gap_mm: Of the closed joint.
        width_mm: That the film shall have.
        length_mm: Of the joint.
        tolerance_mm: Of the bead's width, either way.
        wait: A time of the maker's in hours, air temperature in C, humidity in percent.

    Raises:
        BadInput: A figure is negative, no number or beyond the limits, or nothing follows.
    """
    if tolerance_mm is not None and bead_mm is None:
        raise BadInput("A tolerance needs the bead's width too. Nothing was worked out.")
    if wait is not None and wait[1] is None:
        raise BadInput("A maker's time needs the air temperature too. Nothing was worked out.")
    found = BeadSum(
        film_mm=film_range(bead_mm, gap_mm) if bead_mm is not None and gap_mm is not None else None,
        bead_mm=bead_range(width_mm, gap_mm)
        if width_mm is not None and gap_mm is not None
        else None,
        ml_per_m=None if bead_mm is None else volume_range(bead_mm),
        ml=None if bead_mm is None or length_mm is None else volume_range(bead_mm, length_mm),
        tolerance=None
        if bead_mm is None or tolerance_mm is None
        else tolerance_as_volume(bead_mm, tolerance_mm),
        time_h=None if wait is None or wait[1] is None else time_here(wait[0], wait[1], wait[2]),
    )
    if not any((found.film_mm, found.bead_mm, found.ml_per_m, found.time_h)):
        raise BadInput(
            "Nothing follows from these figures. Give the bead, or the gap and the width wanted, "
            "or a maker's time with the air temperature."
        )
    return found
