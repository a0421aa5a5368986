"""Lists of photos answer at once and load what is seen, the newest request first."""

import builtins
import time
from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from leaktrack.gui.item_models import thumbnails as thumbnails_module
from leaktrack.gui.item_models.photos_model import PhotoRow, PhotosModel
from leaktrack.gui.item_models.thumbnails import KEPT, Thumbnails
from leaktrack.gui.photo_grid import PhotoGrid
from leaktrack.model.photo import Photo


def rows_of(number):
    return [
        PhotoRow(
            Photo(
                id=UUID(int=place + 1),
                sha256=f"{place:064x}",
                file_type="jpg",
                original_name=f"photo_{place}.jpg",
                size_bytes=1,
                width_px=40,
                height_px=30,
            ),
            f"photo {place}",
        )
        for place in range(number)
    ]


@pytest.fixture
def loads(monkeypatch):
    """Let thumbnails come from nowhere, and take down which were asked for, in order."""
    asked = []

    def thumbnail(_project, photo_id, side_px):
        asked.append(photo_id.int)
        return np.zeros((side_px * 3 // 4, side_px, 3), np.uint8)

    monkeypatch.setattr(thumbnails_module, "thumbnail", thumbnail)
    return asked


@pytest.fixture
def slow_loads(monkeypatch):
    """Let each thumbnail take a while."""
    asked = []

    def thumbnail(_project, photo_id, side_px):
        asked.append(photo_id.int)
        time.sleep(0.02)
        return np.zeros((side_px * 3 // 4, side_px, 3), np.uint8)

    monkeypatch.setattr(thumbnails_module, "thumbnail", thumbnail)
    return asked


def grid_of(qtbot, session, number):
    model = PhotosModel(session, 160)
    grid = PhotoGrid(model)
    qtbot.addWidget(grid)
    grid.resize(760, 560)
    model.set_rows(rows_of(number))
    grid.show()
    return grid


def test_asking_the_model_opens_no_file(session, monkeypatch, loads):
    model = PhotosModel(session, 160)
    model.set_rows(rows_of(50))
    monkeypatch.setattr(Path, "open", lambda *_: pytest.fail("opened a file"))
    monkeypatch.setattr(Path, "read_bytes", lambda *_: pytest.fail("read a file"))
    monkeypatch.setattr(builtins, "open", lambda *_: pytest.fail("opened a file"))

    pictures = [
        model.index(row).data(Qt.ItemDataRole.DecorationRole) for row in range(model.rowCount())
    ]

    assert pictures == [None] * 50


def test_the_photos_model_keeps_qts_rules(qtbot, session, loads):
    model = PhotosModel(session, 160)
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)

    model.set_rows(rows_of(5))
    model.set_rows(rows_of(3))
    model.set_rows(rows_of(3))

    assert model.rowCount() == 3
    assert tester.model() is model


def test_a_picture_arrives_and_is_kept(qtbot, session, loads):
    store = Thumbnails(session, 160)

    first = store.get(UUID(int=1))
    with qtbot.waitSignal(store.ready):
        pass
    second = store.get(UUID(int=1))

    assert first is None
    assert second.width() == 160
    assert loads == [1]


def test_on_a_sharp_screen_the_picture_has_twice_the_pixels(qtbot, session, loads):
    store = Thumbnails(session, 160)
    store.set_device_ratio(2)

    with qtbot.waitSignal(store.ready):
        store.get(UUID(int=1))

    picture = store.get(UUID(int=1))
    assert picture.width() == 320
    assert picture.deviceIndependentSize().width() == 160


def test_the_newest_request_is_served_first(qtbot, session, slow_loads):
    store = Thumbnails(session, 160)
    for number in range(1, 21):
        store.get(UUID(int=number))

    qtbot.waitUntil(lambda: len(slow_loads) == 20)

    assert slow_loads[2:5] == [20, 19, 18]


def test_requests_for_photos_that_nobody_sees_any_more_are_dropped(qtbot, session, slow_loads):
    store = Thumbnails(session, 160)
    for number in range(1, 41):
        store.get(UUID(int=number))

    store.keep_only({UUID(int=7)})
    qtbot.waitUntil(lambda: store.get(UUID(int=7)) is not None)

    assert len(slow_loads) == 3


def test_memory_stays_bounded(qtbot, session, loads):
    store = Thumbnails(session, 4)
    seen = []
    store.ready.connect(seen.append)
    for number in range(1, KEPT + 51):
        store.get(UUID(int=number))
        qtbot.waitUntil(lambda number=number: len(seen) == number)

    assert store.held == KEPT


def test_a_photo_whose_file_is_gone_is_asked_for_once(qtbot, session, project, inspected):
    project.photo_path(inspected.cover_first).unlink()
    store = Thumbnails(session, 160)

    with qtbot.waitSignal(store.ready):
        store.get(inspected.cover_first.id)

    assert store.get(inspected.cover_first.id) is None
    assert store.is_unreadable(inspected.cover_first.id)


def test_only_visible_photos_are_loaded(qtbot, session, loads):
    grid_of(qtbot, session, 5000)

    qtbot.waitUntil(lambda: len(loads) >= 8)
    qtbot.wait(200)

    assert len(loads) < 60


def test_scrolling_through_thousands_does_not_wait_for_pictures(qtbot, session, slow_loads):
    grid = grid_of(qtbot, session, 5000)
    bar = grid.verticalScrollBar()
    slowest = 0.0
    for step in range(1, 41):
        began = time.perf_counter()
        bar.setValue(bar.maximum() * step // 40)
        grid.viewport().repaint()
        slowest = max(slowest, time.perf_counter() - began)

    # Loading what is passed, at 20 ms each, would take more than 200 ms per step.
    assert slowest < 0.15


def test_enter_opens_and_delete_asks_for_removal(qtbot, session, loads):
    grid = grid_of(qtbot, session, 6)
    opened, unwanted = [], []
    grid.opened.connect(opened.append)
    grid.removal_wanted.connect(unwanted.append)
    grid.select_photo(UUID(int=3))

    qtbot.keyClick(grid, Qt.Key.Key_Return)
    qtbot.keyClick(grid, Qt.Key.Key_Delete)

    assert opened == [UUID(int=3)]
    assert unwanted == [(UUID(int=3),)]


def test_what_is_selected_stays_selected_when_only_texts_change(qtbot, session, loads):
    grid = grid_of(qtbot, session, 6)
    grid.select_photo(UUID(int=3))

    grid.model().set_rows([PhotoRow(row.photo, "other") for row in rows_of(6)])

    assert grid.selected_ids == (UUID(int=3),)
