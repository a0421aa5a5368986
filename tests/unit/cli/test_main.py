import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from leaktrack import __version__, bootstrap
from leaktrack.cli import looking
from leaktrack.cli.main import main

COMMAND = [sys.executable, "-m", "leaktrack"]
COMMANDS = (
    "demo",
    "open",
    "new",
    "add-photos",
    "show",
    "compare",
    "trace",
    "plan",
    "report",
    "check",
    "align",
    "wet",
)


def run(*arguments: str, **options) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *arguments], capture_output=True, text=True, check=False, timeout=60, **options
    )


def test_the_version_is_told(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"leaktrack {__version__}\n"


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command, capsys):
    assert main([command, "--help"]) == 0
    assert f"usage: leaktrack {command}" in capsys.readouterr().out


@pytest.mark.parametrize(
    "arguments",
    [
        ["dance"],
        ["show"],
        ["add-photos", "here"],
        ["trace", "here", "--leak", "two"],
        ["report", "here", "--paper", "A5"],
        ["align", "one.jpg", "other.jpg"],
        ["wet", "one.jpg"],
        ["wet", "one.jpg", "other.jpg", "--target-mm", "wide"],
    ],
)
def test_wrong_usage_is_status_2_and_prints_no_result(arguments, capsys):
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "usage: leaktrack" in told.err


def test_without_a_command_and_without_a_screen_help_is_shown(monkeypatch, capsys):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")

    assert main([]) == 0
    assert "add-photos" in capsys.readouterr().out


def test_a_foreseen_failure_is_one_message_without_a_traceback(tmp_path):
    done = run("show", str(tmp_path / "nothing"))

    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.startswith("leaktrack: ")
    assert "Traceback" not in done.stderr


def test_a_reader_that_has_seen_enough_is_no_failure(bench):
    show = subprocess.Popen(
        [*COMMAND, "show", str(bench), "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert show.stdout is not None
    assert show.stderr is not None
    show.stdout.close()

    complaints = show.stderr.read()
    show.stderr.close()

    assert show.wait(timeout=60) == 0
    assert complaints == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a file that is always full")
@pytest.mark.parametrize("more", [[], ["--json"]])
def test_output_that_finds_no_room_is_told_in_one_message(bench, more):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*COMMAND, "show", str(bench), *more],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )

    assert done.returncode == 1
    assert done.stderr.startswith("leaktrack: There is no room where this was to be written.")
    assert done.stderr.count("\n") == 1


@pytest.mark.skipif(os.name == "nt", reason="closes standard output as Unix shells do")
def test_output_that_was_closed_before_is_no_failure(bench):
    command = ["sh", "-c", '"$@" >&-', "sh", *COMMAND, "show", str(bench)]

    done = subprocess.run(command, capture_output=True, text=True, check=False)

    assert (done.returncode, done.stderr) == (0, "")


def test_stopping_it_by_hand_says_what_is_kept(bench, monkeypatch, capsys):
    def stop(_project):
        raise KeyboardInterrupt

    monkeypatch.setattr(looking.show_project, "summary", stop)

    assert main(["show", str(bench)]) == 130
    assert "stopped. What was finished until now is kept." in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="sends the signal of Ctrl+C as Unix does")
def test_ctrl_c_ends_the_demo_without_a_traceback(tmp_path):
    folder = tmp_path / "demo"
    demo = subprocess.Popen([*COMMAND, "demo", str(folder)], stderr=subprocess.PIPE, text=True)
    wait_for(folder / "leaktrack.db")
    demo.send_signal(signal.SIGINT)

    _, said = demo.communicate(timeout=60)

    assert demo.returncode == 130
    assert "is not finished: remove it before you run the demo again." in said
    assert "Traceback" not in said


def wait_for(path: Path) -> None:
    until = time.monotonic() + 30
    while not path.exists() and time.monotonic() < until:
        time.sleep(0.02)
    assert path.exists()


def test_a_terminal_that_knows_few_letters_is_no_failure(tmp_path):
    folder = tmp_path / "bench"
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    made = run("new", str(folder), "--engine", "Größe 7 Ж")

    shown = run("show", str(folder), env=environment)
    as_json = run("show", str(folder), "--json", env=environment)

    assert made.returncode == shown.returncode == as_json.returncode == 0
    assert "Gr\\xf6\\xdfe 7 \\u0416" in shown.stdout
    assert '"name": "Gr\\u00f6\\u00dfe 7 \\u0416"' in as_json.stdout


@pytest.mark.parametrize("arguments", [["--version"], ["show", "BENCH"], ["plan", "BENCH"]])
def test_nothing_but_the_window_loads_qt(arguments, bench):
    code = (
        "import sys; from leaktrack.cli.main import main; status = main(sys.argv[1:]); "
        "sys.exit(status or 'PySide6' in sys.modules)"
    )
    command = [argument.replace("BENCH", str(bench)) for argument in arguments]

    done = subprocess.run(
        [sys.executable, "-c", code, *command], capture_output=True, text=True, check=False
    )

    assert (done.returncode, done.stderr) == (0, "")


def test_the_version_loads_none_of_the_heavy_libraries():
    code = (
        "import sys; from leaktrack.cli.main import main; main(['--version']); "
        "print(sorted({'sqlalchemy', 'numpy', 'cv2', 'PIL', 'scipy', 'typst'} & set(sys.modules)))"
    )

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.endswith("[]\n")


def test_a_project_that_somebody_else_has_open_can_be_looked_at_but_not_changed(
    bench, photo_folder, capsys
):
    with bootstrap.open_project(bench):
        looked = main(["show", str(bench)])
        changed = main(["add-photos", str(bench), str(photo_folder)])

    assert (looked, changed) == (0, 1)
    assert "leaktrack: " in capsys.readouterr().err
