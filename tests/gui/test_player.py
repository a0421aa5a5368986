"""The player on the demo's video. Its true frame times are read with PyAV itself."""

import itertools
import shutil
from dataclasses import replace
from datetime import datetime

import av
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from leaktrack.gui.footage.clip_pictures import SIDE_PX
from leaktrack.gui.footage.frame_loader import COARSE_PX, MOST_STEPS, Wish
from leaktrack.gui.footage.player import Player
from leaktrack.gui.footage.timeline_rows import ClipSpan, RowKind, TimelineRow
from leaktrack.model.photo import Clip, TakenAt
from leaktrack.places import demo_source
from leaktrack.workflows.clips import add_clip, amend_clip
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
    assert player.transport.code_label.text() == "0:00:00.000 / 0:01:19.000"
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
    click(player.transport.start_button)
    player.jump(2000)
    qtbot.waitUntil(lambda: 1900 < player.at_ms <= 2000)

    click(player.transport.end_button)

    assert player.span == (None, player.at_ms)
    assert not player.transport.keep_button.isEnabled()


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
    assert not player.transport.still_button.isEnabled()


def test_a_clip_opened_meanwhile_does_not_show_the_old_ones_frame(player, clip, qtbot):
    player.jump(30_000)

    player.open_clip(None)
    qtbot.waitUntil(lambda: not player.loader.is_busy)

    assert player.view.image.isNull()
    assert player.view.notice == "No clip is open."


def test_a_held_key_does_not_run_on_for_ever():
    assert Wish().stepped(1000).steps == MOST_STEPS


def drag(player, *shares):
    """Drag the playhead over shares of the timeline and let it go."""
    timeline = player.slider
    places = [
        QPoint(round(timeline.x_of(round(share * timeline.maximum()))), 10) for share in shares
    ]
    QTest.mousePress(timeline, Qt.MouseButton.LeftButton, pos=places[0])
    for place in places[1:]:
        QTest.mouseMove(timeline, place)
        QTest.qWait(15)
    QTest.mouseRelease(timeline, Qt.MouseButton.LeftButton, pos=places[-1])


def test_dragging_shows_pictures_at_once_and_the_frame_itself_at_rest(player, qtbot):
    coarse = []
    player.loader.skimmed.connect(lambda image, at_ms: coarse.append((image.width(), at_ms)))

    drag(player, *(share / 20 for share in range(2, 19)))
    qtbot.waitUntil(lambda: player.is_exact and not player.loader.is_busy, timeout=10_000)

    assert coarse
    assert all(width == COARSE_PX for width, _ in coarse)
    assert player.at_ms == pytest.approx(0.9 * player.slider.maximum(), abs=400)
    assert player.view.image.width() == 1280  # the very frame, with all its pixels


def test_no_span_is_marked_on_a_picture_from_nearby(player, qtbot):
    player.loader.scrub(20_000)
    qtbot.waitUntil(lambda: not player.is_exact, timeout=10_000)

    player.mark_start()

    assert player.span == (None, None)
    assert player.transport.code_label.text().startswith("about 0:00:20 /")


def test_the_speed_is_chosen_with_plus_and_minus(player, qtbot):
    qtbot.keyClicks(player.view, "---")
    slowest = player.transport.speed
    qtbot.keyClicks(player.view, "++++++")

    assert (slowest, player.transport.speed) == (0.25, 4.0)


def test_page_down_goes_to_the_next_span_and_page_up_back(player, clip, qtbot):
    spans = (ClipSpan(clip.id, 9_000, 12_000, 0.8, 10_000), ClipSpan(clip.id, 40_000, 41_000))
    player.show_rows([TimelineRow("Found", RowKind.FOUND, spans)])

    press(player.view, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: 9_900 < player.at_ms <= 10_000)
    press(player.view, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: 39_900 < player.at_ms <= 40_000)
    press(player.view, Qt.Key.Key_PageUp)

    qtbot.waitUntil(lambda: 9_900 < player.at_ms <= 10_000)


def test_the_timeline_tells_its_rows_in_words(player, clip):
    span = ClipSpan(clip.id, 9_000, 12_000, 0.83)

    player.show_rows([TimelineRow("Found", RowKind.FOUND, (span,))])

    words = player.slider.accessibleDescription()
    assert words == "Found: 0:00:09.000 to 0:00:12.000, 83 %"


def test_hovering_shows_a_small_picture_of_that_place(player, qtbot):
    timeline = player.slider

    QTest.mouseMove(timeline, QPoint(round(timeline.x_of(30_000)), 10))
    qtbot.waitUntil(lambda: player.pictures.held > 0 and not player.pictures.is_busy)

    assert player.hover.popup.isVisible()
    assert player.hover.code.text() == "0:00:30"
    assert 0 < player.hover.picture.pixmap().width() <= SIDE_PX

    QTest.mouseMove(timeline, QPoint(1, 1))
    assert not player.hover.popup.isVisible()


@pytest.fixture
def later_clip(session, clip, tmp_path):
    """Another video of the same day, recorded an hour later: the start of the first one."""
    file = tmp_path / "later.mp4"
    with (
        av.open(str(demo_source() / "assembly_video.mp4")) as source,
        av.open(str(file), "w") as made,
    ):
        stream = made.add_stream_from_template(source.streams.video[0])
        for packet in source.demux(source.streams.video[0]):
            if packet.dts is not None and packet.pts * packet.time_base < 17:
                packet.stream = stream
                made.mux(packet)
    recorded = TakenAt(datetime.fromisoformat("2026-03-07T18:00"))
    earlier = TakenAt(datetime.fromisoformat("2026-03-07T17:00"))
    session.do("Date clip", amend_clip(clip, replace(clip, recorded=earlier)))
    later, edit = add_clip(session.project, file, recorded=recorded)
    session.do("Add footage", edit)
    return later


def test_clips_of_a_day_play_as_one_in_the_order_of_their_recording(
    player, clip, later_clip, qtbot
):
    player.open_clip(later_clip.id, 2000)
    qtbot.waitUntil(lambda: player.is_exact and 1900 < player.at_ms <= 2000)

    assert player.slider.maximum() == clip.duration_ms + later_clip.duration_ms
    assert player.slider.value() == clip.duration_ms + player.at_ms
    assert player.transport.code_label.text().startswith("later  0:00:0")

    player.slider.setValue(1000)

    qtbot.waitUntil(lambda: player.clip_id == clip.id and player.at_ms == 1000)
