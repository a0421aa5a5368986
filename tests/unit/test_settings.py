import json
from dataclasses import fields
from pathlib import Path

import pytest

from leaktrack.model.severity import GradeLimits
from leaktrack.settings import Settings, read_settings, write_settings

CHOSEN = Settings(
    units="imperial",
    theme="dark",
    text_percent=150,
    gloves_mode=True,
    paper="Letter",
    heavy_seep_mm=76.2,
    at_once_min=2.5,
    cache_mb=3500,
    recent_projects=("/benches/one", "/benches/zwö"),
    window_size=(1600, 900),
)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "config" / "settings.json"


def _read(file: Path, text: str):
    file.parent.mkdir()
    file.write_text(text, encoding="utf-8")
    return read_settings(file)


def test_without_a_file_the_defaults_hold(file):
    assert read_settings(file) == (Settings(), ())


def test_what_was_chosen_is_there_the_next_time(file):
    write_settings(file, CHOSEN)

    assert read_settings(file) == (CHOSEN, ())


def test_every_setting_was_chosen_in_the_test_above():
    default = Settings()

    same = [
        item.name
        for item in fields(Settings)
        if getattr(CHOSEN, item.name) == getattr(default, item.name)
    ]

    assert same == ["unknown"]


def test_what_a_newer_program_wrote_is_kept(file):
    settings, complaints = _read(file, '{"units": "imperial", "camera": {"offset_min": 3}}')

    write_settings(file, settings)

    assert complaints == ()
    assert json.loads(file.read_text())["camera"] == {"offset_min": 3}


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("units", "furlongs"),
        ("units", ["metric"]),
        ("theme", None),
        ("text_percent", 99),
        ("text_percent", 201),
        ("text_percent", "150"),
        ("text_percent", True),
        ("text_percent", float("inf")),
        ("gloves_mode", 1),
        ("gloves_mode", "no"),
        ("heavy_seep_mm", 30.0),
        ("heavy_seep_mm", float("nan")),
        ("at_once_min", 0),
        ("at_once_min", "soon"),
        ("paper", "a4"),
        ("recent_projects", "/benches/one"),
        ("recent_projects", [1]),
        ("window_size", [1280]),
        ("window_size", [10, 10]),
        ("window_size", [1280, 1e9]),
        ("window_size", "wide"),
    ],
)
def test_a_bad_value_is_named_and_only_that_one_falls_back(file, name, bad):
    good = {
        "units": "imperial", "theme": "dark", "text_percent": 150, "gloves_mode": True,
        "paper": "Letter", "recent_projects": [], "window_size": [800, 600],
    }  # fmt: skip

    settings, complaints = _read(file, json.dumps({**good, name: bad}))

    expected = Settings(**{**good, "recent_projects": (), "window_size": (800, 600)})
    assert getattr(settings, name) == getattr(Settings(), name)
    assert [f"The setting '{name}' cannot be" in said for said in complaints] == [True]
    others = [item.name for item in fields(Settings) if item.name != name]
    assert [getattr(settings, other) for other in others] == [
        getattr(expected, other) for other in others
    ]


@pytest.mark.parametrize("text", ["", "{", "\0", "[1, 2]", '"text"'])
def test_a_file_that_holds_no_settings_is_told_and_the_defaults_hold(file, text):
    settings, complaints = _read(file, text)

    assert settings == Settings()
    assert ["The defaults are used." in said for said in complaints] == [True]


def test_the_project_opened_last_heads_the_recent_ones_and_is_there_once(tmp_path):
    one, two = tmp_path / "one", tmp_path / "two"

    settings = Settings().with_recent(one).with_recent(two).with_recent(one)

    assert settings.recent_projects == (str(one), str(two))


def test_only_the_last_eight_projects_are_remembered(tmp_path):
    settings = Settings()
    for number in range(20):
        settings = settings.with_recent(tmp_path / str(number))

    assert [Path(name).name for name in settings.recent_projects] == [
        "19", "18", "17", "16", "15", "14", "13", "12",
    ]  # fmt: skip


def test_settings_that_cannot_be_written_are_logged_and_nothing_else_happens(tmp_path, caplog):
    (tmp_path / "config").write_text("a file where a folder should be")

    write_settings(tmp_path / "config" / "settings.json", CHOSEN)

    assert "settings could not be written" in caplog.text
    caplog.clear()


def test_the_limits_between_grades_are_those_that_were_chosen():
    limits = CHOSEN.grade_limits

    assert (limits.heavy_seep_below_mm, limits.at_once_min) == (76.2, 2.5)
    assert Settings().grade_limits == GradeLimits()
