from datetime import UTC, datetime

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from leaktrack.gui.panels.joint_strip_chart import JointStripChart
from leaktrack.gui.panels.joint_strip_layout import (
    StripScale,
    label_step,
    mark_at,
    next_mark_station,
    place_words,
)
from leaktrack.gui.panels.joint_strip_panel import JointStripPanel, joint_in_hand
from leaktrack.gui.session import Session
from leaktrack.model.engine import Joint, SealKind, Zone
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.joint_strip import JointStrip, StripBolt, StripMark, StripRow
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.sealing_job import SealingJob
from leaktrack.model.shapes import PointPx

SEALED_AT = datetime(2026, 3, 7, tzinfo=UTC)
LOOKED_AT = datetime(2026, 3, 9, tzinfo=UTC)
JOINT = Joint(zone_id=new_id(), name="Head cover", seal_kind=SealKind.GASKET)
MARK = StripMark(
    new_id(), 7, new_id(), new_id(), 4.6, 4.0, 5.5, SeepageGrade.SEEP, PointPx(300, 200)
)
LOOK = StripRow(
    LOOKED_AT,
    Inspection(engine_id=new_id(), looked_at=LOOKED_AT, title="After 60 km"),
    None,
    (MARK,),
    ((1.0, 8.0),),
)
JOB = StripRow(SEALED_AT, None, SealingJob(joint_id=JOINT.id, done_at=SEALED_AT))
STRIP = JointStrip(
    JOINT, tuple(StripBolt(n, float(n), None) for n in range(1, 11)), 1.0, 10.0, (JOB, LOOK)
)


def test_a_station_and_its_place_on_the_chart_lead_to_each_other():
    scale = StripScale(1.0, 10.0, left_px=100, width_px=900)

    assert scale.x(5.5) == pytest.approx(550)
    assert scale.station(550) == pytest.approx(5.5)
    assert scale.station(-40) == 1.0
    assert scale.station(4000) == 10.0


def test_bolt_numbers_thin_out_where_there_is_no_room():
    assert label_step(18, width_px=900, label_px=20) == 1
    assert label_step(60, width_px=300, label_px=20) == 5


@pytest.mark.parametrize(
    ("station", "words"),
    [
        (4.6, "Bolt 4.6, After 60 km: leak 7, 2 seep, wet from bolt 4 to 5.5"),
        (2.0, "Bolt 2, After 60 km: no mark"),
        (9.0, "Bolt 9, After 60 km: not seen"),
    ],
)
def test_a_place_is_read_out_in_words_and_not_seen_is_never_dry(station, words):
    assert place_words(STRIP, LOOK, station, slack=0.1) == words


def test_a_seal_is_read_out_as_a_break():
    assert "sealed on 2026-03-07" in place_words(STRIP, JOB, 3.0, slack=0.1)


def test_a_mark_is_met_a_little_beside_its_wet_stretch_too():
    assert mark_at(LOOK, 5.7, slack=0.3) is MARK
    assert mark_at(LOOK, 5.9, slack=0.3) is None


def test_the_next_mark_lies_on_the_side_that_was_asked_for():
    assert next_mark_station([MARK], 1.0, 1) == 4.6
    assert next_mark_station([MARK], 1.0, -1) is None
    assert next_mark_station([MARK], 4.6, 1) is None


def test_another_zone_brings_its_own_joint_to_hand():
    here, there = (Zone(face_id=new_id(), name=name) for name in ("here", "there"))
    joint = Joint(zone_id=here.id, name="here", seal_kind=SealKind.GASKET)
    other = Joint(zone_id=there.id, name="there", seal_kind=SealKind.GASKET)
    joints = ((joint, here), (other, there))

    assert joint_in_hand(joints, joint.id, here.id) == joint.id
    assert joint_in_hand(joints, joint.id, there.id) == other.id
    assert joint_in_hand(joints, None, None) == joint.id
    assert joint_in_hand((), joint.id, here.id) is None


@pytest.fixture
def chart(qtbot) -> JointStripChart:
    chart = JointStripChart(target_px=24)
    qtbot.addWidget(chart)
    chart.resize(900, 120)
    chart.show()
    chart.set_strip(STRIP)
    return chart


def test_the_cursor_walks_by_keys_and_is_read_out(chart: JointStripChart):
    QTest.keyClick(chart, Qt.Key.Key_Right)
    assert chart.cursor_place == (LOOK, pytest.approx(1.1))

    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert chart.cursor_place == (LOOK, pytest.approx(2.1))

    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    assert chart.cursor_place == (LOOK, pytest.approx(4.6))
    assert "leak 7" in chart.accessibleDescription()

    QTest.keyClick(chart, Qt.Key.Key_End)
    assert chart.cursor_place == (LOOK, 10.0)

    QTest.keyClick(chart, Qt.Key.Key_Down)
    assert chart.cursor_place == (JOB, 10.0)


def test_tab_leaves_the_chart(qtbot):
    room = QWidget()
    qtbot.addWidget(room)
    chart, button = JointStripChart(target_px=24), QPushButton("Next")
    rows = QVBoxLayout(room)
    rows.addWidget(chart)
    rows.addWidget(button)
    room.show()
    room.activateWindow()
    qtbot.waitUntil(room.isActiveWindow)
    chart.set_strip(STRIP)
    chart.setFocus()

    QTest.keyClick(chart, Qt.Key.Key_Tab)

    assert button.hasFocus()


def test_enter_chooses_the_place_of_the_cursor(chart: JointStripChart, qtbot):
    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)

    with qtbot.waitSignal(chart.place_chosen) as chosen:
        QTest.keyClick(chart, Qt.Key.Key_Return)

    assert chosen.args == [LOOK, 4.6]


def test_a_click_chooses_what_lies_there(chart: JointStripChart, qtbot):
    place = chart.row_rect(0).center()
    place.setX(round(chart.scale().x(5.0)))

    with qtbot.waitSignal(chart.place_chosen) as chosen:
        QTest.mouseClick(chart, Qt.MouseButton.LeftButton, pos=place)

    assert chosen.args[0] is LOOK
    assert chosen.args[1] == pytest.approx(5.0, abs=0.05)


def test_an_edit_leaves_the_cursor_where_it_was(chart: JointStripChart):
    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)

    chart.set_strip(STRIP)

    assert chart.cursor_place == (LOOK, 2.0)


@pytest.fixture
def panel(session: Session, qtbot) -> JointStripPanel:
    panel = JointStripPanel(session)
    qtbot.addWidget(panel)
    panel.resize(900, 220)
    panel.show()
    qtbot.waitUntil(lambda: panel.chart.cursor_place is not None, timeout=10_000)
    return panel


def test_a_joint_picked_elsewhere_is_named_in_the_picker(panel: JointStripPanel, session: Session):
    joint = session.project.all(Joint)[-1]

    session.pick(joint_id=joint.id, zone_id=joint.zone_id)

    assert panel.picker.currentData() == joint.id


def test_a_mark_that_is_chosen_shows_its_photo(panel: JointStripPanel, session: Session, qtbot):
    with qtbot.waitSignal(session.photo_wanted) as wanted:
        panel.chart.place_chosen.emit(LOOK, 4.6)

    assert wanted.args == [MARK.photo_id, MARK.at_px]


def test_a_seal_that_is_chosen_opens_its_sealing_job(panel: JointStripPanel, session: Session):
    panel.chart.place_chosen.emit(JOB, 4.6)

    assert session.entry == (EntryKind.SEALING_JOB, JOB.job.id)


def test_a_joint_that_is_chosen_comes_to_hand_with_its_zone(
    panel: JointStripPanel, session: Session
):
    last = panel.picker.count() - 1
    panel.picker.setCurrentIndex(last)
    panel.picker.activated.emit(last)

    joint = session.project.get(Joint, session.joint_id)
    assert session.zone_id == joint.zone_id
