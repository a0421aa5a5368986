"""Spans as WebVTT. FFmpeg's own reader is the outside check of what is written."""

import json
import shutil
import subprocess

import av
import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.footage_span import NamedSpan
from leaktrack.report.webvtt import as_webvtt, read_webvtt

SPANS = (
    NamedSpan(8_240, 24_760, "Bank 1: bead & <bolts> --> closed"),
    NamedSpan(57_240, 71_001, ""),
    NamedSpan(7_200_000, 7_200_001, "after two hours"),
)
HASH = "ab" * 32


def test_what_is_written_is_read_back_alike():
    assert read_webvtt(as_webvtt(SPANS, HASH), "a.vtt") == (SPANS, HASH)


def test_chapters_stand_in_the_order_of_their_start():
    told, _ = read_webvtt(as_webvtt(reversed(SPANS)), "a.vtt")

    assert told == SPANS


def test_a_marked_frame_lasts_a_millisecond_since_a_cue_must_end_after_it_begins():
    told, _ = read_webvtt(as_webvtt([NamedSpan(500, 500, "frame")]), "a.vtt")

    assert told == (NamedSpan(500, 501, "frame"),)


def test_ffmpeg_reads_the_same_times_and_words(tmp_path):
    file = tmp_path / "spans.vtt"
    file.write_text(as_webvtt(SPANS, HASH), encoding="utf-8")

    with av.open(str(file)) as opened:
        stream = opened.streams.subtitles[0]
        packets = [packet for packet in opened.demux(stream) if packet.size or packet.duration]
        ms = 1000 * stream.time_base
        told = [(packet.pts * ms, (packet.pts + packet.duration) * ms) for packet in packets]
        assert stream.codec_context.name == "webvtt"

    assert told == [(each.start_ms, each.end_ms) for each in SPANS]


@pytest.mark.skipif(shutil.which("ffprobe") is None, reason="FFmpeg's ffprobe is not installed")
def test_ffprobe_reads_the_same_times(tmp_path):
    file = tmp_path / "spans.vtt"
    file.write_text(as_webvtt(SPANS, HASH), encoding="utf-8")
    command = ["ffprobe", "-v", "error", "-of", "json", "-show_packets", str(file)]

    packets = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)["packets"]

    told = [(float(each["pts_time"]), float(each["duration_time"])) for each in packets]
    meant = [(each.start_ms / 1000, (each.end_ms - each.start_ms) / 1000) for each in SPANS]
    assert told == [pytest.approx(each) for each in meant]


def test_files_of_other_programs_are_read():
    """Identifiers, settings, notes, styles, tags and short times, as W3C WebVTT 4 allows them."""
    text = (
        "\ufeffWEBVTT - by hand\r\nKind: chapters\r\n\r\nSTYLE\r\n::cue { color: red }\r\n\r\n"
        "NOTE a remark\r\n\r\nfirst\r\n00:01.500 --> 00:02.000 align:start\r\n"
        "<v Ann>Bead &amp; <b>bolts</b>\r\nsecond line\r\n\r\n01:00:00.000 --> 01:00:01.000"
    )

    spans, sha256 = read_webvtt(text, "a.vtt")

    assert spans == (
        NamedSpan(1_500, 2_000, "Bead & bolts second line"),
        NamedSpan(3_600_000, 3_601_000, ""),
    )
    assert sha256 == ""


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("1\n00:01.000 --> 00:02.000", "line 1: a WebVTT file begins with WEBVTT"),
        ("WEBVTT\n\n00:01,000 --> 00:02.000", "line 3: '00:01,000' is no time"),
        ("WEBVTT\n\n00:01.000 --> ", "line 3: '' is no time"),
        ("WEBVTT\n\none\n00:61.000 --> 01:02.000", "line 4: '00:61.000' is no time"),
        ("WEBVTT\n\n00:02.000 --> 00:02.000", "line 3: the span ends before it begins"),
        ("WEBVTT\n\n00:01.000 --> 00:02.000\nfine\n\nlost words", "line 6: 'lost words'"),
    ],
)
def test_a_bad_line_is_named(text, complaint):
    with pytest.raises(BadInput) as told:
        read_webvtt(text, "a.vtt")

    assert f"a.vtt, {complaint}" in str(told.value)
