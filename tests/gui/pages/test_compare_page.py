"""Compare: two inspections, their photos laid over each other, and how each leak fared."""

import threading
import time
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from leaktrack.gui.item_models.changes_model import ChangesModel
from leaktrack.gui.pages import compare_page, laying_over
from leaktrack.gui.pages.blinker import FASTEST_HZ
from leaktrack.gui.pages.compare_page import ComparePage
from leaktrack.gui.pages.inspection_pairs import unlike
from leaktrack.gui.pages.photo_comparison import Mode
from leaktrack.gui.photo_view import ViewState
from leaktrack.model.errors import Cancelled
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Light
from leaktrack.model.record import added, removed, replaced
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.follow_places import PlaceMesh
from leaktrack.workflows.lay_over import Overlay
from tests.gui.filling_in import click, press
from tests.gui.inspected_engine import inspect_engine
from tests.gui.looking import unnamed
from tests.leaking_engine import at, tell

LAID_MS = 60_000
BLACK = np.zeros((80, 100, 3), np.uint8)


@pytest.fixture
def inspected(project, session, tmp_path):
    filled = inspect_engine(project, tmp_path)
    session.engine_id = filled.engine.id
    return filled


@pytest.fixture
def told_state(monkeypatch):
    """Returns a function that fixes how laying over ends."""

    def fix(state: str, share_seen: float = 1.0) -> None:
        is_valid = np.zeros((80, 100), bool)
        is_valid[:, : round(100 * share_seen)] = True
        overlay = Overlay(BLACK, BLACK, is_valid, state)
        monkeypatch.setattr(laying_over, "lay_over", lambda *_: overlay)

    fix("aligned")
    return fix


def shown_page(qtbot, session, inspected):
    session.pick(
        entry=(EntryKind.INSPECTION, inspected.second.id),
        earlier_entry=(EntryKind.INSPECTION, inspected.first.id),
        zone_id=inspected.cover.id,
    )
    made = ComparePage(session)
    qtbot.addWidget(made)
    made.resize(1200, 800)
    made.show()
    qtbot.waitUntil(lambda: made.photos.laid is not None, timeout=LAID_MS)
    return made


@pytest.fixture
def page(qtbot, session, inspected, told_state):
    return shown_page(qtbot, session, inspected)


def table_texts(page):
    model = page.table.changes
    return [
        [model.index(row, column).data() for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def test_photos_of_the_same_place_are_laid_over_each_other(qtbot, session, inspected):
    page = shown_page(qtbot, session, inspected)

    assert page.photos.laid.state == "aligned"
    assert page.photos.mode is Mode.OVER
    assert page.photos.notice.text() == ""


def test_the_slider_fades_from_the_earlier_to_the_later_photo(page):
    page.photos.slider.setFocus()

    press(page.photos.slider, Qt.Key.Key_End)
    at_end = page.photos.faded.density
    press(page.photos.slider, Qt.Key.Key_Home)

    assert at_end == 0
    assert page.photos.faded.density == 1


def test_s_swaps_the_two_photos(page):
    page.photos.slider.setValue(100)

    press(page.photos.faded, Qt.Key.Key_S)
    first = page.photos.faded.density
    press(page.photos.faded, Qt.Key.Key_S)

    assert (first, page.photos.faded.density) == (1, 0)


def test_the_button_swaps_them_too(page):
    page.photos.slider.setValue(0)

    click(page.photos.swap_button)

    assert page.photos.faded.density == 0


def test_side_by_side_both_pan_and_zoom_together(page):
    click(page.photos.side_button)
    both = page.photos.both

    both.later.center_on_point(PointPx(250, 200), 3.0)

    assert as_numbers(both.earlier.view_state()) == pytest.approx(
        as_numbers(both.later.view_state()), abs=0.01
    )


def test_the_earlier_one_leads_as_well(page):
    click(page.photos.side_button)
    both = page.photos.both

    both.earlier.zoom_in()

    assert both.later.view_state().zoom == pytest.approx(1.25, abs=0.01)


def test_side_by_side_both_show_the_same_place_as_large_as_the_other(page, inspected):
    """The earlier photo was taken from twice as near: 2 px of it for each px of the later one."""
    click(page.photos.side_button)
    both = page.photos.both
    both.lock(twice_as_near())

    both.later.center_on_point(PointPx(250, 200), 3.0)

    width, height = inspected.cover_first.width_px, inspected.cover_first.height_px
    state = both.earlier.view_state()
    middle = (state.centre_x * width - 0.5, state.centre_y * height - 0.5)
    assert middle == pytest.approx((2 * 250 - 300, 2 * 200 - 200), abs=2)
    assert state.zoom == pytest.approx(1.5, abs=0.01)


def test_side_by_side_the_way_back_leads_to_the_same_place(page, inspected):
    click(page.photos.side_button)
    both = page.photos.both
    both.lock(twice_as_near())

    both.earlier.center_on_point(PointPx(300, 180), 3.0)

    state = both.later.view_state()
    width, height = inspected.cover_second.width_px, inspected.cover_second.height_px
    middle = (state.centre_x * width - 0.5, state.centre_y * height - 0.5)
    assert middle == pytest.approx(((300 + 300) / 2, (180 + 200) / 2), abs=2)
    assert state.zoom == pytest.approx(6.0, abs=0.02)


def test_nothing_blinks_before_somebody_wants_it(page):
    assert not page.photos.blinker.is_on


def test_b_blinks_and_b_again_stops(qtbot, page):
    page.photos.slider.setValue(0)
    page.photos.blinker.rate_box.setCurrentIndex(page.photos.blinker.rate_box.count() - 1)

    press(page.photos.faded, Qt.Key.Key_B)
    turns = []
    page.photos.slider.valueChanged.connect(turns.append)
    qtbot.waitUntil(lambda: len(turns) >= 2, timeout=5_000)
    press(page.photos.faded, Qt.Key.Key_B)

    assert set(turns) == {0, 100}
    assert not page.photos.blinker.is_on
    assert not page.photos.blinker.button.isChecked()


def test_the_button_blinks_and_leaving_the_page_stops_it(page):
    click(page.photos.blinker.button)
    was_on = page.photos.blinker.is_on

    page.hide()

    assert (was_on, page.photos.blinker.is_on) == (True, False)


def test_no_rate_is_faster_than_three_turns_a_second(page):
    """WCAG 2.2, 2.3.1: three flashes a second at most."""
    blinker = page.photos.blinker
    intervals = []
    for row in range(blinker.rate_box.count()):
        blinker.rate_box.setCurrentIndex(row)
        intervals.append(blinker.interval_ms)

    assert FASTEST_HZ == 3
    assert min(intervals) >= 333
    assert len(set(intervals)) == len(intervals) > 1


def test_moving_the_slider_by_hand_stops_blinking(page):
    click(page.photos.blinker.button)

    page.photos.slider.sliderPressed.emit()

    assert not page.photos.blinker.is_on


def test_the_change_shows_what_became_darker_and_says_what_the_colours_mean(
    qtbot, session, inspected, monkeypatch
):
    darker = np.zeros((80, 100), np.float32)
    darker[20:40, 20:40] = 0.7
    darker[50:70, 20:40] = -0.7
    can_tell = np.ones((80, 100), bool)
    can_tell[:, 75:] = False
    overlay = Overlay(BLACK, BLACK, np.ones((80, 100), bool), "aligned", None, darker, can_tell)
    monkeypatch.setattr(laying_over, "lay_over", lambda *_: overlay)
    page = shown_page(qtbot, session, inspected)

    click(page.photos.change_button)

    heat = page.photos.laid.heat
    orange, blue, between = (heat.pixelColor(30, y) for y in (30, 54, 45))
    assert page.photos.mode is Mode.CHANGE
    assert page.photos.faded.density == 0
    assert orange.red() > orange.blue()
    assert blue.blue() > blue.red()
    assert between.alpha() == 0
    assert heat.pixelColor(30, 57).alpha() == 0  # lighter places are ruled
    assert page.photos.change_legend.isVisible()
    assert page.photos.change_legend.untold.text() == "Striped (25 %): not assessed."
    assert not page.photos.slider.isVisible()


def test_leaving_the_page_drops_the_work_and_coming_back_takes_it_up(
    qtbot, session, inspected, monkeypatch
):
    began, ended = threading.Event(), threading.Event()

    def endless(_project, _before, _after, _longest, progress):
        began.set()
        try:
            while True:
                progress(0, 0, "")
                time.sleep(0.005)
        except Cancelled:
            ended.set()
            raise

    monkeypatch.setattr(laying_over, "lay_over", endless)
    session.pick(
        entry=(EntryKind.INSPECTION, inspected.second.id),
        earlier_entry=(EntryKind.INSPECTION, inspected.first.id),
        zone_id=inspected.cover.id,
    )
    page = ComparePage(session)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(began.is_set, timeout=5_000)

    page.hide()

    assert ended.wait(0.2)
    overlay = Overlay(BLACK, BLACK, np.ones((80, 100), bool), "aligned")
    monkeypatch.setattr(laying_over, "lay_over", lambda *_: overlay)
    page.show()
    qtbot.waitUntil(lambda: page.photos.laid is not None, timeout=5_000)


def test_photos_that_cannot_be_laid_over_each_other_stand_side_by_side(
    qtbot, session, inspected, told_state
):
    told_state("failed")

    page = shown_page(qtbot, session, inspected)

    assert "cannot be laid over each other" in page.photos.notice.text()
    assert page.photos.mode is Mode.SIDE
    assert not page.photos.over_button.isEnabled()
    assert page.photos.both.earlier.photo_id == inspected.cover_first.id


def test_a_missing_file_is_said_and_the_photos_stand_side_by_side(
    qtbot, session, project, inspected
):
    project.photo_path(inspected.cover_first).unlink()

    page = shown_page(qtbot, session, inspected)

    assert "side by side" in page.photos.notice.text()
    assert page.photos.mode is Mode.SIDE


def test_an_unreliable_overlay_says_so(qtbot, session, inspected, told_state):
    told_state("unreliable")

    page = shown_page(qtbot, session, inspected)

    assert "trust your eyes" in page.photos.notice.text()
    assert page.photos.mode is Mode.OVER


def test_places_that_the_earlier_photo_does_not_show_are_striped_and_named(
    qtbot, session, inspected, told_state
):
    told_state("aligned", share_seen=0.75)

    page = shown_page(qtbot, session, inspected)

    assert page.photos.legend.text().startswith("Striped (25 %)")
    assert page.photos.laid.hatching.pixelColor(2, 2).alpha() == 0
    assert page.photos.laid.hatching.pixelColor(97, 29).alpha() == 255


def test_the_table_says_before_after_and_change_in_words(page, session, inspected):
    mark = LeakMark(
        leak_id=inspected.leak.id,
        photo_id=inspected.cover_second.id,
        grade=SeepageGrade.DRIP,
    )

    session.do("mark", added(mark))

    assert table_texts(page) == [["1", "2 seep\n– mm² (no scale)", "4 drip", "growing"]]


def test_a_leak_that_nobody_saw_is_said_to_be_not_seen(page):
    assert table_texts(page) == [["1", "2 seep\n– mm² (no scale)", "not seen", "not seen"]]


def test_a_known_area_and_length_stand_below_the_grade(page, session, inspected):
    photo = inspected.cover_first

    session.do("scale", replaced(photo, replace(photo, mm_per_px=0.1)))

    assert table_texts(page)[0][1] == "2 seep\n40 mm²\n9 mm"


def test_a_measured_area_is_told_with_its_standard_deviation(
    qtbot, session, inspected, told_state, monkeypatch
):
    def at_once(_project, comparison, _progress):
        (one,) = comparison.changes
        measures = {"area_mm2": 38.24, "area_sigma_mm2": 1.63, "extent_mm": 9.1}
        before = replace(one.before, extent_sigma_mm=0.4, **measures)
        return replace(comparison, changes=(replace(one, before=before),))

    monkeypatch.setattr(compare_page, "measured", at_once)
    page = shown_page(qtbot, session, inspected)

    qtbot.waitUntil(
        lambda: table_texts(page)[0][1] == "2 seep\n38.2 ± 1.6 mm²\n9.1 ± 0.4 mm",
        timeout=5_000,
    )


def test_a_row_is_read_out_as_one_sentence(page):
    cell = page.table.changes.index(0, 0)

    assert cell.data(Qt.ItemDataRole.AccessibleTextRole) == (
        "Leak 1, Bank 1 cover: not seen; before 2 seep, – mm² (no scale), after not seen"
    )


def test_choosing_a_row_takes_its_leak_in_hand_and_keeps_the_pair(page, session, inspected):
    page.table.setFocus()

    press(page.table, Qt.Key.Key_Down)

    assert session.leak_id == inspected.leak.id
    assert session.earlier_entry == (EntryKind.INSPECTION, inspected.first.id)


def test_leaks_of_all_zones_are_shown_on_demand(page, session, inspected):
    session.pick(entry=session.entry, earlier_entry=session.earlier_entry, zone_id=inspected.pan.id)
    assert table_texts(page) == []

    click(page.all_box)

    assert [row[0] for row in table_texts(page)] == ["1"]


def test_a_zone_without_photos_at_one_of_them_says_which(page, session, inspected):
    session.pick(entry=session.entry, earlier_entry=session.earlier_entry, zone_id=inspected.pan.id)

    assert page.no_photos.text().startswith("Bank 1: Pan was not photographed at: Second look.")
    assert not page.photos.isVisible()


def test_other_inspections_are_chosen_in_the_boxes(qtbot, session, project):
    story = tell(project)
    session.engine_id = story.engine.id
    page = ComparePage(session)
    qtbot.addWidget(page)
    page.show()
    earlier = story.inspections[1]
    page.earlier_box.setCurrentText(earlier.title)

    page.earlier_box.activated.emit(page.earlier_box.currentIndex())

    assert session.earlier_entry == (EntryKind.INSPECTION, earlier.id)
    assert session.entry == (EntryKind.INSPECTION, story.inspections[3].id)


def test_one_inspection_is_compared_with_the_one_before_it(qtbot, session, project):
    story = tell(project)
    session.engine_id = story.engine.id
    session.pick(entry=(EntryKind.INSPECTION, story.inspections[2].id), zone_id=story.cover.id)
    page = ComparePage(session)
    qtbot.addWidget(page)
    page.show()

    assert page.earlier_box.currentText() == "After 25 minutes"
    assert page.later_box.currentText() == "After 4 hours"


def test_what_was_not_alike_is_said_with_both_figures():
    before = look("03-21 15:00", oil_c=58, light=Light.WHITE, cleaned_at=at("03-20 10:00"))
    after = look("04-04 16:00", oil_c=52, light=Light.UV, cleaned_at=at("03-20 10:00"))

    assert unlike(before, after, "metric") == (
        "Oil temperature: 58 °C then, 52 °C now",
        "Light: white light then, UV lamp now",
        "Not cleaned in between: what was there then may still be there now",
    )


def test_units_are_those_of_the_person():
    before = look("03-21 15:00", oil_c=58, cleaned_at=at("03-20 10:00"))
    after = look("04-04 16:00", oil_c=52, cleaned_at=at("03-30 10:00"))

    assert unlike(before, after, "imperial") == ("Oil temperature: 136.4 °F then, 125.6 °F now",)


def test_two_looks_made_alike_are_not_complained_about():
    before = look("03-21 15:00", oil_c=58, light=Light.WHITE, cleaned_at=at("03-20 10:00"))
    after = look("04-04 16:00", oil_c=57, light=Light.WHITE, cleaned_at=at("03-30 10:00"))

    assert unlike(before, after, "metric") == ()


def test_a_single_inspection_says_that_two_are_needed(qtbot, session, project, inspected):
    session.do("forget", removed(inspected.mark, inspected.line, inspected.leak))
    project.apply(removed(inspected.cover_second, inspected.second))
    page = ComparePage(session)
    qtbot.addWidget(page)
    page.show()

    assert page.stack.currentIndex() != 0


def test_the_model_keeps_its_promises(page, qtbot):
    model = ChangesModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)

    model.set_rows([page.table.changes.row(0)])

    assert model.rowCount() == 1
    assert tester.model() is model


def test_every_control_has_a_name(page):
    assert unnamed(page) == []


def twice_as_near():
    """Return a mesh over the later photo: its place (x, y) is (2 x - 300, 2 y - 200) before."""
    y, x = np.mgrid[0:751:50, 0:1001:50].astype(float)
    return PlaceMesh(50.0, np.stack([2 * x - 300, 2 * y - 200], axis=2), np.ones(x.shape, bool))


def look(when, **fields):
    return Inspection(engine_id=new_id(), looked_at=at(when), **fields)


def as_numbers(state: ViewState):
    return (state.centre_x, state.centre_y, state.zoom)
