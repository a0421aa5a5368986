from dataclasses import replace

import pytest

from leaktrack.model.inspection import Inspection, Reading
from leaktrack.model.pressure import PressureState
from leaktrack.model.record import added, replaced
from leaktrack.model.severity_words import pressure_sentence
from leaktrack.model.warning import WarningKind
from leaktrack.workflows.judge_pressure import pressure_of
from leaktrack.workflows.warn_of_look import warnings_of
from tests.leaking_engine import tell


@pytest.fixture
def look(project):
    return tell(project).inspections[2]


def _measured(project, look, mmh2o):
    before = project.get(Inspection, look.id)
    project.apply(replaced(before, replace(before, crankcase_mmh2o=mmh2o)))


def test_a_pressure_that_is_too_high_is_warned_of(project, look):
    _measured(project, look, 300.0)

    assert WarningKind.PRESSURE_HIGH in [one.kind for one in warnings_of(project, look.id)]


def test_without_a_measurement_nothing_is_said_of_pressure(project, look):
    assert pressure_of(project, look.id) is None
    assert warnings_of(project, look.id) == ()


# NIST Special Publication 811: 1 inH2O is 249.0889 Pa, 1 psi 6894.757 Pa, 1 mmH2O 9.80665 Pa.
@pytest.mark.parametrize(
    ("value", "unit", "mmh2o"),
    [
        (3.0, "kPa", 305.9),
        (30.0, "mbar", 305.9),
        (12.0, "inH2O", 304.8),
        (300.0, "mmH₂O", 300.0),
        (0.5, "psi", 351.5),
    ],
)
def test_a_reading_of_the_run_counts_whatever_its_unit(project, look, value, unit, mmh2o):
    reading = Reading(test_run_id=look.test_run_id, name="Crankcase", value=value, unit=unit)
    project.apply(added(reading))

    judged = pressure_of(project, look.id)

    assert judged.mmh2o == pytest.approx(mmh2o, abs=0.1)
    assert judged.state is PressureState.HIGH


@pytest.mark.parametrize(("value", "unit"), [(3.0, "bar of soap"), (1e9, "kPa")])
def test_a_reading_that_is_no_pressure_says_nothing(project, look, value, unit):
    reading = Reading(test_run_id=look.test_run_id, name="crankcase", value=value, unit=unit)
    project.apply(added(reading))

    assert pressure_of(project, look.id) is None


def test_the_sentence_tells_doubt_limit_and_source_in_either_unit(project, look):
    _measured(project, look, 150.0)
    judged = pressure_of(project, look.id)

    assert pressure_sentence(judged, "metric") == (
        "Crankcase pressure 150 ± 5 mmH₂O: more than a new engine may have, in order for a used "
        "one (limit 102 mmH₂O, car maker M: hot, at the dipstick tube, 4000 rpm; two copies of one "
        "text)."
    )
    assert "5.9 ± 0.2 inH₂O" in pressure_sentence(judged, "imperial")
