"""What a person said is no leak stays so, for as much of it as they looked at."""

import pytest

from leaktrack.bootstrap import open_project
from leaktrack.model.errors import MissingRecord
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.place import PlaceState
from leaktrack.model.record import added
from leaktrack.model.shapes import PointPx, covered_share
from leaktrack.model.wet_search import Dismissal, WetKind, WetRegion
from leaktrack.workflows.assign_photos import remove_photo
from leaktrack.workflows.dismiss_regions import (
    dismiss_region,
    dismissed_region,
    is_dismissed,
    take_back_dismissal,
)
from leaktrack.workflows.propose_marks import MarkProposal, accept_proposal
from tests.builders import A_MOMENT, a_face, a_photo, a_zone, an_engine


def box(left, top, width, height):
    right, bottom = left + width, top + height
    return (
        PointPx(left, top), PointPx(right, top), PointPx(right, bottom), PointPx(left, bottom)
    )  # fmt: skip


def region(outline, kind=WetKind.WET):
    return WetRegion(outline, 1.0, None, None, 0.5, kind)


def said(outline, kind=WetKind.WET):
    photo = a_photo()
    return Dismissal(
        photo_id=photo.id, decided_at=A_MOMENT, kind=kind, outline_px=outline, score=0.5
    )


@pytest.mark.parametrize(
    ("found", "is_gone"),
    [
        (box(100, 100, 40, 20), True),  # the same
        (box(103, 98, 40, 22), True),  # drawn a little differently
        (box(110, 105, 10, 10), True),  # a part of it
        (box(100, 100, 40, 60), False),  # it has been seen to reach much further
        (box(130, 100, 40, 20), False),  # beside it, over a quarter of it
        (box(300, 300, 40, 20), False),
    ],
    ids=["same", "moved", "part", "grown", "beside", "elsewhere"],
)
def test_what_counts_is_how_much_of_it_was_dismissed(found, is_gone):
    assert is_dismissed(region(found), [said(box(100, 100, 40, 20))]) is is_gone


def test_two_dismissed_pieces_of_one_region_count_together():
    pieces = [said(box(100, 100, 12, 20)), said(box(112, 100, 12, 20))]

    assert is_dismissed(region(box(100, 100, 40, 20)), pieces)
    assert not is_dismissed(region(box(100, 100, 40, 20)), pieces[:1] * 2)


def test_a_place_that_did_not_become_wet_may_still_have_dried_up():
    there = box(100, 100, 40, 20)

    assert not is_dismissed(region(there, WetKind.DRIED), [said(there)])
    assert is_dismissed(region(there, WetKind.DRIED), [said(there, WetKind.DRIED)])


def test_the_share_that_is_covered_is_that_of_two_discs_of_equal_size():
    """Two discs whose centres lie one radius apart share 2/3 - sqrt(3)/(2 pi) of each: the
    area of a lens (plane geometry)."""
    from math import cos, pi, sin, sqrt

    def disc(x):
        turns = [2 * pi * step / 360 for step in range(360)]
        return tuple(PointPx(x + 50 * cos(turn), 50 * sin(turn)) for turn in turns)

    truth = 2 / 3 - sqrt(3) / (2 * pi)
    assert covered_share(disc(0), [disc(50)]) == pytest.approx(truth, abs=0.005)


@pytest.fixture
def photo(project):
    engine = an_engine()
    face = a_face(engine.id)
    zone = a_zone(face.id)
    photo = a_photo(zone_id=zone.id, mm_per_px=0.5)
    project.apply(added(engine, face, zone, photo))
    return photo


FOUND = region(box(100, 100, 40, 20))


def test_it_lasts_when_the_project_is_closed_and_can_be_taken_back(project, photo):
    undo = project.apply(dismiss_region(project, photo.id, FOUND))
    folder = project.folder
    project.close()

    with open_project(folder) as again:
        (word,) = again.all(Dismissal, photo_id=photo.id)
        again.apply(take_back_dismissal(again, word.id))
        left = again.all(Dismissal)
        again.apply(dismiss_region(again, photo.id, FOUND))

    assert (word.kind, word.outline_px, word.score) == (WetKind.WET, FOUND.outline, 0.5)
    assert undo.changes[0].after is None
    assert left == ()


def test_its_area_is_told_by_the_photo_s_scale(project, photo):
    project.apply(dismiss_region(project, photo.id, FOUND))
    (word,) = project.all(Dismissal)

    assert dismissed_region(word, photo.mm_per_px).area_mm2 == 40 * 20 * 0.5**2
    assert dismissed_region(word, None).area_mm2 is None


def test_who_marks_it_after_all_takes_the_word_back_in_the_same_step(project, photo):
    project.apply(dismiss_region(project, photo.id, FOUND))
    (word,) = project.all(Dismissal)
    proposal = MarkProposal(
        photo.id, None, PlaceState.UNKNOWN, PointPx(110, 105), FOUND.outline, found=FOUND,
        dismissal=word,
    )  # fmt: skip

    _mark, edit = accept_proposal(project, proposal, SeepageGrade.SEEP)
    undo = project.apply(edit)
    now = len(project.all(LeakMark)), project.all(Dismissal)
    project.apply(undo)

    assert now == (1, ())
    assert (project.all(LeakMark), project.all(Dismissal)) == ((), (word,))


def test_a_photo_that_is_removed_takes_its_dismissals_along(project, photo):
    project.apply(dismiss_region(project, photo.id, FOUND))

    project.apply(remove_photo(project, photo.id))

    assert project.all(Dismissal) == ()


def test_what_is_not_there_cannot_be_dismissed(project):
    with pytest.raises(MissingRecord):
        dismiss_region(project, a_photo().id, FOUND)
