import math

import pytest

from leaktrack.analysis import cluing
from leaktrack.analysis.breathing import (
    LOWEST_MMH2O,
    LOWEST_NEW_MMH2O,
    NEW_MMH2O,
    pascals,
    pressure_judgement,
)
from leaktrack.model.errors import BadInput
from leaktrack.model.pressure import PressureState


# Car maker M, two copies read: hot, 4000 rpm; new engine +1.0 kPa (102 mmH2O) and -3.0 kPa (306),
# used +2.5 kPa (255) and -3.5 kPa (357). Its own conversions are rounded to a mmH2O.
@pytest.mark.parametrize(
    ("mmh2o", "kpa"),
    [
        (NEW_MMH2O, 1.0),
        (cluing.HIGH_MMH2O, 2.5),
        (LOWEST_NEW_MMH2O, -3.0),
        (LOWEST_MMH2O, -3.5),
    ],
)
def test_the_limits_are_those_of_the_maker_in_kpa(mmh2o, kpa):
    assert pascals(mmh2o) / 1000 == pytest.approx(kpa, abs=0.0051)


# Published: 10 inH2O are 255 mmH2O (a used engine), 4 are 102 (a new one).
def test_the_limits_are_those_of_the_maker_in_inches():
    used, new = cluing.HIGH_MMH2O / 25.4, NEW_MMH2O / 25.4

    assert (used, new) == pytest.approx((10, 4), abs=0.05)


# Computed: 20.6 kPa, the most air that may be put into a crankcase, are 2101 mmH2O.
def test_pressures_are_converted_as_in_the_worked_example():
    assert pascals(2101) == pytest.approx(20_600, abs=5)


@pytest.mark.parametrize(
    ("mmh2o", "state"),
    [
        (-400.0, PressureState.LOW),
        (-352.0, PressureState.AT_LIMIT),
        (-200.0, PressureState.IN_ORDER),
        (0.0, PressureState.IN_ORDER),
        (101.0, PressureState.IN_ORDER),
        (150.0, PressureState.ABOVE_NEW),
        (250.0, PressureState.AT_LIMIT),
        (262.0, PressureState.AT_LIMIT),
        (300.0, PressureState.HIGH),
    ],
)
def test_a_pressure_is_judged_by_the_limits_unless_it_is_too_near(mmh2o, state):
    assert pressure_judgement(mmh2o).state is state


@pytest.mark.parametrize("mmh2o", range(-500, 500, 7))
def test_what_is_called_too_high_is_too_high_for_the_trace_too(mmh2o):
    judged = pressure_judgement(mmh2o)

    if judged.state is not PressureState.AT_LIMIT:
        assert (judged.state is PressureState.HIGH) is cluing.is_high(mmh2o)


@pytest.mark.parametrize("mmh2o", [math.nan, math.inf, 10_001.0])
def test_what_is_no_pressure_is_refused_with_the_limits(mmh2o):
    for call in (pressure_judgement, pascals):
        with pytest.raises(BadInput, match="must lie between -10000 mmH2O and 10000 mmH2O"):
            call(mmh2o)
