import os
import shutil
import signal
from pathlib import Path

import pytest

from leaktrack import bootstrap
from leaktrack.cli import adding
from leaktrack.cli.main import main
from leaktrack.cli.stopping import stoppable
from leaktrack.model.engine import Engine, Face
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Photo
from tests.built_demo import built_demo


def photos_of(folder) -> tuple[Photo, ...]:
    with bootstrap.open_project(folder) as project:
        return project.all(Photo)


def test_a_new_project_has_the_engine_that_was_named(tmp_path, capsys):
    assert main(["new", str(tmp_path / "w7"), "--engine", "W7"]) == 0

    with bootstrap.open_project(tmp_path / "w7") as project:
        assert [engine.name for engine in project.all(Engine)] == ["W7"]
        assert len(project.all(Face)) == 6
    assert "leaktrack open" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["new", "demo"])
def test_nothing_is_overwritten(command, tmp_path, capsys):
    folder = tmp_path / "full"
    folder.mkdir()
    (folder / "thesis.txt").write_text("mine")

    assert main([command, str(folder)]) == 1
    assert [path.name for path in folder.iterdir()] == ["thesis.txt"]
    assert capsys.readouterr().err.startswith("leaktrack: ")


def test_photos_are_added_and_a_bad_one_does_not_stop_the_rest(empty_bench, photo_folder, capsys):
    assert main(["add-photos", str(empty_bench), str(photo_folder)]) == 0

    told = capsys.readouterr()
    assert told.out == "Photos: 2 added, 1 here already, 1 refused.\n"
    assert "notes.jpg" in told.err
    assert len(photos_of(empty_bench)) == 2


def test_photos_are_told_as_json(empty_bench, photo_folder, json_of):
    document = json_of("add-photos", str(empty_bench), str(photo_folder))

    outcomes = {one["file"].rpartition("/")[2]: one["outcome"] for one in document["photos"]}
    assert outcomes == {
        "a.jpg": "added",
        "b again.jpg": "added",
        "b.jpg": "duplicate",
        "notes.jpg": "refused",
    }


def test_photos_go_to_the_zone_and_inspection_that_were_named(bench, photo_folder):
    before = {photo.id for photo in photos_of(bench)}
    arguments = ["add-photos", str(bench), str(photo_folder / "a.jpg")]

    status = main([*arguments, "--zone", "sol", "--inspection", "newest"])

    new = next(photo for photo in photos_of(bench) if photo.id not in before)
    with bootstrap.open_project(bench) as project:
        newest = max(project.all(Inspection), key=lambda one: one.looked_at)
    assert status == 0
    assert new.zone_id is not None
    assert new.inspection_id == newest.id


def test_if_every_photo_is_refused_that_is_a_failure(empty_bench, photo_folder, capsys):
    assert main(["add-photos", str(empty_bench), str(photo_folder / "notes.jpg")]) == 1
    assert capsys.readouterr().out == "Photos: 1 refused.\n"


def test_a_report_is_written_where_it_was_asked_for(bench, tmp_path, capsys):
    out = tmp_path / "hand over"

    assert main(["report", str(bench), "--out", str(out), "--paper", "Letter"]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told == [f"Report: {out / 'report.html'}", f"        {out / 'report.pdf'}"]
    assert sorted(path.name for path in out.iterdir()) == ["report.html", "report.pdf"]


def test_a_report_is_told_as_json(bench, json_of):
    assert json_of("report", str(bench)) == {
        "html": str(bench / "report" / "report.html"),
        "pdf": str(bench / "report" / "report.pdf"),
    }


@pytest.mark.thorough  # the stories look at a demo that the command has made
def test_the_demo_does_the_whole_job(tmp_path, tmp_path_factory, json_of, capsys):
    built_demo(tmp_path_factory)  # so that what is found in photos is found once
    folder = tmp_path / "demo"

    assert main(["demo", str(folder)]) == 0
    told = capsys.readouterr().out
    assert (folder / "report" / "report.pdf").stat().st_size > 1_000_000
    assert "gap, 4.9 mm long, at bolt 4.5" in told
    assert "growing" in told
    assert "confirmed" in told
    assert "rendered by a computer" in told
    engine = json_of("show", str(folder))["engines"][0]
    assert (len(engine["zones"]), len(engine["inspections"]), len(engine["leaks"])) == (4, 4, 3)
    assert all(leak["causes"] for leak in engine["leaks"])


def a_photo_file(folder) -> Path:
    return next(path for path in (folder / "photos").rglob("*") if path.is_file())


def test_check_finds_a_sound_project_sound(empty_bench, photo_folder, json_of):
    main(["add-photos", str(empty_bench), str(photo_folder)])

    document = json_of("check", str(empty_bench))

    assert (document["state"], document["photos_checked"]) == ("sound", 2)
    assert main(["check", str(empty_bench)]) == 0


def test_check_names_what_is_missing_and_fails(empty_bench, photo_folder, json_of, capsys):
    main(["add-photos", str(empty_bench), str(photo_folder / "a.jpg")])
    gone = a_photo_file(empty_bench)
    gone.unlink()

    document = json_of("check", str(empty_bench))
    status = main(["check", str(empty_bench)])

    assert status == 1
    assert document["state"] == "damaged"
    assert [(one["kind"], one["path"]) for one in document["problems"]] == [("missing", str(gone))]
    assert "missing: a.jpg" in capsys.readouterr().out


def test_check_notices_a_single_changed_byte(empty_bench, photo_folder, json_of):
    main(["add-photos", str(empty_bench), str(photo_folder / "a.jpg")])
    file = a_photo_file(empty_bench)
    file.chmod(0o644)
    file.write_bytes(file.read_bytes()[:-1] + b"\x00")

    assert [one["kind"] for one in json_of("check", str(empty_bench))["problems"]] == ["changed"]


@pytest.mark.parametrize(
    "place", [["--zone", ""], ["--inspection", ""], ["--engine", ""], ["--engine", "Zeppelin"]]
)
def test_a_place_that_is_empty_or_unknown_is_refused_rather_than_left_out(
    place, bench, photo_folder, capsys
):
    before = photos_of(bench)

    assert main(["add-photos", str(bench), str(photo_folder / "a.jpg"), *place]) == 1
    assert photos_of(bench) == before
    assert f"'{place[1]}'" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["", "   "])
def test_an_engine_without_a_name_leaves_no_project_behind(name, tmp_path, capsys):
    assert main(["new", str(tmp_path / "w7"), "--engine", name]) == 1
    assert not (tmp_path / "w7").exists()
    assert "The engine has no name." in capsys.readouterr().err


@pytest.mark.skipif(os.name == "nt", reason="sends the signal of Ctrl+C as Unix does")
def test_ctrl_c_keeps_the_photos_added_until_then(empty_bench, photo_folder, capsys, monkeypatch):
    usual = adding.ProgressLine.__call__

    def press_at_the_second(line, done, total, what):
        usual(line, done, total, what)
        if done == 1:
            os.kill(os.getpid(), signal.SIGINT)

    monkeypatch.setattr(adding.ProgressLine, "__call__", press_at_the_second)

    status = main(["add-photos", str(empty_bench), str(photo_folder)])

    told = capsys.readouterr()
    assert status == 130
    assert told.out == "Photos: 2 added.\n"
    assert told.err.endswith("Stopped by hand. The photos added until now are kept.\n")
    assert len(photos_of(empty_bench)) == 2


def test_ctrl_c_pressed_twice_stops_at_once():
    with stoppable(print):
        signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)


def test_a_name_with_line_ends_is_told_in_one_line(empty_bench, tmp_path, capsys):
    (tmp_path / "two\nlines.jpg").write_text("not a photo")

    main(["add-photos", str(empty_bench), str(tmp_path / "two\nlines.jpg")])

    told = capsys.readouterr().err
    assert told.startswith("two lines.jpg is not a photo")
    assert told.count("\n") == 1


def test_a_report_says_how_many_photos_it_could_not_show(bench, capsys):
    shutil.rmtree(bench / "photos")
    count = len(photos_of(bench))

    assert main(["report", str(bench)]) == 0
    assert f"{count} photos or stills could not be opened" in capsys.readouterr().err
