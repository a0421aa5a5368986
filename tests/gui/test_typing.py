"""Numbers, times and units as people type them."""

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from leaktrack.gui.forms.numbers import number_text, parse_number, parse_numbers
from leaktrack.gui.forms.times import parse_time, time_text
from leaktrack.gui.forms.units import IMPERIAL, METRIC, unit_of
from leaktrack.model.errors import BadInput

A_DAY = date(2026, 3, 7)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("3.5", 3.5),
        ("3,5", 3.5),
        ("1.234,5", 1234.5),
        ("1,234.5", 1234.5),
        ("1,234,567", 1234567),
        ("12 500", 12500),
        ("12'500", 12500),
        ("-4", -4),
        ("\N{MINUS SIGN}4", -4),
        ("0,118", 0.118),
        (".5", 0.5),
    ],
)
def test_numbers_may_have_a_comma_or_a_point(text: str, number: float):
    assert parse_number(text) == number


@pytest.mark.parametrize("text", ["three", "3,4,5", "1e3", "3 mm", "--1", "nan", "inf"])
def test_what_is_no_number_is_refused(text: str):
    with pytest.raises(BadInput, match="is no number"):
        parse_number(text)


@pytest.mark.parametrize(("text", "sign"), [("1,234", "."), ("1.234", ",")])
def test_a_number_that_can_be_read_in_two_ways_is_refused(text: str, sign: str):
    with pytest.raises(BadInput, match="two ways"):
        parse_number(text, sign)


@pytest.mark.parametrize(("text", "sign"), [("1.234", "."), ("1,234", ",")])
def test_the_systems_own_decimal_sign_is_never_in_doubt(text: str, sign: str):
    assert parse_number(text, sign) == 1.234


@pytest.mark.parametrize(
    ("name", "metric", "imperial", "symbol"),
    [
        # NIST Special Publication 811, appendix B.8 and the definitions of the units.
        ("oil_c", 100.0, 212.0, "°F"),
        ("bead_mm", 25.4, 1.0, "in"),
        ("distance_km", 1.609344, 1.0, "mi"),
        ("oil_added_ml", 946.352946, 1.0, "US qt"),
        ("torque_nm", 1.3558179483, 1.0, "lbf·ft"),
        ("crankcase_mmh2o", 254.0, 10.0, "inH₂O"),
    ],
)
def test_units_are_those_of_the_tables(name: str, metric: float, imperial: float, symbol: str):
    unit = unit_of(name, IMPERIAL)

    assert unit.symbol == symbol
    assert unit.shown(metric) == pytest.approx(imperial, rel=1e-9)


@pytest.mark.parametrize("units", [METRIC, IMPERIAL])
@pytest.mark.parametrize(
    "name",
    ["oil_c", "bead_mm", "distance_km", "oil_before_ml", "torque_nm", "crankcase_mmh2o", "minutes"],
)
@pytest.mark.parametrize("typed", ["0", "3.5", "0.1", "97.3", "1250", "-12"])
def test_a_typed_number_comes_back_as_it_was_typed(name: str, units: str, typed: str):
    unit = unit_of(name, units)

    stored = unit.stored(parse_number(typed))

    assert number_text(unit.shown(stored), max(unit.decimals, 1)) == typed


def test_bolt_numbers_may_run_either_way():
    assert parse_numbers("1-3, 9 - 7; 5") == (1, 2, 3, 9, 8, 7, 5)


def test_a_bolt_that_is_no_number_is_refused():
    with pytest.raises(BadInput, match="no bolt"):
        parse_numbers("1-3, x")


def test_a_time_alone_belongs_to_the_day_of_the_record():
    assert parse_time("16:40", A_DAY) == datetime(2026, 3, 7, 16, 40).astimezone()


def test_a_time_may_name_the_zone_of_another_clock():
    typed = parse_time("2026-03-07 16:40 +02:00", A_DAY)

    assert typed == datetime(2026, 3, 7, 16, 40, tzinfo=timezone(timedelta(hours=2)))


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("2026-03-07", "time of day is missing"),
        ("2026-02-30 10:00", "not on any clock"),
        ("25:00", "not on any clock"),
        ("yesterday", "is no time"),
    ],
)
def test_what_is_no_time_is_refused(text: str, complaint: str):
    with pytest.raises(BadInput, match=complaint):
        parse_time(text, A_DAY)


def test_a_time_comes_back_as_it_was_shown():
    moment = datetime(2026, 3, 7, 16, 40, tzinfo=UTC)

    assert parse_time(time_text(moment), A_DAY) == moment
