"""A walk through a video meets its key frames at their own times, and more where they are far."""

import json
import shutil
import subprocess

import numpy as np
import pytest

from leaktrack.imaging.footage.walking import LOOK_EVERY_MS, Walker
from leaktrack.imaging.sampling import VideoReader
from leaktrack.model.errors import UnreadableVideo
from tests.pictures import casting
from tests.videos import panned, write_video

# A telephone's varying frame rate, in ms.
TIMES = [0, 33, 67, 140, 500, 533, 580, 900, 1400, 1433, 1900, 2700, 2733, 3300, 3340, 3360]


@pytest.fixture(scope="module")
def picture():
    return casting(320, 240)


@pytest.fixture(scope="module")
def video(tmp_path_factory, picture):
    path = tmp_path_factory.mktemp("videos") / "clip.mp4"
    return write_video(path, [(ms, picture) for ms in TIMES], key_every=4)


def times_of(path, from_ms=0):
    with Walker(path) as walker:
        return [look.at_ms for look in walker.looks(from_ms)]


def test_key_frames_near_each_other_are_all_that_is_looked_at(video):
    assert times_of(video) == TIMES[::4]


@pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe is not installed")
def test_their_times_agree_with_ffprobe(video):
    # Outside check: ffprobe of FFmpeg.
    entries = ["-skip_frame", "nokey", "-select_streams", "v", "-show_entries", "frame=pts_time"]
    told = subprocess.run(
        ["ffprobe", "-v", "error", *entries, "-of", "json", str(video)],
        capture_output=True,
        check=True,
    )
    expected = [round(float(one["pts_time"]) * 1000) for one in json.loads(told.stdout)["frames"]]

    assert times_of(video) == expected


def test_a_walk_goes_on_from_a_time(video):
    assert times_of(video, from_ms=580) == [at for at in TIMES[::4] if at >= 580]


def test_where_key_frames_are_far_apart_others_are_looked_at(tmp_path, picture):
    path = write_video(tmp_path / "clip.mp4", panned(picture, 5), key_every=1000)
    met = times_of(path)

    assert met[0] == 0
    assert met[-1] >= 4000
    assert min(np.diff(met)) >= LOOK_EVERY_MS
    assert max(np.diff(met)) <= 2 * LOOK_EVERY_MS


def test_pictures_of_a_turned_camera_stand_upright(tmp_path, picture):
    path = write_video(tmp_path / "clip.mp4", [(0, picture), (900, picture)], rotation_deg=90)
    with Walker(path) as walker:
        look = next(walker.looks())

    assert look.size == (240, 320)
    assert look.grey.shape == (320, 240)
    upright = np.rot90(picture.mean(axis=2)).astype(float)
    assert np.corrcoef(look.grey.ravel(), upright.ravel())[0, 1] > 0.95


def test_a_video_that_breaks_off_is_walked_as_far_as_it_goes(tmp_path, picture):
    path = write_video(tmp_path / "clip.mkv", panned(picture, 4), key_every=5)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    met = times_of(path)

    assert met[0] == 0
    assert 1000 <= met[-1] <= 3000


def test_what_is_no_video_is_told(tmp_path):
    path = tmp_path / "words.mp4"
    path.write_bytes(b"only words in here " * 50)

    with pytest.raises(UnreadableVideo, match=r"^words\.mp4 cannot be opened as a video"):
        times_of(path)


def test_what_is_looked_at_is_the_same_where_side_pictures_are_left_out(tmp_path, picture):
    path = write_video(tmp_path / "clip.mp4", panned(picture, 4), key_every=1000)
    times = times_of(path)

    with VideoReader(path) as whole, VideoReader(path, is_sparse=True) as sparse:
        for at_ms in times:
            one, other = whole.frame_at(at_ms), sparse.frame_at(at_ms)
            assert one.at_ms == other.at_ms
            assert (one.rgb == other.rgb).all()
