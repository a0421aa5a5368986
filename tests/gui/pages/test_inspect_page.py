"""Inspect: mark, grade and describe leaks by click and by key, one undo step each."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QAbstractItemModelTester

from leaktrack.gui.item_models.marks_model import MarkRow, MarksModel
from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.gui.pages.seen_cautions import cautions_of
from leaktrack.model.caution import Caution
from leaktrack.model.engine import JointLine
from leaktrack.model.identity import new_id
from leaktrack.model.inspection import Inspection
from leaktrack.model.leak import Fluid, Leak, LeakMark, SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Light, Photo
from leaktrack.model.record import replaced
from leaktrack.model.shapes import PointPx
from leaktrack.settings import Settings
from leaktrack.workflows.add_photos import add_photos
from tests.gui import looking
from tests.pictures import write_photo

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def page(qtbot, session, inspected):
    """The first look at the cover zone, which has one mark."""
    session.engine_id = inspected.engine.id
    made = InspectPage(session)
    qtbot.addWidget(made)
    made.resize(1200, 800)
    made.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id), zone_id=inspected.cover.id)
    return made


def view_of(page):
    return page.marking.photo_pane.view


def click_photo(qtbot, page, x, y):
    view = view_of(page)
    place = view.viewportTransform().map(QPointF(x, y)).toPoint()
    qtbot.mouseClick(view.viewport(), LEFT, pos=place)


def stored_mark(project, inspected):
    return project.get(LeakMark, inspected.mark.id)


def show_second_look(qtbot, page, session, inspected):
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))
    model = page.marking.mark_pane.list.marks
    qtbot.waitUntil(lambda: model.rowCount() == 1, timeout=60_000)


def test_the_marks_list_tells_what_the_photo_shows(page):
    model = page.marking.mark_pane.list.marks

    cells = [model.index(0, column).data() for column in range(model.columnCount())]

    assert cells[:4] == ["1", "2 seep", "engine oil", "4000 px²"]


def test_clicking_a_mark_selects_its_row(qtbot, page, inspected):
    click_photo(qtbot, page, 400, 440)

    assert page.marking.mark_pane.list.current_key == inspected.mark.id


def test_choosing_a_row_selects_the_drawn_mark(qtbot, page, inspected):
    marks_list = page.marking.mark_pane.list
    marks_list.setFocus()

    qtbot.keyClick(marks_list, Qt.Key.Key_Down)

    assert view_of(page).selected_mark_id == inspected.mark.id


def test_choosing_a_mark_takes_its_leak_in_hand(qtbot, page, session, inspected):
    click_photo(qtbot, page, 400, 440)

    assert session.leak_id == inspected.leak.id


def test_a_digit_grades_the_selected_mark_while_the_photo_has_the_focus(
    qtbot, page, session, project, inspected
):
    click_photo(qtbot, page, 400, 440)
    view_of(page).setFocus()

    qtbot.keyClick(view_of(page), Qt.Key.Key_4)

    assert stored_mark(project, inspected).grade is SeepageGrade.DRIP
    assert session.undo_stack.undoText() == "Grade leak 1 drip"


def test_a_digit_grades_while_the_list_has_the_focus(qtbot, page, project, inspected):
    marks_list = page.marking.mark_pane.list
    marks_list.setFocus()
    qtbot.keyClick(marks_list, Qt.Key.Key_Down)

    qtbot.keyClick(marks_list, Qt.Key.Key_1)

    assert stored_mark(project, inspected).grade is SeepageGrade.STAIN


def test_a_digit_typed_into_the_note_grades_nothing(qtbot, page, project, inspected):
    click_photo(qtbot, page, 400, 440)
    note = page.marking.mark_pane.details.fields["note"].line
    note.setFocus()

    qtbot.keyClicks(note, "5")

    assert stored_mark(project, inspected).grade is SeepageGrade.SEEP
    assert note.text() == "5"


def test_a_grade_button_grades_and_undo_takes_it_back(qtbot, page, session, project, inspected):
    click_photo(qtbot, page, 400, 440)
    button = page.marking.mark_pane.grades.button(SeepageGrade.STREAM)

    qtbot.mouseClick(button, LEFT)
    graded = stored_mark(project, inspected).grade
    session.undo_stack.undo()

    assert graded is SeepageGrade.STREAM
    assert stored_mark(project, inspected) == inspected.mark
    assert page.marking.mark_pane.grades.button(SeepageGrade.SEEP).isChecked()


def test_not_seen_is_a_grade_of_its_own(qtbot, page, project, inspected):
    click_photo(qtbot, page, 400, 440)
    view_of(page).setFocus()

    qtbot.keyClick(view_of(page), Qt.Key.Key_N)

    assert stored_mark(project, inspected).grade is SeepageGrade.NOT_SEEN


def test_a_new_leak_is_marked_where_one_clicks(qtbot, page, project, inspected):
    view_of(page).setFocus()

    qtbot.keyClick(view_of(page), Qt.Key.Key_L)
    click_photo(qtbot, page, 700, 300)

    made = [mark for mark in project.all(LeakMark) if mark.id != inspected.mark.id]
    scale = view_of(page).transform().m11()
    assert made[0].source_px.distance_px(PointPx(700, 300)) <= 1 / scale
    assert project.get(Leak, made[0].leak_id).number == 2
    assert page.marking.mark_pane.list.current_key == made[0].id


def test_the_last_grade_given_repeats_for_the_next_new_leak(qtbot, page, project, inspected):
    click_photo(qtbot, page, 400, 440)
    view_of(page).setFocus()
    qtbot.keyClick(view_of(page), Qt.Key.Key_4)

    qtbot.keyClick(view_of(page), Qt.Key.Key_L)
    click_photo(qtbot, page, 700, 300)

    made = [mark for mark in project.all(LeakMark) if mark.id != inspected.mark.id]
    assert made[0].grade is SeepageGrade.DRIP


def test_a_new_leak_can_be_marked_by_keys_alone(qtbot, page, project):
    view = view_of(page)
    view.setFocus()

    qtbot.keyClick(view, Qt.Key.Key_L)
    qtbot.keyClick(view, Qt.Key.Key_Right)
    qtbot.keyClick(view, Qt.Key.Key_Return)
    qtbot.keyClick(view, Qt.Key.Key_3)

    grades = [mark.grade for mark in project.all(LeakMark)]
    assert grades == [SeepageGrade.SEEP, SeepageGrade.HEAVY_SEEP]


def test_an_outline_by_corners_replaces_the_selected_marks_outline(
    qtbot, page, session, project, inspected
):
    click_photo(qtbot, page, 400, 440)
    view = view_of(page)
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_P)

    for x, y in ((300, 400), (500, 400), (500, 600)):
        click_photo(qtbot, page, x, y)
    qtbot.keyClick(view, Qt.Key.Key_Return)

    assert len(stored_mark(project, inspected).outline_px) == 3
    assert session.undo_stack.undoText() == "Outline leak 1"


def test_an_outline_can_be_found_from_one_click(qtbot, page, project, inspected):
    click_photo(qtbot, page, 400, 440)
    qtbot.keyClick(view_of(page), Qt.Key.Key_G)

    click_photo(qtbot, page, 400, 480)

    before = inspected.mark.outline_px
    qtbot.waitUntil(lambda: stored_mark(project, inspected).outline_px != before)


def test_dragging_a_corner_is_one_step(qtbot, page, session, project, inspected):
    click_photo(qtbot, page, 400, 440)
    view = view_of(page)
    view.setFocus()
    view.center_on_point(PointPx(400, 470), zoom=4)
    qtbot.keyClick(view, Qt.Key.Key_M)
    steps = session.undo_stack.count()

    to_screen = view.viewportTransform()
    qtbot.mousePress(view.viewport(), LEFT, pos=to_screen.map(QPointF(430, 430)).toPoint())
    qtbot.mouseMove(view.viewport(), to_screen.map(QPointF(440, 425)).toPoint())
    qtbot.mouseMove(view.viewport(), to_screen.map(QPointF(450, 420)).toPoint())
    qtbot.mouseRelease(view.viewport(), LEFT, pos=to_screen.map(QPointF(450, 420)).toPoint())

    corner = stored_mark(project, inspected).outline_px[1]
    assert corner.distance_px(PointPx(450, 420)) < 1
    assert session.undo_stack.count() == steps + 1


def test_delete_removes_the_mark_and_undo_brings_it_back(qtbot, page, session, project, inspected):
    click_photo(qtbot, page, 400, 440)
    view_of(page).setFocus()

    qtbot.keyClick(view_of(page), Qt.Key.Key_Delete)
    left = project.all(LeakMark)
    session.undo_stack.undo()

    assert left == ()
    assert project.all(LeakMark) == (inspected.mark,)
    assert project.all(Leak) == (inspected.leak,)


def test_each_answer_in_the_form_is_one_step(qtbot, page, session, project, inspected):
    click_photo(qtbot, page, 400, 440)
    line = page.marking.mark_pane.details.fields["drops_per_minute"].line

    qtbot.keyClicks(line, "2.5")
    qtbot.keyClick(line, Qt.Key.Key_Return)

    assert stored_mark(project, inspected).drops_per_minute == 2.5
    assert session.undo_stack.undoText() == "Count drops of leak 1"
    assert session.undo_stack.count() == 1


def test_a_leak_of_the_last_look_is_proposed_and_graded_with_one_key(
    qtbot, page, session, project, inspected
):
    show_second_look(qtbot, page, session, inspected)
    marks_list = page.marking.mark_pane.list
    marks_list.setFocus()
    qtbot.keyClick(marks_list, Qt.Key.Key_Down)

    qtbot.keyClick(marks_list, Qt.Key.Key_3)

    made = project.all(LeakMark, photo_id=inspected.cover_second.id)
    assert [(mark.leak_id, mark.grade) for mark in made] == [
        (inspected.leak.id, SeepageGrade.HEAVY_SEEP)
    ]
    assert marks_list.current_key == made[0].id


def test_a_proposal_can_be_dismissed_and_changes_nothing(qtbot, page, session, project, inspected):
    show_second_look(qtbot, page, session, inspected)
    marks_list = page.marking.mark_pane.list
    marks_list.setFocus()
    qtbot.keyClick(marks_list, Qt.Key.Key_Down)

    qtbot.keyClick(marks_list, Qt.Key.Key_Delete)

    assert marks_list.marks.rowCount() == 0
    assert project.all(LeakMark) == (inspected.mark,)


def test_a_zone_without_a_photo_shows_how_it_was_framed_last_time(page, session, inspected, qtbot):
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id), zone_id=inspected.pan.id)

    assert view_of(page).photo_id == inspected.pan_first.id
    assert "not photographed yet" in page.marking.photo_pane.caption
    assert not page.marking.editor.can_edit


def test_the_shot_list_names_what_is_missing(page, session, inspected):
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))

    assert page.sidebar.shots.lines == ("Bank 1 cover\n1 photo", "Pan\nnot photographed yet")


def test_clicking_a_zone_of_the_shot_list_takes_it_in_hand(qtbot, page, session, inspected):
    page.sidebar.tabs.setCurrentWidget(page.sidebar.shots)
    shots = page.sidebar.shots

    place = shots.visualItemRect(shots.item(1)).center()
    qtbot.mouseClick(shots.viewport(), LEFT, pos=place)

    assert session.zone_id == inspected.pan.id
    assert page.photo_id == inspected.pan_first.id


def test_a_photo_that_somebody_asks_for_is_shown_at_the_place(qtbot, page, session, inspected):
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))

    session.photo_wanted.emit(inspected.cover_first.id, PointPx(400, 440))

    state = view_of(page).view_state()
    assert view_of(page).photo_id == inspected.cover_first.id
    assert (state.centre_x, state.zoom) == (pytest.approx(0.4, abs=0.01), pytest.approx(3))


def test_missing_facts_lead_to_the_form_and_back(qtbot, page):
    words = page.facts_button.text()

    qtbot.mouseClick(page.facts_button, LEFT)
    is_form_shown = page.facts.form.isVisible()
    qtbot.mouseClick(page.facts.back_button, LEFT)

    assert words == "17 facts missing…"
    assert is_form_shown
    assert view_of(page).isVisible()


def test_photos_can_be_added_to_the_inspection_and_zone_in_hand(
    qtbot, page, session, project, inspected, tmp_path
):
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id), zone_id=inspected.pan.id)
    source = tmp_path / "pan_2.jpg"
    source.write_bytes((tmp_path / "pan_1.jpg").read_bytes() + b"\0")

    page.add_sources([source])

    qtbot.waitUntil(lambda: page.photo_id not in (None, inspected.pan_first.id))
    added = project.get(Photo, page.photo_id)
    assert (added.zone_id, added.inspection_id) == (inspected.pan.id, inspected.second.id)


def test_tab_walks_from_the_photo_to_the_list_and_the_grades(qtbot, page):
    view_of(page).setFocus()
    stops = []

    for _ in range(3):
        qtbot.keyClick(page.window().focusWidget(), Qt.Key.Key_Tab)
        stops.append(page.window().focusWidget())

    assert stops[0] is page.marking.mark_pane.list
    assert stops[1] is page.marking.mark_pane.grades.button(SeepageGrade.DRY)


def test_without_an_inspection_in_hand_the_newest_is_offered(qtbot, session, inspected):
    session.engine_id = inspected.engine.id
    page = InspectPage(session)
    qtbot.addWidget(page)
    page.show()
    was_empty = not view_of(page).isVisible()

    page.show_newest()

    assert was_empty
    assert session.entry == (EntryKind.INSPECTION, inspected.second.id)


def a_look(**facts):
    when = datetime(2026, 3, 8, tzinfo=UTC)
    return Inspection(engine_id=new_id(), looked_at=when, **facts)


def a_mark(fluid):
    return LeakMark(leak_id=new_id(), photo_id=new_id(), grade=SeepageGrade.SEEP, fluid=fluid)


@pytest.mark.parametrize(
    ("look", "fluid", "expected"),
    [
        (a_look(minutes_since_shutdown=10), Fluid.ENGINE_OIL, (Caution.HOT_OIL,)),
        (a_look(minutes_since_shutdown=600), Fluid.ENGINE_OIL, ()),
        (a_look(minutes_since_shutdown=600), Fluid.FUEL, (Caution.FUEL,)),
        (a_look(is_baseline=True, light=Light.UV), Fluid.ENGINE_OIL, (Caution.UV_LAMP,)),
        (a_look(), Fluid.UNKNOWN, (Caution.HOT_OIL,)),
    ],
    ids=["just stopped", "cold", "fuel", "lamp", "nobody knows how warm"],
)
def test_the_page_warns_of_what_can_hurt_at_this_look(look, fluid, expected):
    assert cautions_of(look, [a_mark(fluid)]) == expected


def test_the_marks_model_keeps_qts_rules(qtbot):
    model = MarksModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)

    model.set_rows([MarkRow(new_id(), 1, SeepageGrade.SEEP), MarkRow(new_id(), 2, None)])
    model.set_rows([MarkRow(new_id(), 3, SeepageGrade.DRY)])

    assert model.rowCount() == 1
    assert tester.model() is model


def test_a_change_from_elsewhere_is_shown(page, session, project, inspected):
    after = inspected.mark.__class__(
        id=inspected.mark.id,
        leak_id=inspected.leak.id,
        photo_id=inspected.cover_first.id,
        grade=SeepageGrade.STREAM,
        source_px=inspected.mark.source_px,
    )

    session.do("Grade leak 1 stream", replaced(inspected.mark, after))

    model = page.marking.mark_pane.list.marks
    assert model.index(0, 1).data() == "5 stream"


def test_what_follows_from_a_mark_stands_beside_it(qtbot, page):
    click_photo(qtbot, page, 400, 440)
    seeping = page.marking.mark_pane.card.text

    page.marking.editor.answer("fluid", Fluid.FUEL)

    assert seeping.startswith("Repair if necessary")
    assert page.marking.mark_pane.card.text.startswith("Stop and mend first")


def test_falling_drops_speak_for_a_wetter_grade_but_change_none(qtbot, page, project, inspected):
    click_photo(qtbot, page, 400, 440)
    line = page.marking.mark_pane.details.fields["drops_per_minute"].line

    qtbot.keyClicks(line, "3")
    qtbot.keyClick(line, Qt.Key.Key_Return)

    card = page.marking.mark_pane.card
    assert card.proposal.text().startswith("Proposed: 4 drip, as drops fall (TM 10-6640-233-10")
    assert "It assumes drops of 15 to 50 µL" in card.amounts.text()
    assert stored_mark(project, inspected).grade is SeepageGrade.SEEP


def test_one_key_takes_the_proposed_grade(qtbot, page, project, inspected):
    click_photo(qtbot, page, 400, 440)
    page.marking.editor.answer("is_stream", True)
    assert page.marking.mark_pane.card.take_button.text() == "Take 5 stream (T)"

    qtbot.keyClick(page.marking.photo_pane.view, Qt.Key.Key_T)

    assert stored_mark(project, inspected).grade is SeepageGrade.STREAM
    assert not page.marking.mark_pane.card.take.isEnabled()


def test_where_the_grade_fits_there_is_nothing_to_take(qtbot, page):
    click_photo(qtbot, page, 400, 440)

    assert not page.marking.mark_pane.card.take.isEnabled()
    assert page.marking.mark_pane.card.take_button.isHidden()


def test_the_card_keeps_drops_and_extent_apart_in_the_units_of_the_settings(
    qtbot, page, session, project, inspected
):
    photo = project.get(Photo, inspected.cover_first.id)
    project.apply(replaced(photo, replace(photo, mm_per_px=0.1)))
    session.settings = replace(session.settings, units="imperial")
    click_photo(qtbot, page, 400, 440)

    page.marking.editor.answer("wet_for_min", 20.0)

    told = page.marking.mark_pane.card.details.text()
    assert "Drops: 1 stain, wet, and no drop forms." in told
    assert " in after 20 min." in told


def test_high_pressure_and_the_look_s_doubts_stand_beside_the_marks(page, session, project):
    look = project.get(Inspection, session.entry[1])

    session.do("Measure", replaced(look, replace(look, crankcase_mmh2o=320.0)))

    warnings = page.marking.mark_pane.warnings
    assert not warnings.isHidden()
    assert any("pressure is too high" in one for one in warnings.sentences)


def test_a_photo_without_a_target_keeps_its_scale_unknown_and_says_so(
    qtbot, page, session, project, inspected
):
    with qtbot.waitSignal(session.failed) as told:
        page.marking.measure_scale()

    assert "No printed target" in str(told.args[0])
    assert project.get(Photo, inspected.cover_first.id).mm_per_px is None


@pytest.mark.parametrize("percent", [100, 150])
def test_nothing_is_unnamed_too_small_or_cut(qtbot, page, percent, qapp):
    apply_theme(qapp, Settings(theme="dark", text_percent=percent))
    click_photo(qtbot, page, 400, 440)

    qtbot.wait(50)  # let the layout settle

    assert looking.unnamed(page) == []
    assert looking.too_small(page, 24) == []
    assert looking.cut(page) == []


def test_a_photo_from_elsewhere_stays_while_it_is_marked_and_can_be_left(
    qtbot, page, session, project, inspected, tmp_path
):
    source = write_photo(tmp_path / "bead.jpg", np.full((300, 400, 3), 90, np.uint8))
    outcome = add_photos(project, [source], zone_id=inspected.cover.id)
    project.apply(outcome.edit)
    bead = outcome.added[0]
    session.photo_wanted.emit(bead.id, None)

    page.marking.editor.mark_new_leak()
    click_photo(qtbot, page, 200, 150)
    shown_after_marking = view_of(page).photo_id
    qtbot.mouseClick(page.back_button, LEFT)

    assert shown_after_marking == bead.id
    assert len(project.all(LeakMark, photo_id=bead.id)) == 1
    assert view_of(page).photo_id == inspected.cover_first.id


def test_without_a_picked_zone_photos_go_to_the_zone_shown(qtbot, session, inspected):
    session.engine_id = inspected.engine.id
    page = InspectPage(session)
    qtbot.addWidget(page)
    page.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))

    sentence = page.adder.sentence([Path("new.jpg")], page.place)

    assert view_of(page).photo_id == inspected.cover_second.id
    assert sentence == "Add 1 photo to Second look / Bank 1 cover"


def test_a_joint_line_is_carried_to_a_later_photo_and_can_be_kept(
    qtbot, page, session, project, inspected
):
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))
    keep = page.marking.photo_pane.keep_button
    qtbot.waitUntil(keep.isVisible, timeout=60_000)

    qtbot.mouseClick(keep, LEFT)

    line = project.all(JointLine, photo_id=inspected.cover_second.id)[0]
    places = [point.at for point in line.points]
    off = [here.distance_px(there) for here, there in zip(places, inspected.line.path, strict=True)]
    assert max(off) < 10  # both photos were drawn from the same place
    assert not keep.isVisible()
    assert session.undo_stack.undoText() == "Keep joint line"
