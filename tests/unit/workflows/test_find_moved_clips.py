"""Video files that were moved or renamed are found again by their content."""

import shutil
from pathlib import Path

import pytest

from leaktrack.model.errors import Cancelled
from leaktrack.model.photo import Clip
from leaktrack.workflows import clips, find_moved_clips
from leaktrack.workflows.find_moved_clips import find_moved_clips as find
from leaktrack.workflows.find_moved_clips import missing_clips

VIDEO = Path(__file__).parents[3] / "demo_project" / "assembly_video.mp4"


@pytest.fixture
def clip(project, tmp_path, monkeypatch):
    """A clip whose file lies outside the project."""
    monkeypatch.setattr(clips, "LARGEST_COPY_BYTES", 1000)
    place = tmp_path / "camera"
    place.mkdir()
    made, edit = clips.add_clip(project, Path(shutil.copy(VIDEO, place / "day1.mp4")))
    project.apply(edit)
    return made


def test_a_renamed_file_is_found_beside_its_old_place(project, clip):
    path = Path(clip.path)
    new = path.rename(path.with_name("assembly.mp4"))

    assert missing_clips(project) == (clip,)
    moved = find(project)
    inverse = project.apply(moved.edit)

    assert Path(project.get(Clip, clip.id).path) == new
    assert missing_clips(project) == ()

    project.apply(inverse)
    assert project.get(Clip, clip.id) == clip


def test_a_moved_file_is_found_below_a_folder_among_others_of_its_size(project, clip, tmp_path):
    deep = tmp_path / "disk" / "2026" / "march"
    deep.mkdir(parents=True)
    new = Path(shutil.move(clip.path, deep / "x.mov"))
    (tmp_path / "disk" / "2026" / "twin.mp4").write_bytes(b"\0" * clip.size_bytes)

    assert find(project).found == {}
    moved = find(project, tmp_path / "disk")

    assert moved.found == {clip.id: new}
    assert moved.missing == ()


def test_only_files_of_the_same_size_are_read(project, clip, tmp_path, monkeypatch):
    Path(clip.path).unlink()
    (tmp_path / "disk").mkdir()
    (tmp_path / "disk" / "other.mp4").write_bytes(b"\0" * (clip.size_bytes - 1))
    read = []
    monkeypatch.setattr(find_moved_clips, "sha256_of", lambda path, _: read.append(path))

    moved = find(project, tmp_path / "disk")

    assert (moved.found, moved.missing, moved.edit.changes, read) == ({}, (clip,), (), [])


def test_a_file_that_came_into_the_project_s_folder_goes_along_with_it(project, clip):
    inside = project.folder / "clips" / "day1.mp4"
    inside.parent.mkdir(exist_ok=True)
    shutil.move(clip.path, inside)

    project.apply(find(project, project.folder).edit)

    assert project.get(Clip, clip.id).path == "clips/day1.mp4"


def test_a_search_that_is_stopped_changes_nothing(project, clip, tmp_path):
    Path(clip.path).unlink()

    def stop(*_):
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        find(project, tmp_path, stop)
    assert project.get(Clip, clip.id) == clip
