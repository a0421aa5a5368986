from math import nan

import pytest

from leaktrack.analysis.summing.indexing import references, viscosity_index
from leaktrack.model.errors import BadInput


def test_procedure_a():
    """ASTM D2270, its example: U 73.30, Y 8.86, L 119.94, H 69.48 give 92 (92.43)."""
    found = viscosity_index(73.30, 8.86, 119.94, 69.48)

    assert found == pytest.approx(92.43, abs=0.005)
    assert round(found) == 92


@pytest.mark.parametrize(
    ("u", "y", "h", "exact", "whole"),
    [(22.83, 5.05, 28.97, 156.37, 156), (53.47, 7.80, 57.31, 111.3, 111)],
)
def test_procedure_b(u, y, h, exact, whole):
    """ASTM D2270, its examples; H of the second is from memory. L plays no part in it."""
    found = viscosity_index(u, y, 2 * h, h)

    assert found == pytest.approx(exact, abs=0.05)
    assert round(found) == whole


def test_thick_oils_need_no_table():
    """Computed from the formulas of ASTM D2270: Y = 75 gives L 5582.81 and H 1739.0."""
    assert references(75.0) == pytest.approx((5582.81, 1739.0), abs=0.05)
    assert viscosity_index(1739.0, 75.0) == pytest.approx(100.0, abs=0.01)
    assert viscosity_index(5582.81, 75.0) == pytest.approx(0.0, abs=0.01)


def test_both_procedures_meet_at_100():
    assert viscosity_index(69.48, 8.86, 119.94, 69.48) == pytest.approx(100.0)
    assert viscosity_index(69.479, 8.86, 119.94, 69.48) == pytest.approx(100.0, abs=0.01)


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ((nan, 8.0), "viscosity at 40 °C is not a number"),
        ((40.0, -1.0), "viscosity at 100 °C is -1 cSt, but must lie between 2 cSt"),
        ((40.0, 8.0), "needs L and H"),
        ((8.0, 40.0), "perhaps both are swapped"),
        ((40.0, 8.0, 60.0, 90.0), "L is always the larger one"),
    ],
)
def test_what_cannot_be_is_refused(figures, words):
    with pytest.raises(BadInput, match=words):
        viscosity_index(*figures)
