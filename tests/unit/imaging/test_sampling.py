"""Video frames come with exact times, upright, and damage is told in one sentence."""

import json
import shutil
import subprocess
from datetime import datetime
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from leaktrack.imaging.sampling import (
    VideoReader,
    frame_after,
    frame_at,
    frame_before,
    video_facts,
)
from leaktrack.model.errors import UnreadableVideo
from leaktrack.model.photo import TakenAt

# Times of the frames of the test video, in ticks of 1/90000 s: a telephone's varying frame rate.
TICKS = [0, 3003, 6006, 12012, 15000, 21000, 24003, 45045, 48048, 90090, 93093, 96096]
TIMES_MS = [0, 33, 67, 133, 167, 233, 267, 500, 534, 1001, 1034, 1068]


def tone(number):
    return 20 + 18 * number


def write_video(path, *, rotation_deg=0, created=None, first_tick=0):
    """Write frames whose grey tells their number; the upper left quarter is lighter."""
    with av.open(str(path), "w") as container:
        if created:
            container.metadata["creation_time"] = created
        stream = container.add_stream("h264", rate=30, options={"g": "5", "crf": "8"})
        stream.width, stream.height, stream.pix_fmt = 96, 64, "yuv420p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, 90_000)
        if rotation_deg:
            stream.set_display_rotation(rotation_deg)
        for number, tick in enumerate(TICKS):
            rgb = np.full((64, 96, 3), tone(number), np.uint8)
            rgb[:32, :48] += 30
            frame = av.VideoFrame.from_ndarray(rgb, format="rgb24")
            frame.pts, frame.time_base = first_tick + tick, stream.time_base
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return path


@pytest.fixture
def video(tmp_path):
    return write_video(tmp_path / "clip.mp4", created="2026-03-08T15:20:00Z")


def number_of(frame):
    return round((int(frame.rgb[-8, -8, 1]) - 20) / 18)


def test_stepping_forward_meets_every_frame_at_its_own_time(video):
    with VideoReader(video) as reader:
        met = [reader.frame_at(0)]
        for _ in TICKS[1:]:
            met.append(reader.frame_after(met[-1].at_ms))
        beyond = reader.frame_after(met[-1].at_ms)

    assert [frame.at_ms for frame in met] == TIMES_MS
    assert [number_of(frame) for frame in met] == list(range(len(TICKS)))
    assert beyond is None


def test_stepping_backward_meets_the_same_frames(video):
    with VideoReader(video) as reader:
        met = [reader.frame_at(99_999)]
        for _ in TICKS[1:]:
            met.append(reader.frame_before(met[-1].at_ms))
        beyond = reader.frame_before(met[-1].at_ms)

    assert [frame.at_ms for frame in met] == TIMES_MS[::-1]
    assert [number_of(frame) for frame in met] == list(range(len(TICKS)))[::-1]
    assert beyond is None


@pytest.mark.parametrize(
    ("ms", "number"),
    [(-5, 0), (0, 0), (32, 0), (33, 1), (166, 3), (167, 4), (499, 6), (1000, 8), (1001, 9)],
)
def test_the_frame_at_a_time_is_the_one_on_the_screen(video, ms, number):
    frame = frame_at(video, ms)

    assert (number_of(frame), frame.at_ms) == (number, TIMES_MS[number])


def test_asking_for_a_frame_by_its_own_time_gives_it_again(video):
    again = [frame_at(video, ms).at_ms for ms in TIMES_MS]

    assert again == TIMES_MS


def test_the_neighbours_of_a_frame_are_found_without_stepping(video):
    assert frame_before(video, 500).at_ms == 267
    assert frame_after(video, 500).at_ms == 534


def test_times_count_from_the_first_frame(tmp_path):
    late = write_video(tmp_path / "clip.ts", first_tick=450_000)

    assert frame_at(late, 0).at_ms == 0
    assert [frame_at(late, ms).at_ms for ms in TIMES_MS] == TIMES_MS


@pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe is not installed")
def test_times_agree_with_ffprobe(video):
    # Outside check: ffprobe of FFmpeg.
    entries = ["-select_streams", "v", "-show_entries", "frame=pts_time", "-of", "json"]
    told = subprocess.run(
        ["ffprobe", "-v", "error", *entries, str(video)], capture_output=True, check=True
    )
    expected = [round(float(f["pts_time"]) * 1000) for f in json.loads(told.stdout)["frames"]]

    with VideoReader(video) as reader:
        found = [reader.frame_at(ms).at_ms for ms in expected]

    assert found == expected


def test_facts_tell_size_length_and_time_of_recording(video):
    facts = video_facts(video)

    assert (facts.width_px, facts.height_px) == (96, 64)
    assert 1068 <= facts.duration_ms <= 1102
    assert facts.recorded == TakenAt(datetime.fromisoformat("2026-03-08T15:20:00"), 0)


def test_a_video_of_a_camera_without_clock_has_no_time(tmp_path):
    assert video_facts(write_video(tmp_path / "clip.mp4")).recorded is None


@pytest.mark.parametrize(
    ("rotation_deg", "size", "light_corner"),
    [(90, (64, 96), (-8, 8)), (-90, (64, 96), (8, -8)), (180, (96, 64), (-8, -8))],
)
def test_a_video_from_a_turned_camera_stands_upright(tmp_path, rotation_deg, size, light_corner):
    turned = write_video(tmp_path / "clip.mp4", rotation_deg=rotation_deg)

    facts, frame = video_facts(turned), frame_at(turned, 0)

    assert (facts.width_px, facts.height_px) == size
    assert frame.rgb.shape == (size[1], size[0], 3)
    assert frame.rgb[light_corner].mean() > 40


def test_frames_are_contiguous_rgb(video):
    frame = frame_at(video, 0)

    assert frame.rgb.flags.c_contiguous
    assert frame.rgb.dtype == np.uint8


def test_a_cut_off_video_is_refused_by_name(video):
    whole = video.read_bytes()
    video.write_bytes(whole[: len(whole) // 2])

    with pytest.raises(UnreadableVideo, match=r"^clip\.mp4 cannot be opened as a video"):
        video_facts(video)


@pytest.mark.parametrize("content", [b"", b"only words in here " * 50])
def test_a_file_that_is_no_video_is_refused_by_name(tmp_path, content):
    path = tmp_path / "clip.mp4"
    path.write_bytes(content)

    with pytest.raises(UnreadableVideo, match=r"^clip\.mp4 cannot be opened as a video"):
        frame_at(path, 0)


def test_a_missing_video_is_refused_by_name():
    with pytest.raises(UnreadableVideo, match=r"^clip\.mp4 cannot be opened.*No such file"):
        frame_at(Path("nowhere") / "clip.mp4", 0)


def test_a_sound_file_has_no_picture(tmp_path):
    path = tmp_path / "clip.wav"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("pcm_s16le", rate=8000)
        sound = av.AudioFrame.from_ndarray(np.zeros((1, 800), np.int16), "s16", "mono")
        sound.sample_rate = 8000
        container.mux(stream.encode(sound))

    with pytest.raises(UnreadableVideo, match=r"^clip\.wav has no picture"):
        video_facts(path)


def test_a_video_that_breaks_off_shows_what_is_there(tmp_path):
    path = write_video(tmp_path / "clip.ts")
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * 0.75)])

    with VideoReader(path) as reader:
        last = reader.frame_at(99_999)

    assert 0 < last.at_ms < TIMES_MS[-1]


@pytest.mark.parametrize(("to_ms", "seeks"), [(1400, 0), (2600, 1)])
def test_a_later_frame_is_come_to_by_decoding_on_unless_a_key_frame_is_nearer(
    tmp_path, monkeypatch, to_ms, seeks
):
    with av.open(str(tmp_path / "far.mp4"), "w") as container:
        options = {"g": "16", "crf": "8", "sc_threshold": "0"}  # a key frame every 1.6 s
        stream = container.add_stream("h264", rate=10, options=options)
        stream.width, stream.height, stream.pix_fmt = 96, 64, "yuv420p"
        for number in range(30):
            rgb = np.full((64, 96, 3), 20 + 7 * number, np.uint8)
            container.mux(stream.encode(av.VideoFrame.from_ndarray(rgb, format="rgb24")))
        container.mux(stream.encode())
    with VideoReader(tmp_path / "far.mp4") as reader:
        reader.frame_at(0)
        sought = []
        seek = VideoReader._seek
        monkeypatch.setattr(
            VideoReader, "_seek", lambda self, ms: (sought.append(ms), seek(self, ms))
        )
        frame = reader.frame_at(to_ms)

    assert len(sought) == seeks
    assert frame.at_ms == to_ms
    assert round((int(frame.rgb[32, 48, 1]) - 20) / 7) == to_ms / 100
