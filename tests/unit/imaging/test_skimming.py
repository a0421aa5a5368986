"""Key frames, quickly. Which frames these are is read from the packets with PyAV itself."""

from pathlib import Path

import av
import numpy as np
import pytest

from leaktrack.imaging.sampling import frame_at
from leaktrack.imaging.skimming import KeyFrames
from leaktrack.model.errors import UnreadableVideo

VIDEO = Path(__file__).parents[3] / "demo_project" / "assembly_video.mp4"


@pytest.fixture(scope="module")
def key_times():
    with av.open(str(VIDEO)) as video:
        stream = video.streams.video[0]
        keys = [packet.pts for packet in video.demux(stream) if packet.is_keyframe]
        return [round((pts - keys[0]) * stream.time_base * 1000) for pts in keys if pts is not None]


def test_the_key_frame_before_a_time_is_shown(key_times):
    asked = [0, 1, *key_times, *(each + 40 for each in key_times), 78_000, 1_000_000, 3_000]
    with KeyFrames(VIDEO) as video:
        shown = [video.frame_before(ms, 320).at_ms for ms in asked]

    assert shown == [max(each for each in key_times if each <= ms) for ms in asked]


def test_it_is_the_same_picture_as_the_exact_one_made_small(key_times):
    with KeyFrames(VIDEO) as video:
        small = video.frame_before(key_times[1], 320).rgb
    whole = frame_at(VIDEO, key_times[1]).rgb
    blocks = whole[: 4 * 180, : 4 * 320].reshape(180, 4, 320, 4, 3).mean(axis=(1, 3))

    assert small.shape == (180, 320, 3)
    assert np.abs(small.astype(float) - blocks).mean() < 8  # of 255; another frame differs by 40


def test_a_picture_is_never_enlarged():
    with KeyFrames(VIDEO) as video:
        assert video.frame_before(0, 5000).rgb.shape == (720, 1280, 3)


def test_a_file_that_is_no_video_is_refused(tmp_path):
    file = tmp_path / "notes.mp4"
    file.write_text("bolt 7")

    with pytest.raises(UnreadableVideo, match=r"notes\.mp4"):
        KeyFrames(file)
