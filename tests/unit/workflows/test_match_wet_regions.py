"""Squares of known places: the truth of who lies on whom is in the numbers."""

from uuid import uuid4

import pytest

from leaktrack.model.leak import Leak, LeakMark, SeepageGrade
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.model.wet_search import WetKind, WetRegion
from leaktrack.workflows.match_wet_regions import as_new_leak, match_wet_regions
from leaktrack.workflows.propose_marks import MarkProposal

PHOTO = uuid4()


def square(x, y, side=100):
    return (
        PointPx(x, y), PointPx(x + side, y), PointPx(x + side, y + side), PointPx(x, y + side)
    )  # fmt: skip


def region(x, y, score=0.9, kind=WetKind.WET):
    return WetRegion(square(x, y), 10_000, None, None, score, kind)


def carried(number, source, outline=(), sigma_px=3.0):
    leak = Leak(zone_id=uuid4(), number=number)
    return MarkProposal(PHOTO, leak, PlaceState.CARRIED, source, outline, sigma_px)


def mark(source=None, outline=(), grade=SeepageGrade.SEEP):
    return LeakMark(
        leak_id=uuid4(), photo_id=PHOTO, grade=grade, source_px=source, outline_px=outline
    )


def numbers(proposals):
    return [each.leak.number if each.leak else None for each in proposals]


def test_a_wet_region_where_no_leak_is_known_is_proposed_as_a_new_one():
    (proposal,) = match_wet_regions(PHOTO, [region(200, 300)], [], [])

    assert proposal.leak is None
    assert proposal.outline_px == square(200, 300)
    assert proposal.source_px.y == 300  # its highest point


def test_a_wet_region_on_a_carried_leak_takes_that_leak_s_place():
    leaks = [carried(1, PointPx(250, 350)), carried(2, PointPx(700, 700))]

    proposals = match_wet_regions(PHOTO, [region(200, 300)], [], leaks)

    assert numbers(proposals) == [1, 2]
    assert proposals[0].found is not None
    assert proposals[0].source_px == PointPx(250, 350)
    assert proposals[1] is leaks[1]


@pytest.mark.parametrize(
    ("off_px", "sigma_px", "is_same"), [(6, 1, True), (10, 1, False), (10, 6, True)]
)
def test_a_source_beside_a_region_counts_within_two_sigmas(off_px, sigma_px, is_same):
    leaks = [carried(1, PointPx(250, 300 - off_px), sigma_px=sigma_px)]

    proposals = match_wet_regions(PHOTO, [region(200, 300)], [], leaks)

    assert numbers(proposals) == ([1] if is_same else [None, 1])


def test_a_leak_whose_source_is_hidden_is_known_by_its_outline():
    leaks = [carried(1, None, square(250, 350))]

    (proposal,) = match_wet_regions(PHOTO, [region(200, 300)], [], leaks)

    assert proposal.leak is leaks[0].leak
    assert proposal.source_px.y == 300


def test_of_two_leaks_on_a_region_the_nearest_source_is_meant_and_of_two_regions_the_likelier():
    leaks = [carried(1, PointPx(200, 292)), carried(2, PointPx(250, 350))]
    regions = [region(200, 300, 0.9), region(220, 310, 0.6)]

    proposals = match_wet_regions(PHOTO, regions, [], leaks)

    assert numbers(proposals) == [2, None, 1]


def test_a_region_that_a_person_has_marked_is_answered_whatever_the_grade():
    regions = [region(200, 300), region(500, 300)]
    marks = [mark(PointPx(250, 350), grade=SeepageGrade.DRY), mark(outline=square(450, 250, 300))]

    assert match_wet_regions(PHOTO, regions, marks, []) == ()


def test_a_dried_region_is_proposed_for_the_leak_that_lies_there_and_for_nothing_else():
    leaks = [carried(4, PointPx(250, 350), square(240, 340, 40))]
    regions = [region(200, 300, kind=WetKind.DRIED), region(600, 300, kind=WetKind.DRIED)]

    (proposal,) = match_wet_regions(PHOTO, regions, [], leaks)

    assert proposal.seems_dry
    assert proposal.leak is leaks[0].leak
    assert proposal.outline_px == square(240, 340, 40)  # for whoever finds it wet after all


def test_a_suggested_leak_can_be_taken_off():
    (proposal,) = match_wet_regions(PHOTO, [region(200, 300)], [], [carried(1, PointPx(250, 350))])

    new = as_new_leak(proposal)

    assert (new.leak, new.source_px.y, new.key) == (None, 300, proposal.key)


def test_what_is_unlikely_is_not_asked_about():
    regions = [region(200, 300, 0.33), region(500, 300, 0.32)]

    proposals = match_wet_regions(PHOTO, regions, [], [])

    assert [each.found for each in proposals] == regions[:1]


def test_a_region_found_again_has_the_same_key_and_another_one_has_not():
    first, again, other = (
        match_wet_regions(PHOTO, [each], [], [])[0].key
        for each in (region(200, 300), region(200, 300, 0.4), region(201, 300))
    )

    assert first == again != other
