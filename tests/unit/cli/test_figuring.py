from dataclasses import replace

import pytest

from leaktrack import bootstrap, places
from leaktrack.cli.main import main
from leaktrack.model.inspection import Inspection, TestRun
from leaktrack.model.leak import LeakMark
from leaktrack.model.record import replaced
from leaktrack.settings import Settings, write_settings
from leaktrack.workflows.mark_leaks import change_mark


@pytest.fixture
def measured(bench):
    """The bench with counted drops, a pressure and readings of the oil at the third look."""
    with bootstrap.open_project(bench) as project:
        look = sorted(project.all(Inspection), key=lambda one: one.looked_at)[2]
        run = project.get(TestRun, look.test_run_id)
        mark = next(one for one in project.all(LeakMark) if one.has_hanging_drop)
        project.apply(replaced(look, replace(look, crankcase_mmh2o=290.0)))
        oil = replace(run, oil_before_ml=5000.0, oil_after_ml=4300.0)
        project.apply(replaced(run, oil))
        project.apply(change_mark(project, mark.id, drops_per_minute=2.0))
    return bench


def test_the_figures_of_a_look_are_told_with_what_they_assume(measured, capsys):
    assert main(["figures", str(measured), "--inspection", "3"]) == 0

    told = " ".join(capsys.readouterr().out.split())
    assert "Crankcase pressure 290 ± 5 mmH₂O: too high" in told
    assert "Proposed: 4 drip, as drops fall (TM 10-6640-233-10, page 2-17)." in told
    assert "1.8 to 6.1 mL an hour" in told
    assert "It assumes drops of 15 to 50 µL" in told
    assert "Visible leaks explain at most 1 % of the loss." in told
    assert "as the engine's dipstick is not calibrated" in told


def test_scripts_get_the_same_in_metric_units(measured, json_of):
    write_settings(places.settings_file(), Settings(units="imperial"))

    told = json_of("figures", str(measured), "--inspection", "3")

    assert (told["format"], told["pressure"]["state"]) == ("leaktrack-figures", "high")
    leak = told["leaks"][0]
    assert leak["proposed"] == {"digit": 4, "word": "drip"}
    assert leak["fired"]["rule"] == "drops_fall"
    assert leak["drops"]["ml_per_hour"]["low"] == pytest.approx(1.76, abs=0.01)
    assert leak["drops"]["hours_to_minimum"] is None
    assert told["oil_account"]["loss_ml"] == pytest.approx(700.0)
    assert told["oil_account"]["share"]["high"] < 0.02


def test_people_get_the_units_and_limits_of_the_settings(measured, capsys):
    write_settings(places.settings_file(), Settings(units="imperial"))

    main(["figures", str(measured), "--inspection", "3"])

    told = capsys.readouterr().out
    assert "11.4 ± 0.2 inH₂O" in told
    assert "US fl oz an hour" in told


def test_an_engine_without_inspections_says_so(empty_bench, capsys):
    assert main(["figures", str(empty_bench)]) == 1
    assert "no engine yet" in capsys.readouterr().err


def test_the_newest_look_is_taken_by_itself(bench, json_of):
    told = json_of("figures", str(bench))

    assert told["inspection"]["looked_at"].startswith("2026-04-25")
    assert told["oil_account"]["state"] == "no_readings"
