"""How thick is oil at a temperature? By ASTM D341 from two points, or from an SAE J300 grade."""

import re
from dataclasses import dataclass
from functools import cache
from itertools import product
from math import exp, log10, sqrt

from leaktrack.analysis.refusing import limited
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import Range

KELVIN = 273.15

# ASTM D341 in the form used here; below 2 cSt it needs more terms.
LEAST_CST, MOST_CST = 2.0, 2.0e7
# The chart of D341 covers -70 to 370 C; oil in an engine stays within this. Own judgement.
COLDEST_C, HOTTEST_C = -45.0, 200.0

# Mineral oil, from memory: 0.86 to 0.89 g/mL at 15 C, and so much less for each degree.
DENSITY_15_C, DENSITY_PER_C = 0.875, 0.00065

# SAE J300, January 2015, read in three tables that agree: cSt at 100 C, from and below.
_AT_100_C = {
    8: (4.0, 6.1),
    12: (5.0, 7.1),
    16: (6.1, 8.2),
    20: (6.9, 9.3),
    30: (9.3, 12.5),
    40: (12.5, 16.3),
    50: (16.3, 21.9),
    60: (21.9, 26.1),
}
# The same: most cranking viscosity in mPa s, at which temperature in C; least viscosity at 100 C.
_COLD = {
    0: (6200.0, -35.0, 3.8),
    5: (6600.0, -30.0, 3.8),
    10: (7000.0, -25.0, 4.1),
    15: (7000.0, -20.0, 5.6),
    20: (9500.0, -15.0, 5.6),
    25: (13000.0, -10.0, 9.3),
}
# The straight line of D341 through the cranking limit and the viscosity at 100 C passes the usual
# figures at 40 C of thirteen common oils (from memory) within 11 %, and all of them
# from -20 to 120 C lie between the lines with the cold end moved by these. Own judgement.
_COLD_LEAST, _COLD_MOST = 0.6, 1.8
# A grade without W: slopes B of D341 of single-grade oils of index 90 to 110. Own judgement.
_SINGLE_SLOPES = (3.35, 3.75)
_GRADE = re.compile(r"(?:SAE\s*)?(?:(\d{1,2})\s*W\s*-?\s*)?(\d{1,2})?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Curve:
    """One oil: log10 log10(v + 0.7) = a - b log10(T), v in cSt, T in kelvin."""

    a: float
    b: float

    def at(self, oil_c: float) -> float:
        """Return the kinematic viscosity in cSt (mm2/s) at a temperature in C.

        Raises:
            BadInput: The temperature, or the viscosity there, is outside the formula's limits.
        """
        limited(oil_c, "oil temperature", "°C", lowest=COLDEST_C, highest=HOTTEST_C)
        exponent = self.a - self.b * log10(oil_c + KELVIN)
        viscosity = 10 ** (10**exponent) - 0.7 if exponent < 2 else MOST_CST * 2
        return limited(
            viscosity, f"viscosity at {oil_c:g} °C", "cSt", lowest=LEAST_CST, highest=MOST_CST
        )


def curve(first_c: float, first_cst: float, second_c: float, second_cst: float) -> Curve:
    """Return the curve through two points.

    Args:
        first_c: Temperature of the first point, in C.
        first_cst: Kinematic viscosity there, in cSt.
        second_c: Temperature of the second point.
        second_cst: Kinematic viscosity there.

    Raises:
        BadInput: A figure is outside the formula's limits, or the oil thickens when it warms.

    Source:
        ASTM D341: log10 log10(v + 0.7) = A - B log10 T, for 2 cSt and more.

    >>> round(curve(40, 32.0, 100, 5.4).at(80), 2)
    8.53
    """
    points = sorted(((first_c, first_cst), (second_c, second_cst)))
    for oil_c, cst in points:
        limited(oil_c, "oil temperature", "°C", lowest=COLDEST_C, highest=HOTTEST_C)
        limited(cst, "viscosity", "cSt", lowest=LEAST_CST, highest=MOST_CST)
    (cold_c, cold_cst), (hot_c, hot_cst) = points
    if hot_c - cold_c < 1.0:
        raise BadInput(
            f"Both points are at {cold_c:g} °C. They must be 1 °C apart at least, and are best as "
            "far apart as 40 and 100 °C; nothing was worked out."
        )
    if hot_cst >= cold_cst:
        raise BadInput(
            f"This oil has {cold_cst:g} cSt at {cold_c:g} °C and {hot_cst:g} cSt at {hot_c:g} °C. "
            "Oil grows thinner as it warms; perhaps the points are swapped. Nothing was worked out."
        )
    cold, hot = _twice_log(cold_cst), _twice_log(hot_cst)
    slope = (cold - hot) / (log10(hot_c + KELVIN) - log10(cold_c + KELVIN))
    return Curve(cold + slope * log10(cold_c + KELVIN), slope)


def low_z(viscosity_cst: float) -> float:
    """Return Z of ASTM D341 for thin liquids: v + 0.7 + exp(-1.47 - 1.84 v - 0.51 v^2).

    From 2 cSt on it is v + 0.7 as nearly as anybody measures. ``low_v`` is its inverse.

    Raises:
        BadInput: Below 0.21 cSt, where the standard's form ends, or above the limit.
    """
    v = limited(viscosity_cst, "viscosity", "cSt", lowest=0.21, highest=MOST_CST)
    return v + 0.7 + exp(-1.47 - 1.84 * v - 0.51 * v**2)


def low_v(z: float) -> float:
    """Return the viscosity in cSt that belongs to a Z of ASTM D341."""
    x = limited(z, "figure Z", lowest=0.9, highest=MOST_CST) - 0.7
    # Beyond 2 cSt the cubic, made for thin liquids, would run away; there it is nothing.
    return x - (exp(-0.7487 - 3.295 * x + 0.6119 * x**2 - 0.3193 * x**3) if x < 4 else 0.0)


@dataclass(frozen=True, slots=True)
class Oil:
    """An oil as well as it is known: the curves it may have, with a likely one among them."""

    name: str
    likely: Curve
    others: tuple[Curve, ...]

    def cst(self, oil_c: float) -> Range:
        """Return the kinematic viscosity in cSt at a temperature in C."""
        found = [each.at(oil_c) for each in (self.likely, *self.others)]
        return Range(min(found), found[0], max(found))

    def mpa_s(self, oil_c: float) -> Range:
        """Return the dynamic viscosity in mPa s at a temperature in C."""
        return self.cst(oil_c).times(density(oil_c))

    def faster(self, before_c: float, after_c: float) -> Range:
        """Return how many times as fast it leaks at the later temperature through the same gap.

        Flow through a thin gap goes with 1 / viscosity: with the dynamic one where air pressure
        drives it, with the kinematic one where the oil's own weight does. Both are covered.
        """
        ratios = [each.at(before_c) / each.at(after_c) for each in (self.likely, *self.others)]
        lighter = density(before_c) / density(after_c)
        every = [ratio * by for ratio in ratios for by in (1.0, lighter)]
        return Range(min(every), ratios[0] * sqrt(lighter), max(every))


def density(oil_c: float) -> float:
    """Return the density of mineral engine oil in g/mL; within 0.015, from memory.

    Raises:
        BadInput: The temperature is outside the limits.
    """
    limited(oil_c, "oil temperature", "°C", lowest=COLDEST_C, highest=HOTTEST_C)
    return DENSITY_15_C - DENSITY_PER_C * (oil_c - 15.0)


@cache
def oil_of(grade: str) -> Oil:
    """Return the oil of an SAE J300 grade; what the grade leaves open stays a range.

    The grade fixes the viscosity at 100 C. The cold end is the cranking limit of the W number: a
    most, so the oil's own lies about it. A grade without W number is taken as a single-grade oil.

    Args:
        grade: Such as "5W-30", "SAE 40" or "10w40".

    Raises:
        BadInput: It is no such grade.
    """
    winter, summer = _parts(grade)
    low, high = _AT_100_C[summer] if summer else (_COLD[winter or 0][2], 26.1)
    middle = sqrt(low * high)
    if winter is None:
        curves = [_sloped(cst, slope) for cst, slope in product((low, high), _SINGLE_SLOPES)]
        likely = _sloped(middle, sum(_SINGLE_SLOPES) / 2)
    else:
        most_mpa_s, cold_c, least_100 = _COLD[winter]
        low = max(low, least_100)
        cold = most_mpa_s / density(cold_c)
        curves = [
            curve(cold_c, cold * by, 100.0, cst)
            for by, cst in product((_COLD_LEAST, _COLD_MOST), (low, high))
        ]
        likely = curve(cold_c, cold, 100.0, middle)
    return Oil(_named(winter, summer), likely, tuple(curves))


def oil_through(first_c: float, first_cst: float, second_c: float, second_cst: float) -> Oil:
    """Return the oil whose viscosity was given at two temperatures."""
    through = curve(first_c, first_cst, second_c, second_cst)
    return Oil(
        f"{first_cst:g} cSt at {first_c:g} °C, {second_cst:g} at {second_c:g} °C", through, ()
    )


def _parts(grade: str) -> tuple[int | None, int | None]:
    found = _GRADE.fullmatch(grade.strip())
    groups = found.groups() if found else (None, None)
    winter, summer = (None if each is None else int(each) for each in groups)
    is_known = (winter is None or winter in _COLD) and (summer is None or summer in _AT_100_C)
    if (winter is None and summer is None) or not is_known:
        winters = ", ".join(f"{each}W" for each in _COLD)
        raise BadInput(
            f"'{grade.strip()}' is no engine oil grade of SAE J300. Write it like 5W-30 or SAE 40: "
            f"{winters}; {', '.join(map(str, _AT_100_C))}. Nothing was worked out."
        )
    return winter, summer


def _named(winter: int | None, summer: int | None) -> str:
    if winter is None:
        return f"SAE {summer}"
    return f"{winter}W-{summer}" if summer else f"{winter}W"


def _sloped(cst_100: float, slope: float) -> Curve:
    return Curve(_twice_log(cst_100) + slope * log10(100.0 + KELVIN), slope)


def _twice_log(cst: float) -> float:
    return log10(log10(cst + 0.7))
