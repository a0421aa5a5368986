"""The commands say when footage shows something, and keep what was indexed."""

import json

import pytest

from leaktrack.cli import footage
from leaktrack.cli.main import FAILED, STOPPED, main
from leaktrack.cli.printing import TimedLine
from leaktrack.model.footage import FootageAnswer, Searched
from tests.pictures import casting, write_photo
from tests.videos import panned, write_video

CONTRACT = {"video", "start_s", "end_s", "best_s", "score"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("footage")
    engine = casting(720, 540, 1)
    write_video(folder / "film.mp4", panned(engine, 1.5), key_every=5)
    write_photo(folder / "engine.jpg", engine)
    (folder / "words.mp4").write_text("not a video " * 40)
    return folder


def test_spans_are_told_as_promised(folder, json_of):
    found = json_of("footage", "find", str(folder / "engine.jpg"), str(folder / "film.mp4"))

    (span,) = found["spans"]
    assert span.keys() >= CONTRACT
    assert span["video"] == str(folder / "film.mp4")
    assert 0 <= span["start_s"] <= span["best_s"] <= span["end_s"] <= 1.5
    assert 0.5 < span["score"] <= 1
    assert found["warnings"] == []


def test_a_video_that_is_none_is_told_and_the_others_are_indexed(folder, capsys):
    status = main(
        ["footage", "index", *(str(folder / f"{name}.mp4") for name in ("words", "film"))]
    )
    said = capsys.readouterr()

    assert status == FAILED
    assert said.err.startswith("leaktrack: words.mp4 cannot be opened as a video")
    assert said.out.startswith("film.mp4: 0:00:01.433 of 0:00:01.433 indexed")


def test_an_index_is_one_document(folder, json_of):
    found = json_of("footage", "index", str(folder / "film.mp4"), str(folder / "words.mp4"))

    assert [(one["indexed_s"], one["whole"]) for one in found["videos"]] == [(1.433, True)]
    assert [one["video"] for one in found["unreadable"]] == [str(folder / "words.mp4")]


@pytest.mark.parametrize("box", ["1,2,3", "a,b,c,d", "9000,0,10,10"])
def test_a_box_that_cannot_be_is_refused_before_any_work(folder, capsys, box):
    arguments = ["footage", "find", str(folder / "engine.jpg"), str(folder / "film.mp4")]

    assert main([*arguments, "--box", box]) == FAILED
    assert "box" in capsys.readouterr().err


def test_stopped_by_hand_it_says_that_what_was_done_is_kept(folder, capsys, monkeypatch):
    def pressed(line, done, total, what):
        raise KeyboardInterrupt

    monkeypatch.setattr(TimedLine, "__call__", pressed)

    assert main(["footage", "index", str(folder / "film.mp4")]) == STOPPED
    assert "kept" in capsys.readouterr().err


def test_the_time_left_is_told_once_the_pace_is_known(monkeypatch):
    now = 100.0
    monkeypatch.setattr("leaktrack.cli.printing.time.monotonic", lambda: now)
    line = TimedLine("Indexing")
    told = [line._told(0, 1000, "a.mp4")]
    now = 108.0
    told.append(line._told(100, 1100, "a.mp4"))
    told.append(line._told(0, 500, "b.mp4"))

    assert told == ["a.mp4, 0 %", "a.mp4, 9 %, about 80 s left", "b.mp4, 0 %"]


def test_without_a_way_the_usage_is_told(capsys):
    assert main(["footage"]) == 2
    assert "COMMAND" in capsys.readouterr().err


def test_nothing_found_is_an_empty_list(folder, capsys):
    write_photo(folder / "nothing.jpg", casting(720, 540, 9)[::-1] // 4)
    main(["footage", "find", str(folder / "nothing.jpg"), str(folder / "film.mp4"), "--json"])

    assert json.loads(capsys.readouterr().out)["spans"] == []


@pytest.mark.parametrize(
    ("videos", "words", "code"),
    [
        (
            ("film", "words"),
            "In what could be searched, nothing was found that shows nothing.jpg.",
            0,
        ),
        (
            ("words",),
            "No video could be searched, so nobody knows whether one shows nothing.jpg.",
            1,
        ),
    ],
)
def test_of_what_could_not_be_read_nothing_is_claimed(
    folder, capsys, monkeypatch, videos, words, code
):
    searched = Searched.PART if "film" in videos else Searched.NOTHING
    answer = FootageAnswer(spans=(), notes=("words.mp4 is no video.",), searched=searched)
    monkeypatch.setattr(footage, "find_in_videos", lambda *_: answer)

    told = main(
        ["footage", "find", "nothing.jpg", *(str(folder / f"{name}.mp4") for name in videos)]
    )

    assert told == code
    assert words in " ".join(capsys.readouterr().out.split())
