"""Compression set. Methods A and B of ASTM D395, B the same as ISO 815; examples computed."""

from math import inf, nan

import pytest

from leaktrack.analysis.sealing.recovering import compression_set
from leaktrack.model.errors import BadInput


def test_a_button_squeezed_by_a_quarter():
    found = compression_set(12.5, 11.6, 9.375)

    assert found.of_thickness.value == pytest.approx(7.2, abs=0.05)
    assert found.of_squeeze.value == pytest.approx(28.8, abs=0.05)


def test_a_ring_in_its_gland():
    assert compression_set(3.53, 3.31, 2.65).of_squeeze.value == pytest.approx(25.0, abs=0.05)


def test_what_springs_back_wholly_has_no_set_and_what_stays_has_all():
    assert compression_set(3.5, 3.5, 2.6).of_squeeze.value == 0
    assert compression_set(3.5, 2.6, 2.6).of_squeeze.value == pytest.approx(100)


def test_a_swollen_seal_has_a_negative_set():
    assert compression_set(3.5, 3.7, 2.6).of_squeeze.value < 0


def test_without_the_gland_s_depth_only_method_a_can_be_told():
    assert compression_set(3.5, 3.3).of_squeeze is None


def test_the_bounds_are_those_of_a_caliper_that_is_off():
    found = compression_set(3.53, 3.31, 2.65, caliper_mm=0.02)
    worst = compression_set(3.55, 3.29, 2.67, caliper_mm=0.0)

    assert found.of_squeeze.high == pytest.approx(worst.of_squeeze.value)
    assert compression_set(3.53, 3.31, 2.65, caliper_mm=0.0).of_squeeze.is_exact


@pytest.mark.parametrize("value", [-3.0, 0.0, nan, inf, 500.0])
@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_thickness_out_of_reason_is_refused_with_its_limits(place, value):
    sizes = [3.53, 3.31, 2.65]
    sizes[place] = value

    with pytest.raises(BadInput, match=r"must lie between 0\.2 and 100 mm"):
        compression_set(*sizes)


def test_a_seal_that_was_not_squeezed_is_refused():
    with pytest.raises(BadInput, match="no squeeze that a set could be told of"):
        compression_set(3.5, 3.4, 3.5)
