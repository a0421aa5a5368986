"""What two photos say of a leak comes first; what all photos say takes its place, calmly."""

import time
from dataclasses import replace
from threading import Event

import pytest
from PySide6.QtCore import QPointF, Qt

from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.pages import carried_marks, marking, wet_finder
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.place import PlaceState
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx
from leaktrack.model.wet_search import WetKind, WetRegion, WetSearch
from leaktrack.model.words import word
from leaktrack.settings import Settings
from leaktrack.workflows.propose_marks import MarkProposal
from tests.gui import looking

LEFT = Qt.MouseButton.LeftButton
CANCEL_WITHIN_S = 0.2
FIRST, LATER = PointPx(420, 440), PointPx(500, 520)
SO_FAR = f"from last time, so far: {word(PlaceState.UNCERTAIN)}"
BY_ALL = f"from last time: {word(PlaceState.CARRIED)}"
LONG_S = 10


class Answers:
    """Stands in for the workflow: answers when the test says so, and counts who asked."""

    def __init__(self, project, inspected):
        self.photo_id = inspected.cover_second.id
        self.more_asked = []
        self.said_more = Event()
        self.is_heedless = False
        self.error = None
        second = Leak(zone_id=inspected.cover.id, number=2)
        project.apply(
            added(
                second,
                LeakMark(
                    leak_id=second.id,
                    photo_id=inspected.cover_first.id,
                    grade=SeepageGrade.SEEP,
                    source_px=PointPx(700, 300),
                ),
            )
        )
        self.leaks = (inspected.leak, second)

    def at_first(self, _project, photo_id, _progress):
        if photo_id != self.photo_id:
            return ()
        return tuple(
            MarkProposal(photo_id, leak, PlaceState.UNCERTAIN, source_px=at, may_move=True)
            for leak, at in zip(self.leaks, (FIRST, PointPx(700, 300)), strict=True)
        )

    def of_all(self, project, photo_id, progress):
        self.more_asked.append(photo_id)
        began = time.monotonic()
        progress(2, 8, "cover_3.jpg")
        while not self.said_more.wait(0.005) and time.monotonic() < began + LONG_S:
            if not self.is_heedless:
                progress(2, 8, "cover_3.jpg")
        if self.error is not None:
            raise self.error
        first, second = self.at_first(project, photo_id, progress)
        sure = {"state": PlaceState.CARRIED, "may_move": False}
        return (
            replace(first, source_px=LATER, **sure),
            replace(second, source_px=PointPx(710, 310), **sure),
        )


@pytest.fixture
def answers(project, inspected, monkeypatch):
    made = Answers(project, inspected)
    monkeypatch.setattr(carried_marks, "propose_at_first", made.at_first)
    monkeypatch.setattr(carried_marks, "propose_marks", made.of_all)
    monkeypatch.setattr(marking, "carried_lines", lambda *_: ())
    yield made
    made.said_more.set()


@pytest.fixture
def page(qtbot, session, inspected, answers):
    """The second look at the cover zone, with what two photos say."""
    session.engine_id = inspected.engine.id
    made = InspectPage(session)
    qtbot.addWidget(made)
    made.resize(1200, 800)
    made.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id), zone_id=inspected.cover.id)
    qtbot.waitUntil(lambda: len(rows_of(made)) == 2)
    qtbot.waitUntil(lambda: answers.more_asked == [answers.photo_id])
    view_of(made).setFocus()
    return made


def view_of(page):
    return page.marking.photo_pane.view


def rows_of(page):
    return page.marking.mark_pane.list.marks.rows


def notes_of(page):
    return [row.note for row in rows_of(page)]


def places_of(page):
    return {each.number: each.source_px for each in view_of(page).drawn_marks}


def said(page):
    return page.marking.mark_pane.note.words


def say_more(qtbot, page, answers):
    answers.said_more.set()
    qtbot.waitUntil(lambda: said(page).startswith("More photos"))


def press(qtbot, page, key):
    qtbot.keyClick(view_of(page), key)


def marks_made(project, inspected):
    return project.all(LeakMark, photo_id=inspected.cover_second.id)


def test_what_two_photos_say_is_there_first_and_said_to_be_so(qtbot, page):
    qtbot.waitUntil(lambda: "step" in said(page))
    press(qtbot, page, Qt.Key.Key_Period)

    assert notes_of(page) == [SO_FAR] * 2
    assert places_of(page)[1] == FIRST
    assert said(page) == "Places so far by two photos. Asking more of this zone, step 3 of 8 …"
    hint = page.marking.mark_pane.hint
    assert hint.startswith("Carried from the last inspection, so far by two photos alone. Grade it")


def test_what_all_photos_say_takes_its_place_and_no_row_jumps(qtbot, page, answers):
    marks_list = page.marking.mark_pane.list
    qtbot.wait(20)
    before = [row.key for row in rows_of(page)]
    height = marks_list.height()
    with qtbot.assertNotEmitted(marks_list.marks.modelReset):
        say_more(qtbot, page, answers)
    qtbot.wait(20)

    assert [row.key for row in rows_of(page)] == before
    assert notes_of(page) == [BY_ALL] * 2
    assert places_of(page) == {1: LATER, 2: PointPx(710, 310)}
    assert marks_list.height() == height
    assert not page.marking.mark_pane.note.cancel_button.isVisible()


def test_an_accepted_row_keeps_what_the_person_said(qtbot, page, project, inspected, answers):
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_3)
    (mark,) = marks_made(project, inspected)

    say_more(qtbot, page, answers)

    assert marks_made(project, inspected) == (mark,)
    assert [row.key for row in rows_of(page)] == [mark.id, answers.leaks[1].id]
    assert places_of(page) == {1: FIRST, 2: PointPx(710, 310)}
    assert page.marking.editor.selected == mark.id


def test_an_accepted_row_that_is_taken_back_is_proposed_again(qtbot, page, session, answers):
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_3)
    say_more(qtbot, page, answers)

    session.undo_stack.undo()

    assert [row.number for row in rows_of(page)] == [1, 2]
    assert places_of(page)[1] == LATER


def test_a_rejected_row_stays_away(qtbot, page, answers):
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_D)

    say_more(qtbot, page, answers)

    assert [row.number for row in rows_of(page)] == [2]


def test_the_row_in_hand_stays_as_it_is_until_another_is_taken(qtbot, page, answers):
    press(qtbot, page, Qt.Key.Key_Period)
    in_hand = page.marking.editor.selected
    say_more(qtbot, page, answers)
    held = (page.marking.editor.selected, places_of(page), notes_of(page), said(page))

    press(qtbot, page, Qt.Key.Key_Period)
    qtbot.waitUntil(lambda: places_of(page)[1] == LATER)

    assert held[0] == in_hand
    assert held[1] == {1: FIRST, 2: PointPx(710, 310)}
    assert held[2] == [SO_FAR, BY_ALL]
    assert held[3] == "More photos were asked. The selected place follows when you leave it."
    assert page.marking.editor.selected == answers.leaks[1].id
    assert "as all of them say" in said(page)


def test_a_wet_area_in_hand_is_not_given_to_another_leak(qtbot, page, answers, monkeypatch):
    """It lies where all photos put leak 1, but not where two do."""
    corners = tuple(PointPx(LATER.x + dx, LATER.y + dy) for dx, dy in ((-9, -9), (9, -9), (0, 9)))
    search = WetSearch(
        "aligned", (WetRegion(corners, 180.0, None, None, 0.9, WetKind.WET),), (), None
    )
    monkeypatch.setattr(wet_finder, "find_wet_regions", lambda *_, **__: search)
    press(qtbot, page, Qt.Key.Key_W)
    qtbot.waitUntil(lambda: len(rows_of(page)) == 3)
    press(qtbot, page, Qt.Key.Key_Period)

    say_more(qtbot, page, answers)
    held = [row.number for row in rows_of(page)]
    press(qtbot, page, Qt.Key.Key_Escape)
    page.marking.select(None)
    qtbot.waitUntil(lambda: len(rows_of(page)) == 2)

    assert held == [None, 1, 2]
    assert [row.number for row in rows_of(page)] == [1, 2]


def test_a_point_that_is_being_dragged_stays_in_the_hand(qtbot, page, project, inspected, answers):
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_3)
    press(qtbot, page, Qt.Key.Key_M)
    view = view_of(page)
    to_screen = view.viewportTransform()
    here, there = (to_screen.map(QPointF(x, 440)).toPoint() for x in (FIRST.x, FIRST.x + 60))
    qtbot.mousePress(view.viewport(), LEFT, pos=here)
    qtbot.mouseMove(view.viewport(), there)

    say_more(qtbot, page, answers)
    qtbot.mouseRelease(view.viewport(), LEFT, pos=there)

    (mark,) = marks_made(project, inspected)
    assert mark.source_px.x == pytest.approx(FIRST.x + 60, abs=3 / to_screen.m11())


def test_cancel_stops_this_work_at_once_and_keeps_what_is_there(qtbot, page, session, answers):
    others = session.background.run_job(
        "Something else", lambda job: answers.said_more.wait(LONG_S), then=print, owner=page
    )
    marks_list, button = page.marking.mark_pane.list, page.marking.mark_pane.note.cancel_button
    marks_list.setFocus()
    qtbot.keyClick(marks_list, Qt.Key.Key_Tab)
    has_keyboard = button.hasFocus()
    began = time.monotonic()

    qtbot.keyClick(button, Qt.Key.Key_Space)
    took_s = time.monotonic() - began

    assert has_keyboard
    assert took_s < CANCEL_WITHIN_S
    assert said(page) == "Stopped: places stay as two photos tell them."
    assert places_of(page)[1] == FIRST
    assert not button.isVisible()
    assert marks_list.hasFocus()
    assert not others.is_cancelled


def test_a_stopped_work_that_ends_all_the_same_changes_nothing(qtbot, page, session, answers):
    answers.is_heedless = True
    qtbot.mouseClick(page.marking.mark_pane.note.cancel_button, LEFT)

    answers.said_more.set()
    qtbot.waitUntil(lambda: session.background.is_idle)

    assert places_of(page)[1] == FIRST
    assert said(page).startswith("Stopped")


def test_a_late_answer_for_another_photo_is_ignored(qtbot, page, session, inspected, answers):
    answers.is_heedless = True
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id))
    qtbot.waitUntil(lambda: said(page) == "")
    rows_then = rows_of(page)

    answers.said_more.set()
    qtbot.waitUntil(lambda: session.background.is_idle)

    assert rows_of(page) == rows_then
    assert said(page) == ""
    assert page.marking.proposals.carried.best(answers.photo_id)[0].source_px == FIRST


def test_who_comes_back_to_a_photo_finds_the_first_answer_and_more_are_asked_again(
    qtbot, page, session, inspected, answers
):
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id))
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))
    notes_then = notes_of(page)

    say_more(qtbot, page, answers)

    assert notes_then == [SO_FAR] * 2
    assert answers.more_asked == [answers.photo_id] * 2


def test_another_page_drops_the_work_and_coming_back_takes_it_up(qtbot, page, session, answers):
    page.hide()
    qtbot.waitUntil(lambda: session.background.is_idle)
    asked_then = len(answers.more_asked)

    page.show()
    say_more(qtbot, page, answers)

    assert (asked_then, len(answers.more_asked)) == (1, 2)
    assert places_of(page)[1] == LATER


def test_nobody_is_asked_any_more_once_all_is_answered(qtbot, page, session):
    for _ in range(2):
        press(qtbot, page, Qt.Key.Key_Period)
        press(qtbot, page, Qt.Key.Key_2)

    qtbot.waitUntil(lambda: session.background.is_idle)

    assert said(page) == ""


def test_where_more_cannot_be_asked_the_first_answer_stays(qtbot, page, answers):
    answers.error = UnreadablePhoto("The file of cover_3.jpg is missing from the project.")
    answers.said_more.set()

    qtbot.waitUntil(lambda: "missing" in said(page))

    assert said(page).startswith("Places stay as two photos tell them; others cannot be asked. The")
    assert places_of(page)[1] == FIRST
    assert not page.marking.mark_pane.note.cancel_button.isVisible()


@pytest.mark.parametrize("percent", [100, 150])
def test_nothing_is_unnamed_too_small_or_cut(qtbot, page, answers, percent, qapp):
    apply_theme(qapp, Settings(theme="dark", text_percent=percent))
    qtbot.wait(50)  # let the layout settle
    while_asking = looking.unnamed(page) + looking.too_small(page, 24) + looking.cut(page)
    say_more(qtbot, page, answers)
    qtbot.wait(50)

    assert while_asking == []
    assert looking.cut(page) == []
