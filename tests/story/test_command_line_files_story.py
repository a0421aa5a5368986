"""Files and failures through the command line: damage, bad photos, wrong usage, no window."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from leaktrack.cli.main import main
from tests.pictures import casting, write_photo
from tests.story.conftest import ROOT, run_leaktrack


@pytest.fixture
def camera(tmp_path: Path) -> Path:
    """A folder with a photo, its copy, an empty file, half a photo, and a text called photo."""
    folder = tmp_path / "camera"
    folder.mkdir()
    whole = write_photo(folder / "a.jpg", casting(640, 480)).read_bytes()
    (folder / "again.jpg").write_bytes(whole)
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "half.jpg").write_bytes(whole[: len(whole) // 2])
    (folder / "notes.jpg").write_text("not a photo")
    return folder


@pytest.fixture
def damaged(demo_copy: Path) -> dict[str, str]:
    """What is wrong with two photos of the copy, by file name: one bit turned, one file lost."""
    changed, missing = sorted((demo_copy / "photos").rglob("*.jpg"))[:2]
    content = bytearray(changed.read_bytes())
    content[1000] ^= 1
    changed.chmod(0o644)
    changed.write_bytes(content)
    missing.unlink()
    return {changed.name: "changed", missing.name: "missing"}


def test_check_names_the_photo_with_a_turned_bit_and_the_lost_one(demo_copy, damaged, capsys):
    assert main(["check", str(demo_copy), "--json"]) == 1

    document = json.loads(capsys.readouterr().out)
    assert document["state"] == "damaged"
    assert document["photos_checked"] == 26
    assert {Path(one["path"]).name: one["kind"] for one in document["problems"]} == damaged


def test_check_tells_a_person_what_to_do_about_damage(demo_copy, damaged, capsys):
    assert main(["check", str(demo_copy)]) == 1

    told = capsys.readouterr().out
    assert sorted(line.partition(":")[0] for line in told.splitlines()[:2]) == [
        "changed",
        "missing",
    ]
    assert "Copy what is missing from a backup" in " ".join(told.split())


@pytest.mark.parametrize("command", ["demo", "new"])
def test_a_folder_that_is_there_is_never_overwritten(command, demo_run, capsys):
    before = (demo_run.folder / "leaktrack.db").read_bytes()

    assert main([command, str(demo_run.folder)]) == 1

    said = capsys.readouterr()
    assert said.out == ""
    assert "demo engine" in said.err
    assert "Nothing was changed." in said.err
    assert (demo_run.folder / "leaktrack.db").read_bytes() == before


def test_a_project_of_one_s_own_from_nothing(tmp_path: Path, camera: Path):
    """Each command in a process of its own, as a script runs them."""
    folder = tmp_path / "bench"

    made = run_leaktrack("new", folder, "--engine", "Bench engine", places=tmp_path)
    photos = run_leaktrack("add-photos", folder, camera, "--json", places=tmp_path)
    shown = run_leaktrack("show", folder, "--json", places=tmp_path)

    assert (made.status, photos.status, shown.status) == (0, 0, 0)
    outcomes = {Path(one["file"]).name: one["outcome"] for one in json.loads(photos.out)["photos"]}
    assert outcomes == {
        "a.jpg": "added",
        "again.jpg": "duplicate",
        "empty.jpg": "refused",
        "half.jpg": "refused",
        "notes.jpg": "refused",
    }
    (engine,) = json.loads(shown.out)["engines"]
    assert (engine["name"], engine["zones"], engine["leaks"]) == ("Bench engine", [], [])


def test_a_file_that_was_added_is_a_duplicate_the_next_time(tmp_path: Path, camera: Path, capsys):
    main(["new", str(tmp_path / "bench")])
    main(["add-photos", str(tmp_path / "bench"), str(camera / "a.jpg")])
    capsys.readouterr()

    assert main(["add-photos", str(tmp_path / "bench"), str(camera / "a.jpg")]) == 0

    assert capsys.readouterr().out == "Photos: 1 here already.\n"


def test_photos_find_their_zone_and_inspection_by_name(demo_copy: Path, tmp_path: Path, capsys):
    photo = write_photo(tmp_path / "closer.jpg", casting(400, 300))
    place = ["--zone", "bank 2 cov", "--inspection", "2026-04-25"]

    assert main(["add-photos", str(demo_copy), str(photo), *place]) == 0

    capsys.readouterr()
    main(["show", str(demo_copy), "--json"])
    (engine,) = json.loads(capsys.readouterr().out)["engines"]
    assert [one["photos"] for one in engine["inspections"]] == [4, 5, 5, 5]
    assert {zone["name"]: zone["photos"] for zone in engine["zones"]}["Bank 2 cover"] == 5


@pytest.mark.parametrize(
    "arguments",
    [
        ["mend", "engine"],
        ["show"],
        ["trace", "PROJECT", "--leak", "one"],
        ["report", "PROJECT", "--paper", "A5"],
        ["compare", "PROJECT", "--jsno"],
    ],
    ids=lambda arguments: " ".join(arguments),
)
def test_wrong_usage_is_status_2_and_prints_no_result(arguments, capsys):
    assert main(arguments) == 2

    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("usage: leaktrack")


@pytest.mark.parametrize("command", ["show", "compare", "trace", "plan", "check"])
def test_a_folder_that_is_no_project_is_one_sentence_of_failure(command, tmp_path, capsys):
    assert main([command, str(tmp_path), "--json"]) == 1

    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("leaktrack: ")


NO_QT = """
import sys
from leaktrack.cli.main import main
folder, new, photo = sys.argv[1:]
for arguments in (
    ["show", folder],
    ["compare", folder],
    ["trace", folder],
    ["plan", folder],
    ["report", folder],
    ["check", folder],
    ["new", new],
    ["add-photos", new, photo],
):
    assert main(arguments) == 0, arguments
assert "sqlalchemy" in sys.modules and "typst" in sys.modules
print(*sorted(name for name in sys.modules if name.startswith(("PySide6", "shiboken6"))))
"""


@pytest.mark.thorough  # one by one in the tests of the command line and of the structure
def test_no_command_loads_the_window(demo_copy: Path, tmp_path: Path, camera: Path):
    ran = subprocess.run(
        [sys.executable, "-c", NO_QT, demo_copy, tmp_path / "bench", camera / "a.jpg"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )

    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines()[-1] == ""  # the list of what was loaded of Qt
