from math import nan

import pytest

from leaktrack.analysis.summing.curing import through_h, time_here
from leaktrack.model.errors import BadInput
from leaktrack.model.heat import Range


def test_ten_degrees_more_halve_the_time():
    """Rule of thumb, from memory: twice as fast for each 10 C."""
    assert time_here(24.0, 33.0).likely == pytest.approx(12.0)
    assert time_here(24.0, 3.0).likely == pytest.approx(96.0)


def test_at_the_rule_s_own_air_the_rule_holds():
    assert time_here(24.0, 23.0, 50.0) == Range(24.0, 24.0, 24.0)


def test_dry_air_may_slow_it_down_and_damp_air_may_speed_it_up():
    dry, damp = time_here(24.0, 23.0, 25.0), time_here(24.0, 23.0, 100.0)

    assert (dry.least, dry.most) == (24.0, 48.0)
    assert (damp.least, damp.most) == (12.0, 24.0)
    assert dry.least < dry.likely < dry.most


@pytest.mark.parametrize("air_c", [-5.0, 10.0, 23.0, 35.0, 60.0])
@pytest.mark.parametrize("humidity", [None, 5.0, 50.0, 90.0])
def test_the_range_holds_the_likely_time(air_c, humidity):
    told = time_here(10.0, air_c, humidity)

    assert 0 < told.least <= told.likely <= told.most


def test_a_film_as_wide_as_twice_a_day_s_depth_takes_a_day():
    """Silicone cures 2 to 3 mm deep in 24 h at 23 C and 50 %, from memory."""
    told = through_h(Range.exactly(5.0), 23.0, 50.0)

    assert told.likely == pytest.approx(24.0)
    assert (told.least, told.most) == pytest.approx((24 * (2.5 / 3) ** 2, 24 * (2.5 / 2) ** 2))
    assert through_h(Range.exactly(10.0), None, None).likely == pytest.approx(96.0)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((-1.0, 20.0, 50.0), "time of the rule is -1, but must lie between 0"),
        ((nan, 20.0, 50.0), "time of the rule is not a number"),
        ((24.0, -20.0, 50.0), "air temperature is -20 °C, but must lie between -5 °C and 60"),
        ((24.0, nan, 50.0), "air temperature is not a number"),
        ((24.0, 20.0, 0.0), "humidity is 0 %, but must lie between 5 % and 100 %"),
        ((24.0, 20.0, 101.0), "humidity is 101 %"),
    ],
)
def test_what_cannot_be_is_refused_with_the_limit(arguments, words):
    with pytest.raises(BadInput, match=words):
        time_here(*arguments)
