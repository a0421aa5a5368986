from dataclasses import replace
from math import inf, nan

import pytest
from scipy.integrate import quad

from leaktrack.analysis.summing.seeping import Passage, capillary_pa, flow, gap, head_pa
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import GapShape

SLOT = Passage(GapShape.SLOT, width_mm=10, length_mm=5)
RING = Passage(GapShape.ANNULUS, width_mm=20, length_mm=20)


def test_the_worked_slot():
    """Computed from Q = w h^3 p / (12 mu L): 0.0300 mL/h = 0.720 mL/day."""
    found = flow(Passage(GapShape.SLOT, width_mm=10, length_mm=10), 0.010, 1000, 10.0)

    assert found.ml_per_day == pytest.approx(0.720, abs=0.0005)
    assert found.ml_per_day / 24 == pytest.approx(0.0300, abs=0.00005)
    assert found.ml_per_day / 86_400 * 1e-6 == pytest.approx(8.333e-12, rel=1e-4)


@pytest.mark.parametrize(
    ("gap_um", "mpa_s", "ml_per_day", "digit"),
    [
        (2, 8.64, 0.0267, 5e-5), (5, 8.64, 0.417, 5e-4), (10, 8.64, 3.33, 5e-3),
        (20, 8.64, 26.7, 0.05), (50, 8.64, 417, 0.5),
        (5, 136.8, 0.0263, 6e-5), (10, 136.8, 0.2105, 6e-5), (20, 136.8, 1.684, 6e-4),
    ],
)  # fmt: skip
def test_worked_slots_hot_and_cold(gap_um, mpa_s, ml_per_day, digit):
    """Computed: w 10 mm, L 5 mm, 2 kPa, 5W-30 at 100 C (0.00864 Pa s) and 20 C (0.1368 Pa s)."""
    assert flow(SLOT, gap_um / 1000, 2000, mpa_s).ml_per_day == pytest.approx(ml_per_day, abs=digit)


def test_the_worked_ring_gap():
    """Computed from Q = pi D c^3 p / (12 mu L): 4.189 mL/min, 10.47 where the shaft touches."""
    centred = flow(RING, 0.020, 1e6, 30.0).ml_per_day / 1440
    touching = flow(replace(RING, off_centre=1.0), 0.020, 1e6, 30.0).ml_per_day / 1440

    assert centred == pytest.approx(4.189, abs=0.0005)
    assert touching == pytest.approx(10.47, abs=0.005)
    assert touching / centred == pytest.approx(2.5, rel=1e-12)


def test_off_centre_agrees_with_the_slot_summed_around_the_shaft():
    """scipy.integrate.quad over slots of height c (1 + e cos a), an independent reference."""
    from math import cos, pi

    eccentric = replace(RING, off_centre=0.6)

    def around(angle):
        piece = Passage(GapShape.SLOT, width_mm=20 / 2, length_mm=20)
        return flow(piece, 0.02 * (1 + 0.6 * cos(angle)), 1e6, 30.0).ml_per_day

    summed, _ = quad(around, 0, 2 * pi)

    assert flow(eccentric, 0.02, 1e6, 30.0).ml_per_day == pytest.approx(summed, rel=1e-9)


@pytest.mark.parametrize("passage", [SLOT, RING, replace(RING, off_centre=0.5)])
@pytest.mark.parametrize("gap_mm", [0.0013, 0.02, 0.33])
def test_doubling_a_gap_is_exactly_eight_times_the_flow(passage, gap_mm):
    once, twice = (flow(passage, each, 1500, 12.5).ml_per_day for each in (gap_mm, 2 * gap_mm))

    assert twice == 8 * once


@pytest.mark.parametrize("passage", [SLOT, replace(RING, off_centre=0.3)])
@pytest.mark.parametrize("gap_mm", [0.0005, 0.01, 0.1, 1.0])
def test_the_gap_of_a_flow_is_the_one_it_came_from(passage, gap_mm):
    through = flow(passage, gap_mm, 700, 20.0)

    assert gap(passage, through.ml_per_day, 700, 20.0).gap_mm == pytest.approx(gap_mm, rel=1e-12)


def test_flow_goes_with_pressure_and_against_viscosity_and_length():
    plain = flow(SLOT, 0.02, 1000, 10).ml_per_day

    assert flow(SLOT, 0.02, 3000, 10).ml_per_day == pytest.approx(3 * plain)
    assert flow(SLOT, 0.02, 1000, 40).ml_per_day == pytest.approx(plain / 4)
    assert flow(replace(SLOT, length_mm=10), 0.02, 1000, 10).ml_per_day == pytest.approx(plain / 2)
    assert flow(SLOT, 0.02, 0, 10).ml_per_day == 0


def test_a_narrow_gap_may_only_wick():
    """Computed: 2 sigma / h is 12.4 kPa at 5 um, more than crankcase pressure."""
    assert capillary_pa(0.005) == pytest.approx(12_400, abs=50)
    assert flow(SLOT, 0.005, 2000, 8.64).may_only_wick
    assert not flow(SLOT, 0.050, 2000, 8.64).may_only_wick


def test_pressure_below_oil():
    """Computed: 100 mm of oil of 0.87 g/mL press with 853 Pa."""
    assert head_pa(100, 0.87) == pytest.approx(853, abs=0.5)
    # 1 mmH2O is 9.80665 Pa and 1 inH2O 249.089 Pa; water has 1 g/mL.
    assert head_pa(1, 1.0) == pytest.approx(9.80665)
    assert head_pa(25.4, 1.0) == pytest.approx(249.089, abs=0.0005)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((-0.01, 1000, 10), r"The gap is -0.01 mm, but must lie between 0.0001 mm and 2 mm"),
        ((0.0, 1000, 10), "The gap is 0 mm"),
        ((2.5, 1000, 10), "and 2 mm"),
        ((nan, 1000, 10), "The gap is not a number"),
        ((0.01, -1, 10), "The pressure is -1 Pa, but must lie between 0 Pa"),
        ((0.01, inf, 10), "The pressure is inf"),
        ((0.01, 3e6, 10), r"and 2e\+06 Pa"),
        ((0.01, 1000, 0), "The viscosity is 0 mPa s, but must lie between 0.2 mPa s"),
        ((0.01, 1000, nan), "The viscosity is not a number"),
    ],
)
def test_what_cannot_be_is_refused_with_the_limit(arguments, words):
    with pytest.raises(BadInput, match=words):
        flow(SLOT, *arguments)


@pytest.mark.parametrize("name", ["width_mm", "length_mm", "off_centre"])
@pytest.mark.parametrize("value", [-1.0, nan])
def test_a_passage_that_cannot_be_is_refused(name, value):
    with pytest.raises(BadInput, match="Nothing was worked out"):
        flow(replace(RING, **{name: value}), 0.01, 1000, 10)


def test_no_gap_is_found_without_flow_or_pressure():
    with pytest.raises(BadInput, match=r"The flow is 0 mL per day, but must be above 0"):
        gap(SLOT, 0.0, 1000, 10)
    with pytest.raises(BadInput, match=r"The pressure is 0 Pa, but must be above 0"):
        gap(SLOT, 1.0, 0, 10)
    with pytest.raises(BadInput, match="The gap that this needs"):
        gap(SLOT, 1e7, 1, 1e4)
