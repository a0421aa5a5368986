import sys
from pathlib import Path

import pytest

from leaktrack.cli import display
from leaktrack.cli.main import main


class Window:
    """Stands in for the window and keeps the projects it was asked to open."""

    def __init__(self) -> None:
        self.opened: list[Path | None] = []

    def __call__(self, project: Path | None) -> int:
        self.opened.append(project)
        return 0


@pytest.fixture
def window(monkeypatch):
    monkeypatch.setattr(display, "_can_be_loaded", lambda _library: True)
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    return Window()


def test_open_opens_the_window_on_a_project(window, tmp_path):
    assert main(["open", str(tmp_path)], window) == 0
    assert window.opened == [tmp_path]


@pytest.mark.parametrize("arguments", [[], ["open"]])
def test_the_window_opens_without_a_project_as_well(window, arguments):
    assert main(arguments, window) == 0
    assert window.opened == [None]


def test_missing_libraries_are_told_as_one_line_to_run(window, monkeypatch, capsys):
    missing = {"libEGL.so.1", "libxcb-cursor.so.0"}
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(display, "_can_be_loaded", lambda library: library not in missing)
    monkeypatch.setenv("QT_QPA_PLATFORM", "xcb")

    assert main(["open"], window) == 1
    assert capsys.readouterr().err.splitlines()[-1] == (
        "  sudo apt-get install -y --no-install-recommends libegl1 libxcb-cursor0"
    )
    assert window.opened == []


def test_without_a_screen_the_window_says_so_instead_of_aborting(window, monkeypatch, capsys):
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)

    assert main(["open"], window) == 1
    assert "There is no screen here" in capsys.readouterr().err
    assert window.opened == []


def test_a_library_that_is_not_there_is_found_out_without_loading_qt():
    assert display._can_be_loaded("libc.so.6") is sys.platform.startswith("linux")
    assert not display._can_be_loaded("libnosuchthing.so.1")
