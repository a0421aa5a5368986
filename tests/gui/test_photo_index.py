"""Photos are got ready while nobody waits for anything."""

import subprocess
import sys
import threading
from datetime import datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from leaktrack.gui import photo_index
from leaktrack.gui.panels.status_area import StatusArea
from leaktrack.gui.photo_index import PhotoIndex
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.photo import Photo, TakenAt
from leaktrack.model.record import added, removed
from leaktrack.workflows import index_photos
from leaktrack.workflows.find_features import has_features
from tests.gui.inspected_engine import inspect_engine


@pytest.fixture
def session(empty_session, tmp_path, monkeypatch):
    """An engine with three photos; nothing is kept of any other test's photos."""
    monkeypatch.setattr(photo_index, "CALM_MS", 100)
    monkeypatch.setattr(photo_index, "LOOK_EVERY_MS", 20)
    empty_session.project.cache_folder = tmp_path / "cache"
    empty_session.filled = inspect_engine(empty_session.project, tmp_path)
    return empty_session


@pytest.fixture
def taken(monkeypatch):
    """The photos that were got ready, in order, without the networks' work."""
    order = []
    monkeypatch.setattr(photo_index, "index_photo", lambda _project, each: order.append(each))
    return order


@pytest.fixture
def index(session):
    made = PhotoIndex(session)
    yield made
    made.close()


def photo_of(session, hour):
    zone_id = session.filled.cover.id
    return Photo(
        sha256=f"{hour:064x}",
        file_type="jpg",
        original_name=f"{hour}.jpg",
        size_bytes=1,
        width_px=10,
        height_px=10,
        zone_id=zone_id,
        taken=TakenAt(datetime.fromisoformat(f"2026-03-21T{hour:02}:00")),
    )


def test_photos_are_taken_one_after_the_other_the_newest_first(qtbot, session, taken):
    session.project.apply(added(photo_of(session, 8), photo_of(session, 12), photo_of(session, 10)))
    index = PhotoIndex(session)

    qtbot.waitUntil(lambda: index.left == 0, timeout=10_000)
    index.close()

    names = [session.project.get(Photo, photo_id).original_name for photo_id in taken]
    assert names[:3] == ["12.jpg", "10.jpg", "8.jpg"]
    assert len(names) == 6


def test_photos_that_show_no_zone_are_left_alone(session):
    loose = Photo(
        sha256="f" * 64, file_type="jpg", original_name="x.jpg", size_bytes=1, width_px=9,
        height_px=9,
    )  # fmt: skip
    session.project.apply(added(loose))

    assert loose.id not in index_photos.photos_to_index(session.project)


def test_it_rests_while_somebody_waits_for_other_work(qtbot, session, taken, index):
    may_end = threading.Event()
    session.background.run(lambda: may_end.wait(10), then=lambda _: None, owner=session)

    QTest.qWait(400)
    taken_meanwhile = list(taken)
    may_end.set()
    qtbot.waitUntil(lambda: index.left == 0, timeout=10_000)

    assert taken_meanwhile == []
    assert len(taken) == 3


def test_a_file_that_is_gone_is_left_out_and_the_others_are_taken(qtbot, session, monkeypatch):
    gone = session.filled.cover_first.id
    taken = []

    def index_or_fail(_project, photo_id):
        if photo_id == gone:
            raise UnreadablePhoto("cover_1.jpg is missing.")
        taken.append(photo_id)

    monkeypatch.setattr(photo_index, "index_photo", index_or_fail)
    index = PhotoIndex(session)
    qtbot.waitUntil(lambda: index.left == 0, timeout=10_000)
    session.records_changed.emit()  # and it is not tried again at each change
    QTest.qWait(300)
    index.close()

    assert set(taken) == {session.filled.cover_second.id, session.filled.pan_first.id}
    assert gone not in taken


def test_a_photo_that_was_removed_meanwhile_does_no_harm(session):
    session.project.apply(removed(session.filled.pan_first))

    index_photos.index_photo(session.project, session.filled.pan_first.id)

    assert not has_features(session.project, session.filled.pan_first)


def test_the_row_at_the_foot_counts_and_pauses_and_stops(qtbot, session, monkeypatch):
    may_go_on = threading.Semaphore(1)
    monkeypatch.setattr(photo_index, "index_photo", lambda *_: may_go_on.acquire(timeout=10))
    index = PhotoIndex(session)
    area = StatusArea()
    qtbot.addWidget(area)
    area.show()
    area.index_row.watch(index)
    qtbot.waitUntil(lambda: index.done == 1, timeout=10_000)

    words = area.index_row.words.text()
    QTest.mouseClick(area.index_row.pause_button, Qt.MouseButton.LeftButton)
    may_go_on.release(2)
    qtbot.waitUntil(lambda: index.done == 2, timeout=10_000)  # the one under way
    QTest.qWait(300)
    done_while_paused = index.done
    can_go_on = area.index_row.pause_button.text()
    QTest.mouseClick(area.index_row.stop_button, Qt.MouseButton.LeftButton)
    index.close()

    assert words == "Getting photos ready to compare: 1 of 3"
    assert (done_while_paused, can_go_on) == (2, "Go on")
    assert index.left == 0
    assert not area.index_row.isVisible()


def test_nothing_is_said_where_all_photos_are_ready(qtbot, session, taken):
    area = StatusArea()
    qtbot.addWidget(area)
    area.show()

    area.index_row.watch(None)

    assert not area.index_row.isVisible()


def test_photos_that_are_ready_are_not_taken_again_and_load_nothing(session):
    """Opening a project whose photos are ready loads no network: seen from a program of its own."""
    code = (
        "import sys, leaktrack.gui.photo_index, leaktrack.gui.main_window;"
        "print(*{name.partition('.')[0] for name in sys.modules})"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert {"PySide6", "sqlalchemy"} <= set(ran.stdout.split())
    assert {"cv2", "onnxruntime", "scipy"}.isdisjoint(ran.stdout.split())


def test_the_window_makes_an_index_and_puts_it_away(open_window):
    index = open_window.photo_index
    assert index is not None

    open_window.close_project()

    assert open_window.photo_index is None
    assert not open_window.status.index_row.isVisible()


def test_photos_that_are_added_later_are_taken_too(qtbot, session, taken, index):
    qtbot.waitUntil(lambda: index.left == 0, timeout=10_000)
    late = photo_of(session, 15)

    session.do("Add a photo", added(late))

    qtbot.waitUntil(lambda: late.id in taken, timeout=10_000)
