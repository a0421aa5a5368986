import sys
from pathlib import Path

import pytest

from leaktrack import places


@pytest.fixture
def home(tmp_path, monkeypatch) -> Path:
    for name in (
        "LEAKTRACK_CACHE", "LEAKTRACK_CONFIG", "XDG_CACHE_HOME", "XDG_CONFIG_HOME",
        "LOCALAPPDATA", "APPDATA",
    ):  # fmt: skip
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("platform", "cache", "settings"),
    [
        ("linux", ".cache/leaktrack", ".config/leaktrack/settings.json"),
        (
            "darwin",
            "Library/Caches/leaktrack",
            "Library/Application Support/leaktrack/settings.json",
        ),
    ],
)
def test_folders_are_where_the_system_keeps_such_things(
    home, monkeypatch, platform, cache, settings
):
    monkeypatch.setattr(sys, "platform", platform)

    assert places.cache_folder() == home / cache
    assert places.settings_file() == home / settings


def test_on_windows_they_are_where_the_environment_says(home, monkeypatch):
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(home / "Local"))
    monkeypatch.setenv("APPDATA", str(home / "Roaming"))

    assert places.cache_folder() == home / "Local" / "leaktrack"
    assert places.settings_file() == home / "Roaming" / "leaktrack" / "settings.json"


def test_the_free_desktop_variables_are_heeded(home, monkeypatch):
    """Source: XDG Base Directory Specification."""
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(home / "elsewhere"))

    assert places.cache_folder() == home / "elsewhere" / "leaktrack"


def test_a_person_can_put_them_anywhere(home, monkeypatch):
    monkeypatch.setenv("LEAKTRACK_CACHE", str(home / "a"))
    monkeypatch.setenv("LEAKTRACK_CONFIG", str(home / "b"))

    assert places.cache_folder() == home / "a"
    assert places.log_file() == home / "a" / "leaktrack.log"
    assert places.settings_file() == home / "b" / "settings.json"


def test_what_the_program_brings_along_is_found_beside_the_package():
    assert places.resource("models").is_dir()
    assert places.demo_source().is_dir()


def test_in_an_installed_program_it_is_found_inside_the_package(tmp_path, monkeypatch):
    monkeypatch.setattr(places, "_PACKAGE", tmp_path)
    (tmp_path / "_resources").mkdir()
    (tmp_path / "_demo_project").mkdir()

    assert places.resource("icons", "a.svg") == tmp_path / "_resources" / "icons" / "a.svg"
    assert places.demo_source() == tmp_path / "_demo_project"
