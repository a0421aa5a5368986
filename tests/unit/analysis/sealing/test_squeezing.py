"""Rings in their glands. Worked examples: computed from the formulas that seal makers publish."""

from dataclasses import replace
from math import inf, nan

import numpy as np
import pytest

from leaktrack.analysis.sealing.sizing import (
    MM_PER_INCH,
    inner_tolerance,
    ring_size,
    section_tolerance,
)
from leaktrack.analysis.sealing.squeezing import ring_figures, stretched_section
from leaktrack.model.errors import BadInput
from leaktrack.model.identity import new_id
from leaktrack.model.ring import RingFit, RingWorry

# Size -214 of AS568 (read in published tables) in a gland of catalogue form.
RING = RingFit(
    sealing_job_id=new_id(),
    inner_mm=24.99,
    section_mm=3.53,
    seat_mm=25.40,
    depth_mm=2.82,
    width_mm=4.75,
)
WITH_TOLERANCES = replace(
    RING,
    inner_tolerance_mm=0.25,
    section_tolerance_mm=0.10,
    seat_tolerance_mm=0.05,
    depth_tolerance_mm=0.05,
    width_tolerance_mm=0.1,
)


def worries(fit):
    return {one.worry: one.is_sure for one in ring_figures(fit).findings}


@pytest.mark.parametrize(
    ("inner", "section", "seat", "depth", "width", "stretch", "stretched", "squeeze", "fill"),
    [
        (24.99, 3.53, 25.40, 2.82, 4.75, 1.64, 3.505, 19.54, 72.03),
        (12.37, 2.62, 12.62, 2.11, 3.58, 2.02, 2.598, 18.80, 70.20),
    ],
)
def test_the_worked_examples_hold_to_their_last_digit(
    inner, section, seat, depth, width, stretch, stretched, squeeze, fill
):
    fit = replace(
        RING, inner_mm=inner, section_mm=section, seat_mm=seat, depth_mm=depth, width_mm=width
    )
    found = ring_figures(fit)

    assert found.stretch.value == pytest.approx(stretch, abs=0.005)
    assert found.section.value == pytest.approx(stretched, abs=0.0005)
    assert found.squeeze.value == pytest.approx(squeeze, abs=0.005)
    assert found.fill.value == pytest.approx(fill, abs=0.005)


def test_a_cord_of_two_in_a_gland_of_one_and_a_half_is_squeezed_by_a_quarter():
    """The example of a seal maker's guide."""
    fit = RingFit(sealing_job_id=new_id(), section_mm=2.0, depth_mm=1.5)

    assert ring_figures(fit).squeeze.value == 25.0


def test_squeeze_and_what_remains_make_the_cord():
    drawn = np.random.default_rng(4)
    for section, share in zip(drawn.uniform(1, 7, 50), drawn.uniform(0.6, 1.2, 50), strict=True):
        fit = replace(RING, section_mm=section, seat_mm=None, depth_mm=section * share)
        found = ring_figures(fit)

        assert found.squeeze_mm.value + fit.depth_mm == pytest.approx(found.section.value)
        assert found.section.value * (1 - found.squeeze.value / 100) == pytest.approx(fit.depth_mm)


def test_a_stretched_cord_keeps_its_volume():
    for seat in (24.0, 25.4, 40.0):
        thin = stretched_section(3.53, 24.99, seat)
        # pi D * pi d^2 / 4: the middle line's length follows the cord it was drawn with.
        assert thin**2 * (seat + 3.53) == pytest.approx(3.53**2 * (24.99 + 3.53))


def test_bounds_hold_every_ring_within_tolerance_and_are_reached():
    found = ring_figures(WITH_TOLERANCES)
    drawn = np.random.default_rng(5)
    for _ in range(40):
        sizes = {
            f"{name}_mm": getattr(RING, f"{name}_mm")
            + drawn.choice([-1, 1, drawn.uniform(-1, 1)])
            * getattr(WITH_TOLERANCES, f"{name}_tolerance_mm")
            for name in ("inner", "section", "seat", "depth", "width")
        }
        one = ring_figures(replace(RING, **sizes))
        for name in ("squeeze", "squeeze_mm", "stretch", "fill", "section"):
            bounds = getattr(found, name)
            assert bounds.low - 1e-9 <= getattr(one, name).value <= bounds.high + 1e-9
    loosest = replace(RING, inner_mm=24.74, section_mm=3.43, seat_mm=25.45, depth_mm=2.87)
    assert found.squeeze.low == pytest.approx(ring_figures(loosest).squeeze.value)


def test_what_is_not_known_is_not_worked_out():
    found = ring_figures(replace(RING, width_mm=None, seat_mm=None))

    assert found.fill is None
    assert found.stretch is None
    assert found.section.value == 3.53
    assert found.missing_tolerances == ("inner diameter", "cord", "gland depth")


@pytest.mark.parametrize(
    ("changes", "worry"),
    [
        ({"depth_mm": 3.6}, RingWorry.NO_SQUEEZE),
        ({"depth_mm": 3.3}, RingWorry.LITTLE_SQUEEZE),
        ({"depth_mm": 2.2, "width_mm": 7.0}, RingWorry.MUCH_SQUEEZE),
        ({"depth_mm": 2.82, "is_dynamic": True}, RingWorry.MUCH_SQUEEZE),
        ({"seat_mm": 24.5}, RingWorry.LOOSE),
        ({"seat_mm": 26.6}, RingWorry.STRETCHED),
        ({"seat_mm": 28.0}, RingWorry.OVERSTRETCHED),
        ({"width_mm": 3.9}, RingWorry.FULL),
        ({"width_mm": 3.6}, RingWorry.OVERFULL),
    ],
)
def test_a_worry_is_told_for_sure_where_the_sizes_themselves_give_it(changes, worry):
    assert worries(replace(RING, **changes)).get(worry) is True


def test_a_worry_that_only_the_tolerances_give_is_told_as_such():
    assert worries(RING) == {}
    wide = replace(RING, depth_tolerance_mm=0.4)

    assert worries(wide)[RingWorry.LITTLE_SQUEEZE] is False


@pytest.mark.parametrize("value", [-1.0, 0.0, nan, inf, 1e6])
@pytest.mark.parametrize("name", ["inner_mm", "section_mm", "seat_mm", "depth_mm", "width_mm"])
def test_a_size_out_of_reason_is_refused_with_its_limits(name, value):
    with pytest.raises(BadInput, match=r"cannot be .* It must lie between [\d.]+ and \d+ mm"):
        ring_figures(replace(RING, **{name: value}))


def test_a_tolerance_as_large_as_its_size_is_refused():
    with pytest.raises(BadInput, match="as large as the size itself"):
        ring_figures(replace(RING, depth_tolerance_mm=2.82))


# Read in a public code table of AS568; inches from memory of the standard.
@pytest.mark.parametrize(
    ("inner_in", "cord_in", "inner_mm", "cord_mm"),
    [(0.239, 0.070, 6.07, 1.78), (0.487, 0.103, 12.37, 2.62), (0.984, 0.139, 24.99, 3.53)],
)
def test_sizes_in_inches_come_out_as_catalogues_print_them(inner_in, cord_in, inner_mm, cord_mm):
    size = ring_size("-000", inner_in, cord_in)

    assert (size.inner_mm, size.section_mm) == (inner_mm, cord_mm)
    assert size.inner_mm / MM_PER_INCH == pytest.approx(inner_in, abs=0.0005)


@pytest.mark.parametrize(
    ("cord", "off"), [(1.78, 0.08), (2.62, 0.08), (3.53, 0.10), (5.33, 0.13), (6.99, 0.15)]
)
def test_a_standard_cord_has_the_standard_s_tolerance(cord, off):
    """From memory of AS568."""
    assert section_tolerance(cord) == off


def test_larger_rings_may_be_off_by_more():
    assert inner_tolerance(10) < inner_tolerance(25) < inner_tolerance(100)
