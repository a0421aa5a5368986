"""Clips are kept or found again, stepped frame by frame, and give stills that show their source."""

import shutil
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from leaktrack.model.errors import BadInput, Cancelled, ReadOnlyProject, UnreadableVideo
from leaktrack.model.photo import Clip, Photo, TakenAt
from leaktrack.model.record import replaced
from leaktrack.model.sealing_job import Evidence
from leaktrack.workflows import clips, show_photo
from leaktrack.workflows.project import open_project

VIDEO = Path(__file__).parents[3] / "demo_project" / "assembly_video.mp4"
BEGAN = TakenAt(datetime.fromisoformat("2026-03-08T16:20:00"), 60)


@pytest.fixture
def clip(project):
    added, edit = clips.add_clip(project, VIDEO, "Assembly day", BEGAN)
    project.apply(edit)
    return added


def test_a_small_clip_is_copied_into_the_project(project, clip):
    stored = project.get(Clip, clip.id)

    assert not Path(stored.path).is_absolute()
    assert project.clip_path(stored).read_bytes() == VIDEO.read_bytes()
    assert stored.size_bytes == VIDEO.stat().st_size
    assert (stored.name, stored.recorded) == ("Assembly day", BEGAN)


def test_a_large_clip_stays_where_it_is(project, monkeypatch):
    monkeypatch.setattr(clips, "LARGEST_COPY_BYTES", 1000)

    clip, edit = clips.add_clip(project, VIDEO)
    project.apply(edit)

    assert Path(clip.path) == VIDEO
    assert list(project.clip_files.all_paths()) == []
    assert clips.frame_at(project, clip.id, 0).at_ms == 0


def test_a_clip_is_taken_once(project, clip):
    with pytest.raises(BadInput, match="in the project already, as 'Assembly day'"):
        clips.add_clip(project, VIDEO)


def test_a_file_that_is_no_video_is_refused(project, tmp_path):
    path = tmp_path / "notes.mp4"
    path.write_text("bolt 7 goes through")

    with pytest.raises(UnreadableVideo, match=r"notes\.mp4"):
        clips.add_clip(project, path)


def test_stopping_leaves_nothing_behind(project):
    def stop_half_way(done, total, _what):
        if done > total / 2:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        clips.add_clip(project, VIDEO, progress=stop_half_way)

    assert list(project.clip_files.all_paths()) == []


def test_a_missing_file_is_told_and_nothing_else_breaks(project, clip, tmp_path):
    gone = replace(clip, path=(tmp_path / "drive" / "a.mp4").as_posix())
    project.apply(replaced(clip, gone))

    with pytest.raises(UnreadableVideo, match=r"'Assembly day' is not at .*drive/a\.mp4.*Put the"):
        clips.frame_at(project, clip.id, 0)
    with pytest.raises(UnreadableVideo, match="is not at"):
        show_photo.clip_thumbnail(project, clip.id, 96)
    assert project.get(Clip, clip.id) == gone


def test_a_clip_is_found_again_at_another_place(project, clip, tmp_path):
    moved = Path(shutil.copy(VIDEO, tmp_path / "moved.mp4"))
    project.apply(clips.amend_clip(clip, replace(clip, path=moved.as_posix())))

    assert clips.clip_file(project, clip.id) == moved


def test_the_file_of_a_clip_is_never_another(clip):
    with pytest.raises(BadInput, match="file is never changed"):
        clips.amend_clip(clip, replace(clip, sha256="0" * 64))


def test_frames_are_stepped_one_by_one(project, clip):
    with clips.open_clip(project, clip.id) as video:
        first = video.frame_at(2000)
        after = video.frame_after(first.at_ms)
        back = video.frame_before(after.at_ms)

    assert first.at_ms < after.at_ms < first.at_ms + 100
    assert back.at_ms == first.at_ms
    assert np.array_equal(back.rgb, first.rgb)


def test_an_open_clip_gives_the_same_frames(project, clip):
    with clips.open_clip(project, clip.id) as video:
        shown = video.frame_at(2000)

    assert np.array_equal(shown.rgb, clips.frame_at(project, clip.id, 2000).rgb)


def test_a_still_holds_exactly_the_frame_and_says_where_it_is_from(project, clip):
    frame = clips.frame_at(project, clip.id, 3000)

    photo, edit = clips.grab_still(project, clip.id, 3000)
    project.apply(edit)

    assert np.array_equal(show_photo.full(project, photo.id), frame.rgb)
    code = clips.time_code(frame.at_ms)
    assert photo.note.startswith(f"Still from 'Assembly day' at {code} ({frame.at_ms} ms)")
    assert clip.sha256 in photo.note
    assert photo.taken == TakenAt(BEGAN.local + timedelta(milliseconds=frame.at_ms), 60)


def test_a_still_becomes_evidence_of_its_job(project, filled, clip):
    photo, edit = clips.grab_still(project, clip.id, 3000, filled.job.id)
    project.apply(edit)

    evidence = project.all(Evidence, sealing_job_id=filled.job.id, photo_id=photo.id)
    assert len(evidence) == 1


def test_the_same_still_is_kept_once(project, filled, clip):
    first, edit = clips.grab_still(project, clip.id, 3000, filled.job.id)
    project.apply(edit)

    second, again = clips.grab_still(project, clip.id, 3000, filled.job.id)

    assert second == first
    assert again.is_empty


def test_the_time_in_the_file_counts_where_nobody_gives_another(project):
    clip, _ = clips.add_clip(project, VIDEO)

    # ffprobe tells creation_time 2026-03-08T15:20:00Z for this file.
    assert clip.recorded == TakenAt(datetime.fromisoformat("2026-03-08T15:20:00"), 0)


def test_a_still_of_a_clip_without_a_time_has_none(project, clip):
    project.apply(clips.amend_clip(clip, replace(clip, recorded=None)))

    photo, _ = clips.grab_still(project, clip.id, 0)

    assert photo.taken is None


def test_a_clip_that_shows_a_job_stays(project, filled):
    with pytest.raises(
        BadInput, match=r"clip 'Assembly' stays, .* needed by 1 sealing job it shows"
    ):
        clips.remove_clip(project, filled.clip.id)


def test_a_grabbed_still_can_be_taken_back(project, clip):
    photo, edit = clips.grab_still(project, clip.id, 3000)

    inverse = project.apply(edit)
    project.apply(inverse)

    assert project.find(Photo, photo.id) is None


def test_a_project_open_for_looking_only_takes_no_video_and_no_still(project, clip):
    kept = list(project.clip_files.all_paths())
    with open_project(project.folder, project.cache_folder, project.resources_folder) as second:
        with pytest.raises(ReadOnlyProject):
            clips.add_clip(second, VIDEO)
        with pytest.raises(ReadOnlyProject):
            clips.grab_still(second, clip.id, 2000)

    assert list(project.clip_files.all_paths()) == kept
    assert list(project.photo_files.all_paths()) == []
