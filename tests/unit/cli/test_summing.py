"""Sums on the command line, without a project."""

import pytest

from leaktrack.cli.main import main
from leaktrack.cli.sum_arguments import SUMS
from leaktrack.places import settings_file


def imperial():
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text('{"units": "imperial"}')


def test_hot_oil_leaks_faster(capsys):
    """5W-30 of 62 cSt at 40 C and 10.6 at 100 C: 14.8 times from 20 to 100 C, computed."""
    arguments = ["--point", "40", "62", "--point", "100", "10.6", "--at-c", "20", "100"]
    assert main(["sums", "viscosity", *arguments]) == 0

    shown = " ".join(capsys.readouterr().out.split())
    assert "157" in shown
    assert "15 times" in shown
    assert "ASTM D341" in shown


def test_viscosity_as_json(json_of):
    told = json_of("sums", "viscosity", "--oil", "5W-30", "--at-c", "100")

    assert told["sum"] == "viscosity"
    assert told["temperatures"][0]["cst"]["least"] == pytest.approx(9.3)  # SAE J300, grade 30
    assert told["temperatures"][0]["times_as_fast"] is None


def test_a_gap_and_back(json_of):
    """Computed: w 10 mm, L 5 mm, 2 kPa, 8.64 mPa s and 10 um let 3.33 mL a day through."""
    slot = ["--width-mm", "10", "--length-mm", "5", "--pressure-kpa", "2", "--mpa-s", "8.64"]
    there = json_of("sums", "gap", *slot, "--gap-mm", "0.01")
    flow = there["likely"]["ml_per_day"]
    back = json_of("sums", "gap", *slot, "--ml-per-day", str(flow))

    assert flow == pytest.approx(3.33, abs=0.005)
    assert back["likely"]["gap_mm"] == pytest.approx(0.01)
    assert there["may_only_wick"]


def test_the_capillary_caveat_is_said(capsys):
    slot = ["--width-mm", "10", "--length-mm", "5", "--head-mm", "100", "--oil", "5W-30"]
    assert main(["sums", "gap", *slot, "--at-c", "20", "--gap-mm", "0.005"]) == 0

    shown = " ".join(capsys.readouterr().out.split())
    assert "12.4 kPa in so narrow a gap" in shown
    assert "an upper bound" in shown


def test_a_bead_in_both_units(capsys):
    """Computed: a round 2 mm bead spreads 31.42 mm wide in 0.1 mm."""
    arguments = ["sums", "bead", "--bead-mm", "2", "--gap-mm", "0.1", "--tolerance-mm", "0.5"]
    assert main(arguments) == 0
    metric = capsys.readouterr().out
    imperial()
    assert main(arguments) == 0
    inches = capsys.readouterr().out

    assert "spreads 15.7 to 31.4 mm wide" in metric
    assert "0.562 to 1.56 times the sealant" in metric
    assert "spreads 0.618 to 1.24 in wide" in inches


def test_json_stays_metric_whatever_the_settings_say(json_of):
    imperial()
    told = json_of("sums", "bead", "--bead-mm", "3")

    assert told["ml_per_m"]["most"] == pytest.approx(7.069, abs=0.0005)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["bead", "--bead-mm", "-2"], "The bead is -2 mm, but must lie between 0.1 mm"),
        (["bead", "--bead-mm", "nan"], "The bead is not a number"),
        (["bead", "--gap-mm", "0.1"], "Nothing follows from these figures"),
        (["bead", "--time-h", "24"], "needs the air temperature too"),
        (["bead", "--tolerance-mm", "1"], "needs the bead's width too"),
        (["viscosity", "--at-c", "20"], "Say which oil it is"),
        (["viscosity", "--oil", "7W-30", "--at-c", "20"], "no engine oil grade"),
        (["viscosity", "--point", "40", "62", "--at-c", "20"], "at 1 temperatures, but two"),
        (["gap", "--length-mm", "5"], "either the gap or what flows"),
        (["gap", "--length-mm", "5", "--gap-mm", "0.01"], "width of a slot or the diameter"),
        (
            ["gap", "--length-mm", "5", "--gap-mm", "0.01", "--width-mm", "9", "--oil", "5W-30"],
            "either the pressure or the height",
        ),
        (
            ["gap", "--length-mm", "5", "--gap-mm", "0.01", "--width-mm", "9",
             "--pressure-kpa", "1", "--oil", "5W-30"],
            "depends on --at-c",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words(arguments, words, capsys):
    assert main(["sums", *arguments]) == 1
    assert words in capsys.readouterr().err


def test_the_viscosity_index(capsys):
    """ASTM D2270, its example: 92."""
    figures = ["--cold", "73.30", "--hot", "8.86", "--low", "119.94", "--high", "69.48"]
    assert main(["sums", "index", *figures]) == 0
    assert "index is 92." in capsys.readouterr().out


def test_every_sum_has_its_help(capsys):
    assert main(["sums", "--help"]) == 0
    shown = capsys.readouterr().out

    assert all(one.name in shown for one in SUMS)


def test_compare_tells_heat_and_growth(bench, json_of, capsys):
    told = json_of("compare", str(bench), "--before", "2", "--after", "3")

    assert told["heat"]["missing"] == ["oil_grade"]
    assert told["heat"]["running_time"] == 2.0  # 50 minutes since the wipe instead of 25
    assert told["growth"][0]["trends"]["area"]["missing"] == "too_few"
    assert main(["compare", str(bench), "--before", "2", "--after", "3"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "What the oil's temperature makes of it cannot be said: the oil grade" in shown
    assert "Over running hours:" in shown
