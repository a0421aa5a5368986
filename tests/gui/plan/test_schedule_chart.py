"""The bars of a schedule: lanes, nights, keys."""

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.plan.schedule_chart import ScheduleChart
from leaktrack.gui.plan.schedule_keys import neighbour
from leaktrack.gui.plan.schedule_layout import Clock, lanes
from leaktrack.model.redo_problem import Slot, WorkKind
from leaktrack.model.work_sheet import DatedSlot, WorkSheet
from tests.gui.filling_in import press


def dated(key, kind, worker, *spans):
    hours = sum(end - begin for begin, end in spans)
    return DatedSlot(Slot(key, kind, worker, spans[0][0], spans[0][0] + hours), spans)


OFF = dated("intake", WorkKind.TAKE_OFF, 1, (0.0, 6.0))
SEAL = dated("sump", WorkKind.TASK, 1, (6.0, 8.0), (24.0, 25.0))
CLEAN = dated("screen", WorkKind.TASK, 2, (6.0, 7.0))
CURE = dated("sump", WorkKind.CURE, None, (25.0, 37.0))
OTHER_CURE = dated("screen", WorkKind.CURE, None, (7.0, 30.0))
NOTHING = dated("look", WorkKind.TASK, 2, (7.0, 7.0))
SLOTS = (OFF, SEAL, CLEAN, CURE, OTHER_CURE, NOTHING)
NAMES = {"intake": "Intake", "sump": "Sump", "screen": "Screen"}


@pytest.fixture
def chart(qtbot):
    made = ScheduleChart()
    qtbot.addWidget(made)
    made.resize(800, 200)
    sheet = WorkSheet(days=(), slots=SLOTS, parts=(), cautions=(), day_hours=8.0, ready_h=37.0)
    made.show_sheet(sheet, 3, NAMES)
    made.show()
    return made


def test_each_person_and_each_cure_at_the_same_time_has_a_lane():
    found = lanes(SLOTS, 3)

    assert [(lane.worker, lane.slots) for lane in found] == [
        (1, (OFF, SEAL)),
        (2, (CLEAN,)),  # what takes no time has no bar
        (3, ()),
        (None, (OTHER_CURE,)),
        (None, (CURE,)),
    ]


def test_nights_are_narrow_but_days_are_all_alike():
    clock = Clock(8.0)

    assert clock.place(26.0) - clock.place(24.0) == pytest.approx(2.0)
    assert clock.place(24.0) - clock.place(8.0) < 2.0  # 16 hours of night
    assert list(clock.nights(37.0)) == [(8.0, 24.0), (32.0, 37.0)]


def test_work_over_the_night_has_a_bar_on_both_days(chart):
    bars = chart.bars_of(0, SEAL)

    assert len(bars) == 2
    assert bars[0].right() < bars[1].left()
    assert chart.bar_at(bars[1].center()) == SEAL


def test_arrows_lead_from_bar_to_bar_and_say_what_it_is(chart):
    told = []
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Down):
        press(chart, key)
        told.append(chart.taken)

    assert told == [OFF, SEAL, CLEAN, OTHER_CURE]
    assert chart.accessibleDescription() == (
        "Let cure: Screen, from day 1, after 7 h, to day 2, after 6 h (23 h), nobody is needed"
    )
    assert neighbour(chart.lanes, CURE, Qt.Key.Key_Home) == OFF
    assert neighbour(chart.lanes, OFF, Qt.Key.Key_End) == CURE
    assert neighbour(chart.lanes, OFF, Qt.Key.Key_Left) is None


def test_zooming_in_keeps_the_place_below_the_mouse(chart):
    at = chart.bars_of(0, SEAL)[1].center()

    chart.zoom_by(4.0, at.x())

    assert chart.bars_of(0, SEAL)[1].center().x() == pytest.approx(at.x(), abs=4)
    assert chart.horizontalScrollBar().maximum() > 0
    press(chart, Qt.Key.Key_0)
    assert chart.zoom == 1.0
