"""What a search finds is proposed; a person accepts or dismisses it, each with one key."""

from threading import Event

import pytest
from PySide6.QtCore import Qt

from leaktrack.gui.look.theme import apply_theme
from leaktrack.gui.pages import carried_marks, marking, wet_finder
from leaktrack.gui.pages.inspect_page import InspectPage
from leaktrack.gui.photo_view.hatch_item import HatchItem
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.logbook import EntryKind
from leaktrack.model.photo import Light
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx, contains
from leaktrack.model.wet_search import Dismissal, WetKind, WetRegion, WetSearch
from leaktrack.settings import Settings
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.assign_photos import assign_photos
from leaktrack.workflows.find_wet_regions import find_wet_regions
from leaktrack.workflows.propose_marks import MarkProposal
from tests.gui import looking
from tests.gui.inspected_engine import STAIN
from tests.pictures import Stain, casting, relit, stained, write_photo

LEFT = Qt.MouseButton.LeftButton


def square(x, y, side=60):
    return (
        PointPx(x, y), PointPx(x + side, y), PointPx(x + side, y + side), PointPx(x, y + side)
    )  # fmt: skip


# Leak 1 starts at 400, 440 in both photos: they were drawn from the same place.
NEW = WetRegion(square(700, 300), 3600.0, 92.4, 8.2, 0.93, WetKind.WET)
UNSURE = WetRegion(square(800, 600), 3600.0, None, None, 0.41, WetKind.WET)
ON_LEAK_1 = WetRegion(square(370, 430), 3600.0, None, None, 0.8, WetKind.WET)
DRIED_LEAK_1 = WetRegion(square(370, 430), 3600.0, None, None, 0.7, WetKind.DRIED)
UNASSESSED = (square(0, 0, 200),)


@pytest.fixture
def finds(monkeypatch):
    """Set what the next searches find."""
    answer = {"search": WetSearch("aligned", (), (), None)}

    def find(_project, _photo_id, progress):
        progress(0, 1, "cover_1.jpg")
        return answer["search"]

    monkeypatch.setattr(wet_finder, "find_wet_regions", find)

    def finds(*regions, state="aligned", unassessed=()):
        answer["search"] = WetSearch(state, regions, unassessed, None)

    return finds


@pytest.fixture
def page(qtbot, session, inspected, finds, monkeypatch):
    """The second look at the cover zone, with leak 1 carried there and no mark yet."""

    def carried(project, photo_id, _progress):
        if photo_id != inspected.cover_second.id:
            return ()
        mark = inspected.mark
        place = (mark.source_px, mark.outline_px, 2.0, mark)
        leak = project.get(Leak, inspected.leak.id)
        return (MarkProposal(photo_id, leak, PlaceState.CARRIED, *place),)

    monkeypatch.setattr(carried_marks, "propose_at_first", carried)
    monkeypatch.setattr(marking, "carried_lines", lambda _project, _photo_id: [])
    session.engine_id = inspected.engine.id
    made = InspectPage(session)
    qtbot.addWidget(made)
    made.resize(1200, 800)
    made.show()
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id), zone_id=inspected.cover.id)
    qtbot.waitUntil(lambda: len(rows_of(made)) == 1)
    view_of(made).setFocus()
    return made


def view_of(page):
    return page.marking.photo_pane.view


def rows_of(page):
    return page.marking.mark_pane.list.marks.rows


def cells_of(page):
    model = page.marking.mark_pane.list.marks
    return [
        [model.index(row, column).data() for column in (0, 1, 3)] for row in range(model.rowCount())
    ]


def press(qtbot, page, key, modifiers=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(view_of(page), key, modifiers)


def search(qtbot, page):
    press(qtbot, page, Qt.Key.Key_W)
    qtbot.waitUntil(lambda: "Searching" not in page.marking.search_note.words)


def marks_made(project, inspected):
    return project.all(LeakMark, photo_id=inspected.cover_second.id)


def test_what_is_found_is_listed_best_first_with_its_chance_and_its_area(qtbot, page, finds):
    finds(NEW, UNSURE)

    search(qtbot, page)

    assert cells_of(page) == [
        ["new", "wet? 93 %", "92 ± 8 mm²"],
        ["new", "wet? 41 %", "3600 px²"],
        ["1", "check", ""],
    ]
    assert rows_of(page)[1].note == "looks newly wet: about as likely as not, 41 %"
    assert page.marking.search_note.words == "2 found, likeliest first. Look yourself too."


def test_what_is_found_is_drawn_as_a_proposal_with_its_chance(qtbot, page, finds):
    finds(NEW)

    search(qtbot, page)

    drawn = view_of(page).drawn_marks[0]
    assert (drawn.is_proposal, drawn.number, drawn.label) == (True, None, "wet? 93 %")
    assert drawn.outline_px == NEW.outline


def test_one_key_accepts_a_new_leak_and_undo_proposes_it_again(
    qtbot, page, session, project, inspected, finds
):
    finds(NEW)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)

    press(qtbot, page, Qt.Key.Key_A)
    (mark,) = marks_made(project, inspected)
    rows_then = cells_of(page)
    session.undo_stack.undo()

    assert project.find(Leak, mark.leak_id) is None
    assert (mark.grade, mark.outline_px) == (SeepageGrade.SEEP, NEW.outline)
    assert mark.source_px.y == 300
    assert rows_then == [["2", "2 seep", "3600 px²"], ["1", "check", ""]]
    assert cells_of(page)[0][:2] == ["new", "wet? 93 %"]


def test_where_a_known_leak_lies_it_is_offered_as_that_leak(qtbot, page, project, inspected, finds):
    finds(ON_LEAK_1)
    search(qtbot, page)
    rows_then = cells_of(page)
    press(qtbot, page, Qt.Key.Key_Period)

    press(qtbot, page, Qt.Key.Key_A)

    (mark,) = marks_made(project, inspected)
    assert rows_then == [["1", "wet? 80 %", "3600 px²"]]
    assert mark.leak_id == inspected.leak.id
    assert mark.source_px == inspected.mark.source_px
    assert mark.outline_px == ON_LEAK_1.outline
    assert page.marking.mark_pane.list.current_key == mark.id


def test_it_can_be_accepted_as_a_new_leak_all_the_same(qtbot, page, project, inspected, finds):
    finds(ON_LEAK_1)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)

    press(qtbot, page, Qt.Key.Key_A, Qt.KeyboardModifier.ShiftModifier)

    (mark,) = marks_made(project, inspected)
    assert project.get(Leak, mark.leak_id).number == 2


def test_a_digit_accepts_with_that_grade(qtbot, page, project, inspected, finds):
    finds(NEW)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)

    press(qtbot, page, Qt.Key.Key_4)

    assert [mark.grade for mark in marks_made(project, inspected)] == [SeepageGrade.DRIP]


def test_who_sees_nothing_wet_there_makes_no_leak(qtbot, page, project, inspected, finds):
    finds(NEW)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)

    press(qtbot, page, Qt.Key.Key_0)

    assert marks_made(project, inspected) == ()
    assert cells_of(page) == [["1", "check", ""]]


def test_a_leak_that_dried_up_is_offered_as_dry(qtbot, page, project, inspected, finds):
    finds(DRIED_LEAK_1)
    search(qtbot, page)
    rows_then = cells_of(page)
    press(qtbot, page, Qt.Key.Key_Period)
    hint = page.marking.mark_pane.hint

    press(qtbot, page, Qt.Key.Key_A)

    (mark,) = marks_made(project, inspected)
    assert rows_then == [["1", "dry now? 70 %", "3600 px²"]]
    assert "Looks dry now: likely, 70 %. Accept it (A) as 0 dry" in hint
    assert (mark.leak_id, mark.grade) == (inspected.leak.id, SeepageGrade.DRY)
    assert mark.outline_px == ()


def test_one_key_dismisses_and_goes_on_to_the_next(qtbot, page, project, inspected, finds):
    finds(NEW, UNSURE)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)
    second = rows_of(page)[1].key

    press(qtbot, page, Qt.Key.Key_D)

    assert page.marking.mark_pane.list.current_key == second
    assert marks_made(project, inspected) == ()
    assert len(rows_of(page)) == 2


def test_what_was_dismissed_stays_so_when_searched_again(qtbot, page, finds):
    finds(NEW, UNSURE)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_D)

    search(qtbot, page)

    assert [cells[1] for cells in cells_of(page)] == ["wet? 41 %", "check"]


def dismiss_new(qtbot, page, finds):
    finds(NEW)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)
    press(qtbot, page, Qt.Key.Key_D)


def test_what_was_dismissed_is_kept_in_the_project_and_undo_takes_it_back(
    qtbot, page, session, project, inspected, finds
):
    dismiss_new(qtbot, page, finds)
    kept = project.all(Dismissal, photo_id=inspected.cover_second.id)

    session.undo_stack.undo()

    assert [each.outline_px for each in kept] == [NEW.outline]
    assert project.all(Dismissal) == ()
    assert cells_of(page)[0][:2] == ["new", "wet? 93 %"]


def test_another_window_does_not_propose_it_again(qtbot, page, session, finds):
    dismiss_new(qtbot, page, finds)
    again = InspectPage(session)
    qtbot.addWidget(again)
    again.show()
    qtbot.waitUntil(lambda: len(rows_of(again)) == 1)
    view_of(again).setFocus()

    search(qtbot, again)

    assert cells_of(again) == [["1", "check", ""]]


def test_what_was_dismissed_can_be_shown_and_proposed_again(qtbot, page, project, finds):
    dismiss_new(qtbot, page, finds)
    button = page.marking.mark_pane.dismissed_button
    was_offered = (button.isVisible(), button.text())
    qtbot.mouseClick(button, LEFT)
    shown = cells_of(page)
    page.marking.select(rows_of(page)[1].key)
    hint = page.marking.mark_pane.hint

    press(qtbot, page, Qt.Key.Key_B)

    assert was_offered == (True, "1 dismissed")
    assert shown == [["1", "check", ""], ["new", "no leak", "3600 px²"]]
    assert "that this is no leak" in hint
    assert project.all(Dismissal) == ()
    assert cells_of(page)[0][:2] == ["new", "wet? 93 %"]
    assert not button.isVisible()


def test_a_grade_on_what_was_dismissed_marks_it_after_all(qtbot, page, project, inspected, finds):
    dismiss_new(qtbot, page, finds)
    press(qtbot, page, Qt.Key.Key_D, Qt.KeyboardModifier.ShiftModifier)
    page.marking.select(rows_of(page)[1].key)

    press(qtbot, page, Qt.Key.Key_3)

    assert [mark.grade for mark in marks_made(project, inspected)] == [SeepageGrade.HEAVY_SEEP]
    assert project.all(Dismissal) == ()


def test_dismissing_twice_makes_one_word(qtbot, page, project, finds):
    dismiss_new(qtbot, page, finds)
    press(qtbot, page, Qt.Key.Key_D, Qt.KeyboardModifier.ShiftModifier)
    page.marking.select(rows_of(page)[1].key)

    for key in (Qt.Key.Key_D, Qt.Key.Key_Delete, Qt.Key.Key_0):
        press(qtbot, page, key)

    assert len(project.all(Dismissal)) == 1


def test_a_photo_is_to_be_searched_anew_when_another_light_is_said(
    qtbot, page, session, project, inspected, finds
):
    finds(NEW)
    search(qtbot, page)

    session.do("light", assign_photos(project, [inspected.cover_second.id], light=Light.UV))

    assert cells_of(page) == [["1", "check", ""]]
    assert not page.marking.search_note.isVisible()


def test_a_leak_stays_proposed_where_only_the_wet_area_on_it_is_dismissed(qtbot, page, finds):
    finds(ON_LEAK_1)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)

    press(qtbot, page, Qt.Key.Key_D)

    assert cells_of(page) == [["1", "check", ""]]
    assert "All that was found is answered." in page.marking.search_note.words


def test_keys_walk_through_the_proposals_and_around(qtbot, page, finds):
    finds(NEW, UNSURE)
    search(qtbot, page)
    keys = [row.key for row in rows_of(page)]
    walked = []

    for key in (Qt.Key.Key_Period,) * 4 + (Qt.Key.Key_Comma,) * 2:
        press(qtbot, page, key)
        walked.append(keys.index(page.marking.editor.selected))

    assert walked == [0, 1, 2, 0, 2, 1]


def test_buttons_beside_the_list_do_the_same(qtbot, page, project, inspected, finds):
    finds(NEW)
    search(qtbot, page)
    named = {each.accessibleName(): each for each in looking.controls(page)}

    qtbot.mouseClick(named["Next proposal"], LEFT)
    qtbot.mouseClick(named["Accept what was found"], LEFT)

    assert len(marks_made(project, inspected)) == 1


def test_a_place_that_a_person_marked_is_not_proposed(qtbot, page, session, project, finds):
    finds(NEW)
    page.marking.editor._add({"source_px": PointPx(730, 330)})

    search(qtbot, page)

    assert "wet? 93 %" not in [cells[1] for cells in cells_of(page)]


@pytest.mark.parametrize(
    ("found", "words"),
    [
        ({}, "Nothing found that looks newly wet; look yourself."),
        ({"state": "failed"}, "could not be laid over an earlier one, so nothing was searched."),
        ({"state": "unreliable"}, "The photos fit badly: what is found may be wrong."),
        ({"unassessed": UNASSESSED}, "Hatched: could not be assessed."),
    ],
    ids=["nothing", "failed", "unreliable", "unassessed"],
)
def test_how_it_went_is_said_and_never_that_there_is_no_leak(qtbot, page, finds, found, words):
    finds(**found)

    search(qtbot, page)

    assert words in page.marking.search_note.words
    assert page.marking.search_note.isVisible()
    assert "no leak" not in page.marking.search_note.words.lower()


def hatched(page):
    return [item for item in view_of(page).scene().items() if isinstance(item, HatchItem)]


def test_what_could_not_be_assessed_is_hatched_until_it_is_put_away(qtbot, page, finds):
    finds(NEW, unassessed=UNASSESSED)
    search(qtbot, page)
    (item,) = hatched(page)
    frame = item.boundingRect()

    qtbot.mouseClick(page.marking.search_note.put_away_button, LEFT)

    assert (frame.width(), frame.height()) == (200, 200)
    assert hatched(page) == []
    assert cells_of(page) == [["1", "check", ""]]
    assert not page.marking.search_note.isVisible()


def test_a_search_can_be_cancelled_beside_the_photo(qtbot, page, monkeypatch, session):
    goes_on = Event()

    def find(_project, _photo_id, progress):
        goes_on.wait(10)
        progress(1, 2, "")
        raise AssertionError("it should have stopped")

    monkeypatch.setattr(wet_finder, "find_wet_regions", find)
    press(qtbot, page, Qt.Key.Key_W)
    words_then = page.marking.search_note.words

    qtbot.mouseClick(page.marking.search_note.cancel_button, LEFT)
    goes_on.set()

    qtbot.waitUntil(lambda: session.background.is_idle, timeout=60_000)
    assert words_then == "Searching for wet areas …"
    assert not page.marking.search_note.isVisible()


def test_a_photo_without_an_earlier_one_says_so(qtbot, page, session, inspected, monkeypatch):
    monkeypatch.setattr(wet_finder, "find_wet_regions", find_wet_regions)
    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id))
    view_of(page).setFocus()

    search(qtbot, page)

    assert "nothing to compare" in page.marking.search_note.words


def test_each_photo_keeps_its_own_search(qtbot, page, session, inspected, finds):
    finds(NEW)
    search(qtbot, page)

    session.pick(entry=(EntryKind.INSPECTION, inspected.first.id))
    was_shown = page.marking.search_note.isVisible()
    session.pick(entry=(EntryKind.INSPECTION, inspected.second.id))

    assert not was_shown
    assert cells_of(page)[0][1] == "wet? 93 %"


@pytest.mark.slow
def test_a_stain_that_was_not_there_before_is_found_in_earnest(
    qtbot, page, session, project, inspected, tmp_path, monkeypatch
):
    """The truth is what was drawn: a stain more than at the first look."""
    monkeypatch.setattr(wet_finder, "find_wet_regions", find_wet_regions)
    wet, _ = stained(casting(), STAIN, Stain(720, 520, radius_px=34, darkness=0.5))
    source = write_photo(tmp_path / "third.jpg", relit(wet, gain=0.95))
    outcome = add_photos(project, [source], inspected.cover.id, inspected.second.id)
    project.apply(outcome.edit)
    session.photo_wanted.emit(outcome.added[0].id, None)
    view_of(page).setFocus()

    press(qtbot, page, Qt.Key.Key_W)
    is_over = page.marking.finder.found
    qtbot.waitUntil(lambda: is_over(outcome.added[0].id) is not None, timeout=120_000)

    search_result = is_over(outcome.added[0].id)
    assert search_result.state == "aligned"
    assert contains(search_result.of_kind(WetKind.WET)[0].outline, PointPx(720, 520))


@pytest.mark.parametrize("has_zone", [False, True])
def test_a_photo_of_no_look_cannot_be_searched(
    page, session, project, inspected, tmp_path, has_zone
):
    source = tmp_path / "loose.jpg"
    source.write_bytes((tmp_path / "pan_1.jpg").read_bytes() + b"\0")
    outcome = add_photos(project, [source], inspected.cover.id if has_zone else None)
    project.apply(outcome.edit)

    session.photo_wanted.emit(outcome.added[0].id, None)

    assert not page.marking.answers.find.isEnabled()


@pytest.mark.parametrize("percent", [100, 150])
def test_nothing_is_unnamed_too_small_or_cut(qtbot, page, finds, percent, qapp):
    apply_theme(qapp, Settings(theme="dark", text_percent=percent))
    finds(NEW, UNSURE, unassessed=UNASSESSED)
    search(qtbot, page)
    press(qtbot, page, Qt.Key.Key_Period)

    qtbot.wait(50)  # let the layout settle

    assert looking.unnamed(page) == []
    assert looking.too_small(page, 24) == []
    assert looking.cut(page) == []
