"""What two photos say of a leak comes first; what all photos say takes its place, calmly."""

import time

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.pages import grade_card, marking
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.model.errors import UnreadablePhoto
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.place import PlaceState
from leaktrack.model.record import added
from leaktrack.model.words import word
from leaktrack.settings import Settings
from tests.gui import looking
from tests.gui.carried_answers import (
    FIRST,
    LATER,
    LONG_S,
    SECOND_AT_FIRST,
    SECOND_LATER,
    CarriedAnswers,
)

LEFT = Qt.MouseButton.LeftButton
CANCEL_WITHIN_S = 0.2
SO_FAR = f"so far, from last time: {word(PlaceState.UNCERTAIN)}"
BY_ALL = f"from last time: {word(PlaceState.CARRIED)}"


@pytest.fixture
def answers(project, inspected, monkeypatch):
    second = Leak(zone_id=inspected.cover.id, number=2)
    mark = LeakMark(
        leak_id=second.id,
        photo_id=inspected.cover_first.id,
        grade=SeepageGrade.SEEP,
        source_px=SECOND_AT_FIRST,
    )
    project.apply(added(second, mark))
    for slow in ("carried_lines", "photo_warnings"):
        monkeypatch.setattr(marking, slow, lambda *_: ())
    monkeypatch.setattr(grade_card, "scale_of", lambda *_: None)
    made = CarriedAnswers(inspected.cover_second.id, (inspected.leak, second), monkeypatch)
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


def test_what_two_photos_say_is_there_first_and_what_all_say_takes_its_place(qtbot, page, answers):
    marks_list = page.marking.mark_pane.list
    qtbot.waitUntil(lambda: "step" in said(page))
    press(qtbot, page, Qt.Key.Key_Period)
    hint = page.marking.mark_pane.hint
    page.marking.select(None)
    qtbot.wait(20)
    said_first, notes_first, places_first = said(page), notes_of(page), places_of(page)
    keys, height = [row.key for row in rows_of(page)], marks_list.height()
    with qtbot.assertNotEmitted(marks_list.marks.modelReset):
        say_more(qtbot, page, answers)
    qtbot.wait(20)

    assert said_first == "Places so far by two photos. Asking more of this zone, step 3 of 8 …"
    assert hint.startswith("Carried from the last inspection, so far by two photos alone. Grade it")
    assert (notes_first, places_first[1]) == ([SO_FAR] * 2, FIRST)
    assert (notes_of(page), places_of(page)) == ([BY_ALL] * 2, {1: LATER, 2: SECOND_LATER})
    assert [row.key for row in rows_of(page)] == keys
    assert marks_list.height() == height  # no row jumps
    assert not page.marking.mark_pane.note.cancel_button.isVisible()


def test_an_accepted_row_keeps_what_the_person_said_until_that_is_taken_back(
    qtbot, page, session, project, inspected, answers
):
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_3)
    (mark,) = marks_made(project, inspected)
    session.pick(leak_id=answers.leaks[1].id)  # looked at elsewhere meanwhile

    say_more(qtbot, page, answers)
    in_hand = session.leak_id
    made, keys, places = marks_made(project, inspected), rows_of(page), places_of(page)
    selected = page.marking.editor.selected
    session.undo_stack.undo()

    assert (made, selected) == ((mark,), mark.id)
    assert in_hand == answers.leaks[1].id
    assert [row.key for row in keys] == [mark.id, answers.leaks[1].id]
    assert places == {1: FIRST, 2: SECOND_LATER}
    assert [row.number for row in rows_of(page)] == [1, 2]
    assert places_of(page)[1] == LATER


def test_the_row_in_hand_stays_as_it_is_until_another_is_taken(qtbot, page, answers):
    press(qtbot, page, Qt.Key.Key_Period)
    in_hand = page.marking.editor.selected
    say_more(qtbot, page, answers)
    held = (page.marking.editor.selected, places_of(page), notes_of(page), said(page))

    press(qtbot, page, Qt.Key.Key_Period)
    qtbot.waitUntil(lambda: places_of(page)[1] == LATER)

    assert held[0] == in_hand
    assert held[1] == {1: FIRST, 2: SECOND_LATER}
    assert held[2] == [SO_FAR, BY_ALL]
    assert held[3] == "More photos were asked. The selected place follows when you leave it."
    assert page.marking.editor.selected == answers.leaks[1].id
    assert "as all of them say" in said(page)


def test_cancel_stops_this_work_at_once_and_keeps_what_is_there(qtbot, page, session, answers):
    answers.is_heedless = True  # it ends later all the same, and that changes nothing
    other = session.background.run_job(
        "Something else", lambda _: answers.said_more.wait(LONG_S), then=bool, owner=page
    )
    marks_list, button = page.marking.mark_pane.list, page.marking.mark_pane.note.cancel_button
    marks_list.setFocus()
    qtbot.keyClick(marks_list, Qt.Key.Key_Tab)
    has_keyboard = button.hasFocus()
    began = time.monotonic()

    qtbot.keyClick(button, Qt.Key.Key_Space)
    took_s, said_then, is_shown = time.monotonic() - began, said(page), button.isVisible()
    has_list_keyboard = marks_list.hasFocus()
    answers.said_more.set()
    qtbot.waitUntil(lambda: session.background.is_idle)

    assert (has_keyboard, has_list_keyboard, is_shown) == (True, True, False)
    assert took_s < CANCEL_WITHIN_S
    assert said_then == said(page) == "Stopped: places stay as two photos tell them."
    assert (notes_of(page), places_of(page)[1]) == ([SO_FAR] * 2, FIRST)
    assert not other.is_cancelled


def test_where_more_cannot_be_asked_the_first_answer_stays_with_a_word(qtbot, page, answers, qapp):
    apply_theme(qapp, Settings(theme="dark", text_percent=150))
    qtbot.wait(50)  # let the layout settle
    bad_while_asking = looking.unnamed(page) + looking.too_small(page, 24) + looking.cut(page)
    answers.error = UnreadablePhoto("The file of cover_3.jpg is missing from the project.")
    answers.said_more.set()
    qtbot.waitUntil(lambda: "missing" in said(page))
    qtbot.wait(50)

    assert said(page).startswith("Places stay as two photos tell them; others cannot be asked. The")
    assert (notes_of(page), places_of(page)[1]) == ([SO_FAR] * 2, FIRST)
    assert not page.marking.mark_pane.note.cancel_button.isVisible()
    assert bad_while_asking == []
    assert looking.cut(page) == []
