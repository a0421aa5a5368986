"""Metric inside, the user's units outside."""

import threading

import pytest

from leaktrack.model.identity import new_id
from leaktrack.model.sealing_job import Deviation, DeviationKind
from leaktrack.model.units import (
    IMPERIAL,
    METRIC,
    digits_of,
    figure,
    in_units,
    rough_span,
    told_in,
    unit_of,
    units_in_use,
    with_sigma,
)
from leaktrack.model.words import deviation_sentence

FIELDS = ("oil_c", "distance_km", "bead_mm", "gap_mm", "area_mm2", "oil_before_ml", "torque_nm",
          "crankcase_mmh2o", "open_time_min", "humidity_percent")  # fmt: skip


@pytest.mark.parametrize("units", [METRIC, IMPERIAL])
@pytest.mark.parametrize("name", FIELDS)
@pytest.mark.parametrize("value", [0.0, 0.037, 1.0, 58.0, 12_345.6])
def test_what_is_shown_is_stored_as_it_was(name, units, value):
    unit = unit_of(name, units)

    assert unit.stored(unit.shown(value)) == pytest.approx(value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "symbol", "shown", "unit"),
    [
        (25.4, "mm", 1.0, "in"),
        (645.16, "mm²", 1.0, "in²"),
        (100.0, "°C", 212.0, "°F"),
        (1.609344, "km", 1.0, "mi"),
        (946.352946, "mL", 1.0, "US qt"),
        (1.3558179483314004, "N m", 1.0, "lbf·ft"),
        (6.894757293168, "kPa", 1.0, "psi"),
        (29.5735295625, "mL of it", 1.0, "US fl oz"),
        (25.4, "mmH2O", 1.0, "inH2O"),
        (7.0, "min", 7.0, "min"),
        (12.0, "px", 12.0, "px"),
    ],
)
def test_factors(value, symbol, shown, unit):
    """NIST Special Publication 811, appendix B.8; fluid ounce: 231 cubic inches / 128."""
    with told_in(IMPERIAL):
        found, name = in_units(value, symbol)

    assert found == pytest.approx(shown, rel=1e-9)
    assert name == unit


def test_a_spread_of_temperature_has_no_zero_point():
    with told_in(IMPERIAL):
        assert in_units(10.0, "°C", is_difference=True) == (18.0, "°F")
        assert with_sigma(20.0, 1.0, "°C") == "68 ± 1.8 °F"


def test_units_are_metric_again_after_a_report_and_in_other_threads():
    seen = []
    with told_in(IMPERIAL):
        worker = threading.Thread(target=lambda: seen.append(units_in_use()))
        worker.start()
        worker.join()
        assert units_in_use() == IMPERIAL

    assert (seen, units_in_use()) == ([METRIC], METRIC)


def test_a_rule_s_limits_are_told_in_the_units_in_use():
    cold = Deviation(DeviationKind.TOO_COLD, new_id(), "temperature_c", 4.0, 5.0, "degC")
    thin = Deviation(DeviationKind.BEAD_TOO_THIN, new_id(), "bead_mm", 1.4, 2.0, "mm")

    assert deviation_sentence(cold) == "too cold: 4 °C, the rule says 5 °C"
    with told_in(IMPERIAL):
        assert deviation_sentence(cold) == "too cold: 39.2 °F, the rule says 41 °F"
        assert deviation_sentence(thin) == "bead too thin: 0.0551 in, the rule says 0.0787 in"


def test_figures_have_the_digits_that_count():
    assert (digits_of(0.00012345), digits_of(99.96), digits_of(-38.24)) == (
        "0.000123",
        "100",
        "-38.2",
    )
    assert figure(1_234_567.0, "mm²") == "1,234,567 mm²"
    assert rough_span(2.0, 3.5, "mm", 1) == "2.0 to 3.5 mm"
