from dataclasses import replace
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QScrollArea, QVBoxLayout, QWidget

from leaktrack.gui.panels.joint_strip_chart import JointStripChart
from leaktrack.gui.panels.joint_strip_layout import (
    StripHeights,
    StripScale,
    complement,
    findings,
    label_step,
    mark_at,
    next_station,
    place_in_photo,
    spread,
    stops,
)
from leaktrack.gui.panels.joint_strip_painting import footage_rect
from leaktrack.gui.panels.joint_strip_panel import JointStripPanel, joint_in_hand, span_words
from leaktrack.gui.panels.joint_strip_words import place_words
from leaktrack.gui.session import Session
from leaktrack.model.engine import Joint, SealKind, Zone
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.joint_strip import JointStrip, StripBolt, StripMark, StripRow, StripSight
from leaktrack.model.leak import SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Photo
from leaktrack.model.sealing_job import Deviation, DeviationKind, Evidence, SealingJob
from leaktrack.model.shapes import PointPx
from leaktrack.workflows.gather_beads import strip_bead
from tests.beads import a_bead_audit

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
BEAD = strip_bead(
    a_bead_audit(stations=(1.0, 9.0), gaps=((140.0, 145.0),), glares=((250.0, 270.0),)), None
)
"""A gap at bolts 3.8 to 3.9, glare at 6 to 6.4, and nothing shown past bolt 9."""
CLIP_ID = new_id()
SPANS = tuple(
    Evidence(sealing_job_id=JOB.job.id, clip_id=CLIP_ID, start_ms=start, end_ms=start + 4000)
    for start in (12_000, 30_000)
)
SEALED = replace(JOB, beads=(BEAD,), cured_h=40.0, spans=SPANS[:1])
WITH_BEAD = replace(STRIP, rows=(SEALED, LOOK))
RING = replace(
    STRIP, joint=replace(JOINT, is_closed=True), bolts=STRIP.bolts[:4], last=5.0, rows=(JOB, LOOK)
)


def words(strip, row, station, slack=0.1):
    return place_words(strip, strip.rows.index(row), station, slack)


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
    assert place_words(STRIP, 1, station, slack=0.1) == words


def test_a_seal_is_read_out_as_a_break():
    told = words(STRIP, JOB, 3.0)

    assert told == "Bolt 3, sealed on 2026-03-07: no bead was measured"


@pytest.mark.parametrize(
    ("station", "told"),
    [
        (3.85, "Bolt 3.9, sealed on 2026-03-07: gap, 5.0 mm long. Ran after 40 h"),
        (
            6.2,
            "Bolt 6.2, sealed on 2026-03-07: the bead cannot be read here, glare. Ran after 40 h",
        ),
        (9.6, "Bolt 9.6, sealed on 2026-03-07: no photo shows the bead here. Ran after 40 h"),
    ],
)
def test_a_seal_says_how_its_bead_is_at_a_place(station, told):
    assert words(WITH_BEAD, SEALED, station) == told


def test_a_sound_bead_is_read_out_with_the_widths_allowed():
    assert "mm wide, allowed 2 to 4 mm" in words(WITH_BEAD, SEALED, 2.0)


def test_a_leak_is_told_with_the_gap_it_lies_at():
    near = replace(LOOK, marks=(replace(MARK, station=3.8, wet_from=3.7, sigma=0.1, sigma_mm=4.0),))
    strip = replace(STRIP, rows=(SEALED, near))

    assert words(strip, near, 3.8) == (
        "Bolt 3.8, After 60 km: leak 7, 2 seep, wet from bolt 3.7 to 5.5, "
        "starts at bolt 3.8 ± 8 mm. The bead there: gap, 5.0 mm long"
    )


def test_a_leak_whose_place_is_not_well_known_may_lie_at_the_gap():
    far = replace(LOOK, marks=(replace(MARK, station=4.4, sigma=0.3, sigma_mm=12.0),))
    known_well = replace(LOOK, marks=(replace(MARK, station=4.4, sigma=0.03, sigma_mm=1.0),))

    assert "gap" in words(replace(STRIP, rows=(SEALED, far)), far, 4.4)
    assert "gap" not in words(replace(STRIP, rows=(SEALED, known_well)), known_well, 4.4)


def test_the_seal_in_force_counts_and_not_the_one_before():
    again = replace(JOB, job=SealingJob(joint_id=JOINT.id, done_at=LOOKED_AT))
    strip = replace(STRIP, rows=(SEALED, again, LOOK))

    assert "gap" not in words(strip, LOOK, 3.85)


def test_a_seal_says_where_it_left_its_rule_and_which_bolts_were_forgotten():
    late = Deviation(DeviationKind.CLOSED_TOO_LATE, JOB.job.id, "closed_at", 16, 10, "min")
    row = replace(JOB, deviations=(late,), untightened=(3, 4))
    strip = replace(STRIP, rows=(row, LOOK))

    told = words(strip, row, 2.0)

    assert "No tightening recorded for bolts 3, 4" in told
    assert "Departs from its rule: closed too late: 16 min, the rule says 10 min" in told


def test_a_mark_is_met_a_little_beside_its_wet_stretch_too():
    assert mark_at(STRIP, LOOK, 5.7, slack=0.3) is MARK
    assert mark_at(STRIP, LOOK, 5.9, slack=0.3) is None


def test_a_mark_over_the_first_bolt_of_a_ring_is_met_on_both_sides_of_it():
    over = replace(LOOK, marks=(replace(MARK, station=1.1, wet_from=0.7, wet_to=1.3),))

    assert mark_at(RING, over, 4.8, slack=0.05) is over.marks[0]
    assert mark_at(RING, over, 1.2, slack=0.05) is over.marks[0]
    assert mark_at(RING, over, 2.0, slack=0.05) is None


def test_the_next_thing_lies_on_the_side_that_was_asked_for():
    assert next_station([4.6], 1.0, 1) == 4.6
    assert next_station([4.6], 1.0, -1) is None
    assert next_station([4.6], 4.6, 1) is None


def test_findings_are_marks_or_what_is_wrong_with_a_bead():
    assert findings(WITH_BEAD, LOOK) == [4.6]
    assert findings(WITH_BEAD, SEALED) == pytest.approx([3.85, 6.2])


def test_the_keyboard_stops_at_bolts_and_findings():
    assert stops(WITH_BEAD, LOOK) == [1, 2, 3, 4, 4.6, 5, 6, 7, 8, 9, 10]
    assert stops(RING, JOB) == [1, 2, 3, 4, 5]


def test_badges_stand_beside_each_other_and_stay_on_the_chart():
    assert spread([50, 55, 60], 20, right=300) == [40, 62, 84]
    assert spread([285, 295], 20, right=300) == [258, 280]


def test_what_is_in_no_stretch_is_told():
    assert complement(STRIP, [(3, 5), (1, 2)]) == [(2, 3), (5, 10)]
    assert complement(STRIP, []) == [(1, 10)]


def test_a_seal_with_a_bead_is_higher_than_one_without():
    heights = StripHeights.of(text_px=16, target_px=24)

    assert heights.of_row(SEALED) > heights.of_row(JOB) == 24
    assert heights.tops((SEALED, LOOK)) == [28, 28 + heights.band, 28 + heights.band + 24]


def test_a_place_without_mark_is_looked_at_in_a_photo_that_shows_it():
    sight = StripSight(new_id(), ((1.0, PointPx(0, 0)), (8.0, PointPx(700, 0))))
    row = replace(LOOK, sights=(sight,))
    strip = replace(STRIP, rows=(JOB, row))

    assert place_in_photo(strip, row, 2.0, 0.1) == (sight.photo_id, PointPx(100, 0))
    assert place_in_photo(strip, row, 4.6, 0.1) == (MARK.photo_id, MARK.at_px)
    assert place_in_photo(strip, row, 9.0, 0.1) is None


def test_a_place_of_a_seal_is_looked_at_in_the_photo_of_its_bead():
    photo_id, at = place_in_photo(WITH_BEAD, SEALED, 3.85, 0.1)

    assert photo_id == BEAD.photo_id
    assert at.x == pytest.approx(100 + 142.5 * 5, abs=2)


def test_a_photo_of_the_bead_that_could_be_read_there_comes_first():
    glaring = strip_bead(a_bead_audit(stations=(1.0, 9.0), glares=((0.0, 400.0),)), None)
    row = replace(SEALED, beads=(glaring, BEAD))

    assert place_in_photo(replace(STRIP, rows=(row,)), row, 2.0, 0.1)[0] == BEAD.photo_id


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


def test_the_cursor_begins_at_the_first_finding_of_the_newest_row(chart: JointStripChart):
    assert chart.cursor_place == (LOOK, 4.6)


def test_the_seal_in_force_stays_in_sight_until_the_next_one_pushes_it_away(qtbot):
    looks = (LOOK,) * 4
    later = replace(SEALED, job=SealingJob(joint_id=JOINT.id, done_at=LOOKED_AT))
    chart = JointStripChart(target_px=24)
    scroll = QScrollArea()
    qtbot.addWidget(scroll)
    scroll.setWidget(chart)
    scroll.setWidgetResizable(True)
    scroll.resize(900, 160)
    scroll.show()
    chart.set_strip(replace(STRIP, rows=(SEALED, *looks, later, *looks)))
    bar = scroll.verticalScrollBar()
    axis = chart.row_rect(0).top()
    band = chart.row_rect(0).height()
    qtbot.waitUntil(lambda: bar.maximum() > 0)

    def covered(scrolled: int) -> int:
        bar.setValue(scrolled)
        return chart.header_px

    next_seal = chart.row_rect(5).top() - axis
    assert covered(0) == axis
    assert covered(band) == axis + band
    assert covered(next_seal - 10) == axis + 10
    assert covered(next_seal + 5) == axis + band


def test_the_cursor_walks_by_keys_and_is_read_out(chart: JointStripChart):
    QTest.keyClick(chart, Qt.Key.Key_Home)
    QTest.keyClick(chart, Qt.Key.Key_Right)
    assert chart.cursor_place == (LOOK, 2.0)

    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert chart.cursor_place == (LOOK, pytest.approx(2.1))

    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    assert chart.cursor_place == (LOOK, pytest.approx(4.6))
    assert "leak 7" in chart.accessibleDescription()

    QTest.keyClick(chart, Qt.Key.Key_Left)
    assert chart.cursor_place == (LOOK, 4.0)

    QTest.keyClick(chart, Qt.Key.Key_End)
    assert chart.cursor_place == (LOOK, 10.0)

    QTest.keyClick(chart, Qt.Key.Key_Up)
    assert chart.cursor_place == (JOB, 10.0)


def test_the_keyboard_finds_the_gap_in_a_bead(chart: JointStripChart):
    chart.set_strip(WITH_BEAD)
    QTest.keyClick(chart, Qt.Key.Key_Up)
    QTest.keyClick(chart, Qt.Key.Key_Home)

    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)

    assert "gap, 5.0 mm long" in chart.accessibleDescription()


def test_footage_is_one_key_away(chart: JointStripChart, qtbot):
    chart.set_strip(WITH_BEAD)
    QTest.keyClick(chart, Qt.Key.Key_Up)

    with qtbot.waitSignal(chart.footage_chosen) as chosen:
        QTest.keyClick(chart, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)

    assert chosen.args == [SEALED]


def test_the_sign_of_footage_is_clicked_and_is_large_enough(chart: JointStripChart, qtbot):
    chart.set_strip(WITH_BEAD)
    chart.resize(900, chart.sizeHint().height())
    sign = footage_rect(QRectF(chart.row_rect(0)), SEALED, chart.label_width)

    with qtbot.waitSignal(chart.footage_chosen):
        QTest.mouseClick(chart, Qt.MouseButton.LeftButton, pos=sign.center().toPoint())

    assert min(sign.width(), sign.height()) >= 24


def test_in_gloves_mode_every_row_is_large_enough(qtbot):
    chart = JointStripChart(target_px=44)
    qtbot.addWidget(chart)
    chart.set_strip(WITH_BEAD)

    assert [chart.row_rect(row).height() >= 44 for row in (0, 1)] == [True, True]


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
    with qtbot.waitSignal(chart.place_chosen) as chosen:
        QTest.keyClick(chart, Qt.Key.Key_Return)

    assert chosen.args == [LOOK, 4.6]


def test_a_click_chooses_what_lies_there(chart: JointStripChart, qtbot):
    place = chart.row_rect(1).center()
    place.setX(round(chart.scale().x(5.0)))

    with qtbot.waitSignal(chart.place_chosen) as chosen:
        QTest.mouseClick(chart, Qt.MouseButton.LeftButton, pos=place)

    assert chosen.args[0] is LOOK
    assert chosen.args[1] == pytest.approx(5.0, abs=0.05)


def test_an_edit_leaves_the_cursor_where_it_was(chart: JointStripChart):
    QTest.keyClick(chart, Qt.Key.Key_Right)

    chart.set_strip(STRIP)

    assert chart.cursor_place == (LOOK, 5.0)


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


def test_a_place_of_a_bead_that_is_chosen_shows_its_photo(
    panel: JointStripPanel, session: Session, qtbot
):
    panel.chart.set_strip(WITH_BEAD)

    with qtbot.waitSignal(session.photo_wanted) as wanted:
        panel.chart.place_chosen.emit(SEALED, 3.85)

    assert wanted.args[0] == BEAD.photo_id


def test_footage_that_is_chosen_is_shown_from_where_the_job_is_seen(
    panel: JointStripPanel, session: Session, qtbot
):
    with qtbot.waitSignal(session.clip_wanted) as wanted:
        panel.chart.footage_chosen.emit(SEALED)

    assert wanted.args == [CLIP_ID, 12_000]
    assert session.entry == (EntryKind.SEALING_JOB, JOB.job.id)


def test_leaks_in_photos_without_a_line_are_placed_on_demand(
    panel: JointStripPanel, session: Session, qtbot, monkeypatch
):
    assert not panel.place_button.isVisible()
    joint_id = panel.picker.currentData()
    photo = session.project.all(Photo)[0]
    asked = []
    monkeypatch.setattr(
        "leaktrack.gui.panels.joint_strip_panel.carry_to_strip",
        lambda _project, strip, _progress: asked.append(strip.unplaced) or {},
    )
    strip = replace(panel.chart.strip, unplaced=(photo.id,))
    panel._show_strip(panel._asked, strip)
    assert panel.place_button.text() == "Place leaks of 1 more photo"

    QTest.mouseClick(panel.place_button, Qt.MouseButton.LeftButton)

    qtbot.waitUntil(lambda: asked == [(photo.id,)])
    qtbot.waitUntil(lambda: session.background.is_idle)
    assert panel.chart.strip.joint.id == joint_id
    assert not panel.place_button.isVisible()


def test_placing_that_was_stopped_can_be_started_again(
    panel: JointStripPanel, session: Session, qtbot
):
    session.background.job_started.connect(lambda job: job.cancel())
    strip = replace(panel.chart.strip, unplaced=(session.project.all(Photo)[0].id,))
    panel._show_strip(panel._asked, strip)

    QTest.mouseClick(panel.place_button, Qt.MouseButton.LeftButton)

    assert not panel.place_button.isVisible()
    qtbot.waitUntil(panel.place_button.isVisible)


def test_several_spans_are_told_apart_by_their_times():
    assert [span_words(span) for span in SPANS] == ["00:12 to 00:16", "00:30 to 00:34"]


def test_a_joint_that_is_chosen_comes_to_hand_with_its_zone(
    panel: JointStripPanel, session: Session
):
    last = panel.picker.count() - 1
    panel.picker.setCurrentIndex(last)
    panel.picker.activated.emit(last)

    joint = session.project.get(Joint, session.joint_id)
    assert session.zone_id == joint.zone_id
