"""The player on the demo's video. Its true frame times are read with PyAV itself."""

import itertools
import shutil

import av
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from leaktrack.gui.footage.frame_loader import MOST_STEPS, Wish
from leaktrack.gui.footage.player import Player
from leaktrack.model.photo import Clip
from leaktrack.places import demo_source
from tests.gui.filling_in import click, press


@pytest.fixture(scope="module")
def frame_times():
    with av.open(str(demo_source() / "assembly_video.mp4")) as video:
        stream = video.streams.video[0]
        first = itertools.islice(video.decode(stream), 60)
        return [round(frame.pts * stream.time_base * 1000) for frame in first]


@pytest.fixture
def clip(project):
    return project.all(Clip)[0]


@pytest.fixture
def player(session, clip, qtbot):
    made = Player(session)
    qtbot.addWidget(made)
    made.resize(640, 520)
    made.show()
    with qtbot.waitSignal(made.moved, timeout=10_000):
        made.open_clip(clip.id)
    return made


def test_it_shows_the_first_frame_with_its_time(player):
    assert player.at_ms == 0
    assert player.code_label.text() == "0:00:00.000 / 0:01:19.000"
    assert (player.view.image.width(), player.view.image.height()) == (1280, 720)


def test_it_steps_frame_by_frame_with_comma_and_period(player, frame_times, qtbot):
    qtbot.keyClicks(player.view, "...")
    qtbot.waitUntil(lambda: player.at_ms == frame_times[3])

    qtbot.keyClicks(player.view, ",")
    qtbot.waitUntil(lambda: player.at_ms == frame_times[2])


def test_it_steps_with_the_arrow_keys_and_buttons(player, frame_times, qtbot):
    press(player.view, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: player.at_ms == frame_times[1])

    press(player.view, Qt.Key.Key_Left)
    qtbot.waitUntil(lambda: player.at_ms == 0)


def test_shift_and_an_arrow_go_one_second(player, frame_times, qtbot):
    QTest.keyClick(player.view, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)

    qtbot.waitUntil(lambda: player.at_ms == max(each for each in frame_times if each <= 1000))


def test_home_and_end_go_to_the_ends(player, clip, qtbot):
    press(player.view, Qt.Key.Key_End)
    qtbot.waitUntil(lambda: player.at_ms > clip.duration_ms - 200)

    press(player.view, Qt.Key.Key_Home)
    qtbot.waitUntil(lambda: player.at_ms == 0)


def test_scrubbing_drops_stale_frames_and_ends_at_the_last_one_wanted(player, qtbot):
    shown = []
    player.moved.connect(shown.append)

    for value in range(0, 60_000, 500):
        player.slider.setValue(value)
    qtbot.waitUntil(lambda: not player.loader.is_busy, timeout=10_000)

    assert 59_400 <= player.at_ms <= 59_500
    assert len(shown) < 10


def test_a_span_is_marked_and_kept_with_keys(player, frame_times, qtbot):
    kept = []
    player.span_kept.connect(lambda start, end: kept.append((start, end)))

    qtbot.keyClicks(player.view, "i")
    qtbot.keyClicks(player.view, "....")
    qtbot.waitUntil(lambda: player.at_ms == frame_times[4])
    qtbot.keyClicks(player.view, "o")
    press(player.view, Qt.Key.Key_Return)

    assert kept == [(0, frame_times[4])]


def test_an_end_before_the_start_is_forgotten(player, qtbot):
    player.jump(5000)
    qtbot.waitUntil(lambda: 4900 < player.at_ms <= 5000)
    click(player.start_button)
    player.jump(2000)
    qtbot.waitUntil(lambda: 1900 < player.at_ms <= 2000)

    click(player.end_button)

    assert player.span == (None, player.at_ms)
    assert not player.keep_button.isEnabled()


def test_a_still_is_asked_for_at_the_frame_shown(player, frame_times, qtbot):
    wanted = []
    player.still_wanted.connect(wanted.append)
    qtbot.keyClicks(player.view, "..")
    qtbot.waitUntil(lambda: player.at_ms == frame_times[2])

    qtbot.keyClicks(player.view, "g")

    assert wanted == [frame_times[2]]


def test_it_plays_until_nobody_looks(player, qtbot):
    press(player.view, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: player.at_ms > 300, timeout=10_000)

    player.hide()
    qtbot.waitUntil(lambda: not player.loader.is_busy)
    stopped_at = player.at_ms
    qtbot.wait(150)

    assert player.at_ms == stopped_at


def test_a_missing_file_is_told_in_place_of_the_picture(session, clip, qtbot):
    shutil.rmtree(session.project.folder / "clips")
    player = Player(session)
    qtbot.addWidget(player)
    player.show()

    player.open_clip(clip.id)

    qtbot.waitUntil(lambda: "Put the file back there" in player.view.notice)
    assert not player.still_button.isEnabled()


def test_a_clip_opened_meanwhile_does_not_show_the_old_ones_frame(player, clip, qtbot):
    player.jump(30_000)

    player.open_clip(None)
    qtbot.waitUntil(lambda: not player.loader.is_busy)

    assert player.view.image.isNull()
    assert player.view.notice == "No clip is open."


def test_a_held_key_does_not_run_on_for_ever():
    assert Wish().stepped(1000).steps == MOST_STEPS
