"""How little does an oil thin out when it warms? Its viscosity index, by ASTM D2270.

The standard compares an oil with two others of the same viscosity at 100 C, one of index 0 (L at
40 C) and one of index 100 (H). Its table of L and H is not in this program: both are asked for up
to 70 cSt at 100 C; above that the standard's formulas give them.
"""

from math import log10

from leaktrack.analysis.refusing import limited
from leaktrack.model.errors import BadInput

LEAST_CST, MOST_CST = 2.0, 1e6
FORMULAS_FROM_CST = 70.0
"""From here on L and H at 40 C follow from the viscosity at 100 C by a formula."""


def viscosity_index(
    at_40_cst: float,
    at_100_cst: float,
    low_cst: float | None = None,
    high_cst: float | None = None,
) -> float:
    """Return the viscosity index; the standard rounds it to a whole number.

    Args:
        at_40_cst: Kinematic viscosity at 40 C, U.
        at_100_cst: At 100 C, Y.
        low_cst: L out of the standard's table for Y; not needed above 70 cSt.
        high_cst: H likewise.

    Raises:
        BadInput: A figure is no number or beyond the limits, or L and H are missing.

    Source:
        ASTM D2270. Procedure A to 100: 100 (L - U) / (L - H). Procedure B above:
        (10^N - 1) / 0.00715 + 100 with N = (log H - log U) / log Y.

    >>> round(viscosity_index(73.30, 8.86, 119.94, 69.48))
    92
    """
    limited(at_40_cst, "viscosity at 40 °C", "cSt", lowest=LEAST_CST, highest=MOST_CST)
    limited(at_100_cst, "viscosity at 100 °C", "cSt", lowest=LEAST_CST, highest=MOST_CST)
    if at_100_cst >= at_40_cst:
        raise BadInput(
            f"This oil has {at_40_cst:g} cSt at 40 °C and {at_100_cst:g} cSt at 100 °C. Oil grows "
            "thinner as it warms; perhaps both are swapped. Nothing was worked out."
        )
    low, high = _references(at_100_cst, low_cst, high_cst)
    if at_40_cst >= high:
        return 100 * (low - at_40_cst) / (low - high)
    exponent = (log10(high) - log10(at_40_cst)) / log10(at_100_cst)
    return (10**exponent - 1) / 0.00715 + 100


def references(at_100_cst: float) -> tuple[float, float]:
    """Return L and H at 40 C for oils of more than 70 cSt at 100 C.

    Raises:
        BadInput: It is thinner than that, no number or beyond the limit.

    Source:
        ASTM D2270: L = 0.8353 Y^2 + 14.67 Y - 216, H = 0.1684 Y^2 + 11.85 Y - 97.
    """
    y = limited(
        at_100_cst, "viscosity at 100 °C", "cSt", lowest=FORMULAS_FROM_CST, highest=MOST_CST
    )
    return 0.8353 * y**2 + 14.67 * y - 216, 0.1684 * y**2 + 11.85 * y - 97


def _references(
    at_100_cst: float, low_cst: float | None, high_cst: float | None
) -> tuple[float, float]:
    if low_cst is None and high_cst is None and at_100_cst >= FORMULAS_FROM_CST:
        return references(at_100_cst)
    if low_cst is None or high_cst is None:
        raise BadInput(
            f"Below {FORMULAS_FROM_CST:g} cSt at 100 °C the index needs L and H out of the table "
            "of ASTM D2270. Nothing was worked out."
        )
    limited(low_cst, "figure L", "cSt", lowest=LEAST_CST, highest=MOST_CST)
    limited(high_cst, "figure H", "cSt", lowest=LEAST_CST, highest=MOST_CST)
    if high_cst >= low_cst:
        raise BadInput(
            f"L is {low_cst:g} and H {high_cst:g} cSt, but L is always the larger one; perhaps "
            "both are swapped. Nothing was worked out."
        )
    return low_cst, high_cst
