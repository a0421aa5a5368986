from math import isclose, nan

import numpy as np
import pytest

from leaktrack.analysis.summing import thinning
from leaktrack.analysis.summing.thinning import curve, density, low_v, low_z, oil_of, oil_through
from leaktrack.model.errors import BadInput

USUAL = {
    "0W-20": (45, 8.2), "5W-30": (62, 10.6), "10W-40": (95, 14.3), "20W-50": (165, 18.5),
    "0W-30": (55, 10.0), "0W-40": (75, 13.5), "5W-40": (85, 14.0), "5W-50": (110, 18.5),
    "10W-30": (68, 10.5), "15W-40": (108, 14.5), "10W-60": (160, 23.0), "SAE 30": (95, 11.0),
    "SAE 40": (140, 14.5),
}  # fmt: skip
"""Viscosity of common oils at 40 and 100 C in cSt, from memory."""


def test_the_published_example_comes_out(monkeypatch):
    """ASTM D341, published example: 32 cSt at 40 C and 5.4 at 100 C, with K = C + 273.

    A 9.5259, B 3.7449 and 8.5 cSt at 80 C are given.
    """
    monkeypatch.setattr(thinning, "KELVIN", 273.0)
    found = curve(40, 32.0, 100, 5.4)

    assert found.a == pytest.approx(9.5259, abs=0.0005)
    assert found.b == pytest.approx(3.7449, abs=0.0005)
    assert found.at(80) == pytest.approx(8.5, abs=0.05)


def test_the_same_with_the_kelvin_scale_as_it_is():
    """Computed from the formula of ASTM D341: A 9.5308, B 3.7466, 8.533 and 86.28 cSt."""
    found = curve(40, 32.0, 100, 5.4)

    assert (found.a, found.b) == pytest.approx((9.5308, 3.7466), abs=0.00005)
    assert found.at(80) == pytest.approx(8.533, abs=0.0005)
    assert found.at(20) == pytest.approx(86.28, abs=0.005)


@pytest.mark.parametrize(
    ("grade", "told"),
    [
        ("0W-20", (367, 111, 45, 22.4, 12.8, 8.2, 5.7)),
        ("5W-30", (532, 157, 62, 30.1, 16.9, 10.6, 7.2)),
        ("10W-40", (942, 257, 95, 43.7, 23.6, 14.3, 9.5)),
        ("20W-50", (2520, 533, 165, 66.7, 32.7, 18.5, 11.6)),
    ],
)
def test_curves_of_typical_oils(grade, told):
    """Computed from pairs at 40 and 100 C that are from memory; rounded to what is printed."""
    found = curve(40, USUAL[grade][0], 100, USUAL[grade][1])

    for oil_c, cst in zip(range(0, 121, 20), told, strict=True):
        rounding = 0.06 if cst < 50 else 0.6
        assert found.at(oil_c) == pytest.approx(cst, abs=rounding)


def test_the_curve_is_a_straight_line_in_twice_the_logarithm():
    """numpy.polyfit, an independent reference, through three points of the curve."""
    found = curve(40, 62.0, 100, 10.6)
    oil_c = np.array([0.0, 60.0, 120.0])
    cst = np.array([found.at(each) for each in oil_c])

    slope, level = np.polyfit(np.log10(oil_c + 273.15), np.log10(np.log10(cst + 0.7)), 1)

    assert (-slope, level) == pytest.approx((found.b, found.a), rel=1e-9)


def test_the_form_for_thin_liquids_is_undone_by_its_inverse():
    """ASTM D341: v = 1 gives Z = 1.72193 and back 0.99995; v = 2 gives 2.70075, back 2.00017."""
    assert low_z(1.0) == pytest.approx(1.72193, abs=0.000005)
    assert low_v(low_z(1.0)) == pytest.approx(0.99995, abs=0.000005)
    assert low_z(2.0) == pytest.approx(2.70075, abs=0.000005)
    assert low_v(low_z(2.0)) == pytest.approx(2.00017, abs=0.000005)
    assert low_v(low_z(60.0)) == pytest.approx(60.0, rel=1e-6)


@pytest.mark.parametrize(("grade", "pair"), USUAL.items())
def test_a_grade_s_range_holds_the_usual_oils_of_that_grade(grade, pair):
    usual, oil = curve(40, pair[0], 100, pair[1]), oil_of(grade)

    for oil_c in (-20, 0, 20, 40, 80, 120):
        told = oil.cst(oil_c)
        assert told.least <= usual.at(oil_c) <= told.most
    assert oil.cst(40).likely == pytest.approx(usual.at(40), rel=0.12)
    faster = oil.faster(20, 100)
    assert faster.least <= usual.at(20) / usual.at(100) <= faster.most


def test_at_100_degrees_a_grade_is_what_the_standard_says():
    """SAE J300, January 2015: grade 30 has 9.3 to below 12.5 cSt, grade 40 12.5 to below 16.3."""
    assert oil_of("5W-30").cst(100).least == pytest.approx(9.3)
    assert oil_of("5W-30").cst(100).most == pytest.approx(12.5)
    assert oil_of("SAE 40").cst(100).least == pytest.approx(12.5)
    assert oil_of("20W-16").cst(100).least == pytest.approx(6.1)  # above the 5.6 of 20W


def test_5w_30_leaks_fifteen_times_as_fast_hot_as_cold():
    """14.8 times from 20 to 100 C, computed from 62 cSt at 40 C and 10.6 at 100 C."""
    oil = oil_through(40, 62.0, 100, 10.6)

    assert oil.faster(20, 100).least == pytest.approx(14.8, abs=0.05)
    told = oil_of("5W-30").faster(20, 100)
    assert told.least < 14.8 < told.most


def test_there_and_back_is_one():
    oil = oil_of("10W-40")
    there, back = oil.faster(30, 95), oil.faster(95, 30)

    assert there.likely * back.likely == pytest.approx(1.0)
    assert there.least * back.most == pytest.approx(1.0)
    assert oil.faster(60, 60).most == 1.0


@pytest.mark.parametrize("grade", ["5w30", " 5W-30 ", "sae 5W-30", "5 W 30"])
def test_a_grade_may_be_written_in_many_ways(grade):
    assert oil_of(grade).name == "5W-30"


@pytest.mark.parametrize("grade", ["", "W", "7W-30", "5W-35", "ATF", "5W-30 or so", "SAE"])
def test_what_is_no_grade_is_refused_with_how_to_write_it(grade):
    with pytest.raises(BadInput, match=r"Write it like 5W-30 or SAE 40"):
        oil_of(grade)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ((40, -1.0, 100, 5.4), "The viscosity is -1 cSt, but must lie between 2 cSt"),
        ((40, nan, 100, 5.4), "The viscosity is not a number"),
        ((40, 1.5, 100, 5.4), "must lie between 2 cSt and"),
        ((400, 32.0, 100, 5.4), "The oil temperature is 400 °C, but must lie between -45 °C"),
        ((nan, 32.0, 100, 5.4), "The oil temperature is not a number"),
        ((40, 5.4, 100, 32.0), "Oil grows thinner as it warms"),
        ((40, 32.0, 40.5, 5.4), "must be 1 °C apart"),
    ],
)
def test_what_no_oil_can_be_is_refused(points, words):
    with pytest.raises(BadInput, match=words):
        curve(*points)


def test_a_temperature_beyond_the_limits_is_refused():
    with pytest.raises(BadInput, match=r"201 °C, but must lie between -45 °C and 200 °C"):
        oil_of("5W-30").cst(201)
    with pytest.raises(BadInput, match="not a number"):
        density(nan)


def test_density_is_that_of_mineral_oil():
    """0.855 at 20 C and 0.815 at 100 C were taken for the worked gap flows, from memory."""
    assert density(20) == pytest.approx(0.855, abs=0.02)
    assert density(100) == pytest.approx(0.815, abs=0.01)
    assert isclose(density(15) - density(115), 0.065)
