import pytest

from leaktrack.cli.main import main
from leaktrack.cli.telling import sighting_words
from leaktrack.model.comparison import Sighting
from leaktrack.model.identity import new_id
from leaktrack.model.leak import SeepageGrade


@pytest.mark.parametrize(
    ("measures", "words"),
    [
        ({}, "2 seep"),
        ({"area_px": 400.0}, "2 seep, - mm2 (no scale)"),
        (
            {"area_px": 400.0, "area_mm2": 36.4, "extent_mm": 9.6},
            "2 seep, 36 mm2, 10 mm long",
        ),
        (
            {
                "area_px": 400.0,
                "area_mm2": 321.5,
                "area_sigma_mm2": 52.7,
                "extent_mm": 54.3,
                "extent_sigma_mm": 0.88,
            },
            "2 seep, 322 +- 53 mm2, 54.3 +- 0.9 mm long",
        ),
    ],
)
def test_a_sighting_is_told_as_finely_as_it_is_known(measures, words):
    assert sighting_words(Sighting(new_id(), SeepageGrade.SEEP, **measures)) == words


def test_compare_prints_grades_areas_lengths_and_change(bench, capsys):
    assert main(["compare", str(bench), "--before", "2", "--after", "3"]) == 0

    told = " ".join(capsys.readouterr().out.split())
    # By hand: squares of 40 and 120 px at 0.15 mm/px are 36 and 324 mm2, 8.5 and 25.5 mm across.
    assert "2 seep, 36 mm2, 8 mm long" in told
    assert "324 mm2, 25 mm long" in told
    assert "growing" in told


def test_compare_as_json_says_how_far_areas_can_be_trusted(bench, json_of):
    (leak, *_) = json_of("compare", str(bench), "--before", "2", "--after", "3")["leaks"]

    assert leak["before"]["area_mm2"] == pytest.approx(36)
    assert leak["before"]["area_sigma_mm2"] is None  # its photo has no printed target
