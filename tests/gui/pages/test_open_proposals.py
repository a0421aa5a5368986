"""What waits for an answer: as two photos say, then as all do, without what was answered."""

from types import SimpleNamespace

import pytest
from PySide6.QtCore import QObject, Signal

from leaktrack.gui.background import Background
from leaktrack.gui.pages.carried_marks import Asking
from leaktrack.gui.pages.open_proposals import OpenProposals
from leaktrack.gui.pages.photo_contents import PhotoContents
from leaktrack.model.identity import new_id
from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.photo import Photo
from leaktrack.model.shapes import PointPx
from leaktrack.model.wet_search import WetKind, WetRegion, WetSearch
from tests.gui.carried_answers import FIRST, LATER, SECOND_LATER, CarriedAnswers


class Finder(QObject):
    """Stands in for the search of photos."""

    changed = Signal(object)
    search = None

    def found(self, _photo_id):
        return self.search


def of_a_look():
    photo = Photo(
        sha256="0" * 64, file_type="jpg", original_name="cover.jpg", size_bytes=1, width_px=1000,
        height_px=750, zone_id=new_id(), inspection_id=new_id(),
    )  # fmt: skip
    return PhotoContents(photo, (), ())


@pytest.fixture
def contents():
    return of_a_look()


@pytest.fixture
def answers(contents, monkeypatch):
    leaks = tuple(Leak(zone_id=contents.photo.zone_id, number=number) for number in (1, 2))
    made = CarriedAnswers(contents.photo.id, leaks, monkeypatch)
    yield made
    made.said_more.set()


@pytest.fixture
def background(qapp, answers):
    made = Background()
    yield made
    answers.said_more.set()
    made.close()


@pytest.fixture
def proposals(qtbot, background, contents, answers):
    """Of a photo that two photos have told of, while more are asked."""
    made = OpenProposals(SimpleNamespace(project=None, background=background), Finder())
    made.of(contents)
    qtbot.waitUntil(lambda: made.carried.asking is Asking.NOTHING)
    made.of(contents)
    qtbot.waitUntil(lambda: answers.more_asked == [contents.photo.id])
    return made


def say_more(qtbot, proposals, answers):
    answers.said_more.set()
    qtbot.waitUntil(lambda: proposals.carried.asking is Asking.ALL_SAID)


def places(waiting):
    return {each.leak.number if each.leak else None: each.source_px for each in waiting}


def test_a_rejected_row_stays_away(qtbot, proposals, contents, answers):
    proposals.put_off(contents.photo.id, answers.leaks[0].id)
    was_asking = proposals.of(contents) and proposals.carried.asking

    say_more(qtbot, proposals, answers)

    assert was_asking is Asking.MORE
    assert places(proposals.of(contents)) == {2: SECOND_LATER}


def test_nobody_is_asked_any_more_once_all_is_answered(qtbot, proposals, contents, answers):
    for leak in answers.leaks:
        proposals.put_off(contents.photo.id, leak.id)

    assert proposals.of(contents) == []

    assert proposals.carried.asking is Asking.NOTHING
    qtbot.waitUntil(lambda: proposals.carried._session.background.is_idle)


def test_a_leak_that_was_marked_meanwhile_is_not_doubled(qtbot, proposals, contents, answers):
    mark = LeakMark(
        leak_id=answers.leaks[0].id, photo_id=contents.photo.id, grade=SeepageGrade.SEEP
    )
    marked = PhotoContents(contents.photo, ((mark, answers.leaks[0]),), ())

    say_more(qtbot, proposals, answers)

    assert places(proposals.of(marked)) == {2: SECOND_LATER}


def test_a_wet_area_in_hand_is_not_given_to_another_leak(qtbot, proposals, contents, answers):
    """It lies where all photos put leak 1, but not where two do."""
    corners = tuple(PointPx(LATER.x + dx, LATER.y + dy) for dx, dy in ((-9, -9), (9, -9), (0, 9)))
    region = WetRegion(corners, 180.0, None, None, 0.9, WetKind.WET)
    proposals._finder.search = WetSearch("aligned", (region,), (), None)
    in_hand = proposals.of(contents)[0]
    say_more(qtbot, proposals, answers)

    held = proposals.of(contents, in_hand=in_hand)
    held_key = proposals.held
    free = proposals.of(contents)

    assert (in_hand.leak, held[0], held_key) == (None, in_hand, in_hand.key)
    assert places(held)[1] == FIRST
    assert ([each.leak.number for each in free], proposals.held) == ([1, 2], None)


def test_a_late_answer_for_another_photo_is_ignored_and_asked_for_anew(
    qtbot, proposals, contents, answers, background
):
    answers.is_heedless = True
    other = of_a_look()
    proposals.of(other)
    answers.said_more.set()
    qtbot.waitUntil(lambda: background.is_idle)

    late = proposals.of(other)
    on_return = places(proposals.of(contents))
    say_more(qtbot, proposals, answers)

    assert late == []
    assert on_return[1] == FIRST
    assert answers.more_asked == [contents.photo.id] * 2
    assert places(proposals.of(contents))[1] == LATER


def test_another_page_drops_the_work_and_coming_back_takes_it_up(
    qtbot, proposals, contents, answers, background
):
    proposals.set_seen(False)
    qtbot.waitUntil(lambda: background.is_idle)
    unseen = places(proposals.of(contents))
    asked_unseen = list(answers.more_asked)

    proposals.set_seen(True)
    proposals.of(contents)
    say_more(qtbot, proposals, answers)

    assert unseen[1] == FIRST
    assert asked_unseen == [contents.photo.id]
    assert places(proposals.of(contents))[1] == LATER
