import sqlite3
from contextlib import closing

import pytest

from leaktrack.model.errors import Cancelled
from leaktrack.model.identity import new_id
from leaktrack.model.photo import Clip, Photo
from leaktrack.model.record import added
from leaktrack.workflows.check_project import CheckReport, Problem, ProblemKind, check
from tests.builders import a_photo


def _add_photo(project, content: bytes, name: str) -> Photo:
    sha256 = project.photo_files.put(content, "jpg")
    photo = a_photo(sha256=sha256, original_name=name)
    project.apply(added(photo))
    return photo


def _add_clip(project, path: str, sha256: str) -> Clip:
    clip = Clip(
        name="film", path=path, sha256=sha256, size_bytes=1, duration_ms=1, width_px=1, height_px=1
    )
    project.apply(added(clip))
    return clip


def test_a_sound_project_has_no_problems(project):
    _add_photo(project, b"one", "1.jpg")
    _add_photo(project, b"two", "2.jpg")
    sha256 = project.clip_files.put(b"film", "mp4")
    _add_clip(project, f"clips/{sha256[:2]}/{sha256}.mp4", sha256)

    report = check(project)

    assert report == CheckReport(True, (), photos_checked=2, clips_checked=1)
    assert report.is_sound


def test_a_photo_that_is_not_there_is_missing(project):
    path = project.photo_path(_add_photo(project, b"one", "1.jpg"))
    path.unlink()

    report = check(project)

    assert report.problems == (Problem(ProblemKind.MISSING, "1.jpg", path),)
    assert not report.is_sound


@pytest.mark.parametrize("content", [b"", b"onf", b"one "], ids=["empty", "other", "longer"])
def test_a_photo_with_other_bytes_is_changed(project, content):
    path = project.photo_path(_add_photo(project, b"one", "1.jpg"))
    path.write_bytes(content)

    report = check(project)

    assert report.problems == (Problem(ProblemKind.CHANGED, "1.jpg", path),)
    assert not report.is_sound


def test_a_photo_that_the_disk_does_not_give_any_more_is_changed(project):
    path = project.photo_path(_add_photo(project, b"one", "1.jpg"))
    path.unlink()
    path.mkdir()  # the nearest to an unreadable file that every system has

    assert check(project).problems[0].kind is ProblemKind.CHANGED


def test_a_file_that_no_record_points_at_is_an_orphan_and_does_no_harm(project):
    sha256 = project.photo_files.put(b"one", "jpg")

    report = check(project)

    path = project.photo_files.path(sha256, "jpg")
    assert report.problems == (Problem(ProblemKind.ORPHAN, path.name, path),)
    assert report.is_sound


def test_a_clip_kept_elsewhere_is_checked_there(project, tmp_path):
    elsewhere = tmp_path / "film.mp4"
    elsewhere.write_bytes(b"cut")
    _add_clip(project, str(elsewhere), "c" * 64)

    report = check(project)

    assert report.problems == (Problem(ProblemKind.CHANGED, "film", elsewhere),)


def test_what_the_database_finds_wrong_is_told_first(project):
    with closing(sqlite3.connect(project.folder / "leaktrack.db")) as connection:
        connection.execute(
            "INSERT INTO face (id, version, engine_id, side, name, position)"
            " VALUES (?, 1, ?, 'top', 'Top', 0)",
            (new_id().hex, new_id().hex),
        )
        connection.commit()
    project.photo_files.put(b"one", "jpg")

    report = check(project)

    assert not report.database_ok
    assert report.problems[0] == Problem(
        ProblemKind.DATABASE, "face row 1 points at a missing engine"
    )


def test_a_check_tells_how_far_it_is(project):
    _add_photo(project, b"one", "1.jpg")
    _add_photo(project, b"two", "2.jpg")
    said: list[tuple[int, int, str]] = []

    check(project, lambda *step: said.append(step))

    assert said == [(0, 2, "1.jpg"), (1, 2, "2.jpg"), (2, 2, "")]


def test_a_check_can_be_stopped(project):
    _add_photo(project, b"one", "1.jpg")

    def stop(done: int, total: int, what: str) -> None:
        raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        check(project, stop)
