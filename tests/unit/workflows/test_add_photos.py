"""Photos are taken in whole and once; a bad file gets one line and never stops the others."""

import errno
import hashlib
import os
import shutil
import subprocess
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from unittest import mock

import numpy as np
import pytest

from leaktrack.model.errors import BadInput, Cancelled, MissingRecord, ReadOnlyProject
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Light, Photo, TakenAt
from leaktrack.model.sealing_job import Evidence
from leaktrack.workflows import check_input
from leaktrack.workflows.add_photos import Outcome, add_photos
from leaktrack.workflows.project import open_project
from tests.pictures import casting, write_photo


def picture(number, width=64, height=48):
    """Return a small picture that differs from those with other numbers."""
    rgb = np.zeros((height, width, 3), np.uint8)
    rgb[..., 0] = np.arange(width) * 4
    rgb[..., 1] = number % 256
    rgb[..., 2] = number // 256 * 40
    return rgb


def outcomes(added):
    return [result.outcome for result in added.results]


@pytest.fixture
def one(tmp_path):
    return write_photo(tmp_path / "one.jpg", casting(320, 240))


@pytest.fixture(scope="module")
def camera(tmp_path_factory):
    """Return a folder of 392 good photos and 8 bad ones, below each other."""
    folder = tmp_path_factory.mktemp("camera")
    (folder / "later").mkdir()
    for number in range(392):
        below = folder if number % 2 else folder / "later"
        write_photo(below / f"p{number:03}.png", picture(number))
    good = write_photo(folder / "good.jpg", casting(320, 240)).read_bytes()
    (folder / "good.jpg").unlink()
    for number, size in enumerate((len(good) // 3, len(good) // 2, len(good) - 400)):
        (folder / f"cut{number}.jpg").write_bytes(good[:size])
    (folder / "empty.jpg").touch()
    (folder / "notes.jpg").write_text("bolt 7 goes through")
    (folder / "report.pdf").write_bytes(b"%PDF-1.7 and so on")
    (folder / "noise.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(500))
    # A PNG that says it has 60,000 x 60,000 pixels, in a few bytes.
    (folder / "bomb.png").write_bytes(
        b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\xea\x60\x00\x00\xea\x60\x08\x02\x00\x00\x00"
        b"\x6b\x5f\x30\x6c\x00\x00\x00\x00IDAT"
    )
    return folder


def test_bad_files_among_four_hundred_do_not_stop_the_others(project, camera):
    added = add_photos(project, [camera])
    project.apply(added.edit)

    refused = {r.name: r.reason for r in added.results if r.outcome is Outcome.REFUSED}
    assert len(added.results) == 400
    assert len(project.all(Photo)) == len(added.added) == 392
    assert set(refused) == {
        *("cut0.jpg", "cut1.jpg", "cut2.jpg", "empty.jpg"),
        *("notes.jpg", "report.pdf", "noise.png", "bomb.png"),
    }
    assert all(name in reason and "\n" not in reason for name, reason in refused.items())


def test_a_stored_photo_has_the_bytes_and_the_hash_of_its_file(project, one):
    added = add_photos(project, [one])
    project.apply(added.edit)

    (photo,) = project.all(Photo)
    assert project.photo_path(photo).read_bytes() == one.read_bytes()
    assert photo.size_bytes == one.stat().st_size
    assert (photo.width_px, photo.height_px, photo.original_name) == (320, 240, "one.jpg")


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="needs sha256sum of GNU coreutils")
def test_the_hash_is_the_one_that_sha256sum_tells(project, one):
    added = add_photos(project, [one])

    told = subprocess.run(["sha256sum", one], capture_output=True, text=True, check=True).stdout
    assert added.added[0].sha256 == told.split()[0]


def test_nothing_is_recorded_before_the_edit_is_applied(project, one):
    add_photos(project, [one])

    assert project.all(Photo) == ()


def test_the_same_bytes_are_taken_once(project, one, tmp_path):
    copy = tmp_path / "copy.jpg"
    copy.write_bytes(one.read_bytes())

    first = add_photos(project, [one, copy])
    project.apply(first.edit)
    second = add_photos(project, [copy])

    assert outcomes(first) == [Outcome.ADDED, Outcome.DUPLICATE]
    assert outcomes(second) == [Outcome.DUPLICATE]
    assert second.results[0].photo == first.added[0]
    assert second.results[0].reason == "copy.jpg is in the project already, as one.jpg."
    assert second.edit.is_empty


def test_a_wrong_ending_does_not_hide_what_a_file_is(project, tmp_path):
    real = write_photo(tmp_path / "real.png", picture(1))
    wrong = real.rename(tmp_path / "wrong.jpg")

    added = add_photos(project, [wrong])

    assert added.added[0].file_type == "png"


def test_time_and_zone_come_from_the_camera(project, tmp_path):
    path = write_photo(
        tmp_path / "dated.jpg", picture(1), taken="2026:03:21 15:03:51", offset="+01:00"
    )

    added = add_photos(project, [path])

    expected = TakenAt(datetime.fromisoformat("2026-03-21T15:03:51"), utc_offset_min=60)
    assert added.added[0].taken == expected


def test_a_camera_with_a_clock_ahead_is_told_and_the_photo_taken(project, tmp_path):
    path = write_photo(tmp_path / "ahead.jpg", picture(1), taken="2096:03:21 15:03:51")

    added = add_photos(project, [path])

    assert added.results[0].outcome is Outcome.ADDED
    assert "ahead.jpg: its camera says 2096-03-21 15:03, which is still to come" in (
        added.results[0].reason
    )
    assert added.added[0].taken == TakenAt(datetime.fromisoformat("2096-03-21T15:03:51"))


def test_a_clock_of_unknown_zone_may_be_as_far_east_as_clocks_are(project, tmp_path, monkeypatch):
    now = datetime(2026, 3, 21, 2, 0, tzinfo=UTC)
    monkeypatch.setattr(check_input, "this_moment", lambda: now)
    east = write_photo(tmp_path / "east.jpg", picture(1), taken="2026:03:21 15:59:00")
    told = write_photo(
        tmp_path / "told.jpg", picture(2), taken="2026:03:21 15:59:00", offset="+01:00"
    )

    added = add_photos(project, [east, told])

    assert [bool(one.reason) for one in added.results] == [False, True]


def test_a_turned_photo_is_recorded_upright(project, tmp_path):
    path = write_photo(tmp_path / "turned.jpg", picture(1), orientation=6)

    added = add_photos(project, [path])

    photo = added.added[0]
    assert (photo.width_px, photo.height_px, photo.orientation) == (64, 48, 6)


def test_folders_are_searched_in_order_without_what_is_hidden(project, tmp_path):
    folder = tmp_path / "shots"
    (folder / "b" / ".trash").mkdir(parents=True)
    write_photo(folder / "b" / "2.png", picture(2))
    write_photo(folder / "b" / ".trash" / "3.png", picture(3))
    write_photo(folder / "a.png", picture(1))
    (folder / ".hidden.png").touch()

    added = add_photos(project, [folder])

    assert [result.name for result in added.results] == ["a.png", "2.png"]


def test_an_empty_folder_and_a_missing_file_are_told(project, tmp_path):
    (tmp_path / "nothing").mkdir()

    added = add_photos(project, [tmp_path / "nothing", tmp_path / "gone.jpg"])

    assert outcomes(added) == [Outcome.REFUSED, Outcome.REFUSED]
    assert [result.name for result in added.results] == ["nothing", "gone.jpg"]


def test_a_pasted_picture_is_taken_like_a_file(project, one):
    added = add_photos(project, [("pasted.jpg", one.read_bytes()), ("../x/cut.jpg", b"\xff\xd8")])
    project.apply(added.edit)

    (photo,) = project.all(Photo)
    assert outcomes(added) == [Outcome.ADDED, Outcome.REFUSED]
    assert photo.sha256 == hashlib.sha256(one.read_bytes()).hexdigest()
    assert photo.original_name == "pasted.jpg"


def test_photos_get_the_place_they_were_dropped_on_and_the_light_of_the_look(project, filled, one):
    added = add_photos(
        project, [one], filled.zone.id, filled.inspection.id, check_id=filled.check.id
    )
    project.apply(added.edit)

    photo = project.get(Photo, added.added[0].id)
    assert (photo.zone_id, photo.inspection_id) == (filled.zone.id, filled.inspection.id)
    assert (photo.check_id, photo.light) == (filled.check.id, Light.WHITE)


def test_photos_dropped_on_a_sealing_job_show_it_duplicates_too(project, filled, one):
    project.apply(add_photos(project, [one]).edit)

    again = add_photos(project, [one], job_id=filled.job.id)
    project.apply(again.edit)

    shown = {item.photo_id for item in project.all(Evidence, sealing_job_id=filled.job.id)}
    assert again.results[0].photo.id in shown
    assert add_photos(project, [one], job_id=filled.job.id).edit.is_empty


def test_zone_and_inspection_must_be_of_one_engine(project, filled, one):
    with pytest.raises(BadInput, match="different engines"):
        add_photos(project, [one], filled.other_zone.id, filled.inspection.id)


def test_a_place_that_is_not_there_is_refused_before_any_file_is_read(project, one):
    with pytest.raises(MissingRecord):
        add_photos(project, [one], new_id())


def test_what_was_finished_before_stopping_is_kept(project, camera):
    def stop_at_the_fourth(done, _total, _what):
        if done == 3:
            raise Cancelled("stopped")

    added = add_photos(project, [camera / "later"], progress=stop_at_the_fourth)
    project.apply(added.edit)

    assert added.was_cancelled
    assert len(project.all(Photo)) == len(added.results) == 3


def test_progress_names_each_file_and_ends_at_the_number_of_files(project, one, tmp_path):
    steps = []

    add_photos(project, [one, tmp_path / "gone.jpg"], progress=lambda *step: steps.append(step))

    assert steps == [(0, 2, "one.jpg"), (1, 2, "gone.jpg"), (2, 2, "")]


@pytest.mark.skipif(os.name == "nt", reason="has no pipes among its files")
def test_a_pipe_is_refused_instead_of_waited_for(project, tmp_path):
    os.mkfifo(tmp_path / "pipe.jpg")

    added = add_photos(project, [tmp_path / "pipe.jpg"])

    assert outcomes(added) == [Outcome.REFUSED]
    assert added.results[0].reason == "pipe.jpg is no file, but a device or a pipe."


@pytest.mark.skipif(os.name == "nt", reason="takes away the right to read as Unix does")
def test_a_folder_that_may_not_be_read_is_told_and_does_not_stop_the_rest(project, one, tmp_path):
    camera = tmp_path / "camera"
    (camera / "locked").mkdir(parents=True)
    shutil.copy(one, camera)

    with unreadable(camera / "locked"):
        added = add_photos(project, [camera])

    assert outcomes(added) == [Outcome.REFUSED, Outcome.ADDED]
    assert added.results[0].reason.startswith("The folder locked may not be looked into.")


@contextmanager
def unreadable(folder):
    """Let nobody look into a folder, not even the administrator."""
    usual_scan, usual_access = os.scandir, os.access

    def scan(path):
        if Path(path) == folder:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return usual_scan(path)

    def access(path, mode):
        return Path(path) != folder and usual_access(path, mode)

    with mock.patch("os.scandir", scan), mock.patch("os.access", access):
        yield


def test_a_project_open_for_looking_only_takes_no_files(project, one):
    with (
        open_project(project.folder, project.cache_folder, project.resources_folder) as second,
        pytest.raises(ReadOnlyProject),
    ):
        add_photos(second, [one])

    assert list(project.photo_files.all_paths()) == []
