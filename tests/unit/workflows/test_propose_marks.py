"""Known leaks are proposed where they should be in a new photo; only a person grades them."""

import math

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.place import PlaceState
from leaktrack.model.shapes import PointPx
from leaktrack.places import demo_source
from leaktrack.workflows.propose_marks import accept_proposal, propose_marks
from tests.zone_bench import ZoneBench

pytestmark = pytest.mark.usefixtures("shared_features")

PHOTOS = demo_source() / "photos"
I1, I2_B, I3 = (PHOTOS / f"bank1_cover_{name}.jpg" for name in ("i1", "i2_b", "i3"))
STRAINER = PHOTOS / "strainer.jpg"
# Where one leak of this zone starts, in px; known from the scene the photos are rendered from.
SOURCE_I1, SOURCE_I2_B, SOURCE_I3 = PointPx(771, 857), PointPx(761, 589), PointPx(670, 891)
WET = (PointPx(761, 589), PointPx(800, 640), PointPx(760, 690), PointPx(725, 640))
# Another one, at a bolt; the photos leave less doubt about its place.
BOLT_I2_B, BOLT_I3 = PointPx(1516, 486), PointPx(1247, 800)
WET_AT_BOLT = (PointPx(1516, 486), PointPx(1555, 537), PointPx(1515, 587), PointPx(1480, 537))


def distance_px(proposal, place):
    return math.dist((proposal.source_px.x, proposal.source_px.y), (place.x, place.y))


@pytest.fixture
def bench(project):
    return ZoneBench(project)


def test_a_leak_is_proposed_where_it_starts_in_the_next_photo(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    mark = bench.mark(earlier, SeepageGrade.SEEP, source_px=BOLT_I2_B, outline_px=WET_AT_BOLT)

    (proposal,) = propose_marks(project, later.id)

    assert (proposal.leak.id, proposal.carried_from) == (mark.leak_id, mark)
    assert proposal.state is PlaceState.CARRIED
    assert distance_px(proposal, BOLT_I3) < 2 * proposal.sigma_px < 40
    assert len(proposal.outline_px) == len(WET_AT_BOLT)


def test_a_leak_that_was_dry_is_proposed_too(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    bench.mark(earlier, SeepageGrade.DRY, source_px=BOLT_I2_B)

    (proposal,) = propose_marks(project, later.id)

    assert proposal.state is PlaceState.CARRIED
    assert proposal.outline_px == ()


def test_a_place_in_doubt_is_proposed_with_that_doubt(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B)

    (proposal,) = propose_marks(project, later.id)

    assert proposal.state in (PlaceState.CARRIED, PlaceState.UNCERTAIN)
    assert distance_px(proposal, SOURCE_I3) < 2 * proposal.sigma_px < 60


def test_the_latest_mark_before_is_carried(project, bench):
    first, second, third = (
        bench.photo(I1, 1),
        bench.photo(I2_B, 2),
        bench.photo(I3, 3),
    )
    old = bench.mark(first, SeepageGrade.SEEP, source_px=SOURCE_I1)
    new = bench.mark(second, SeepageGrade.DRIP, source_px=SOURCE_I2_B, leak_id=old.leak_id)

    (proposal,) = propose_marks(project, third.id)

    assert proposal.carried_from == new
    assert distance_px(proposal, SOURCE_I3) < 2 * proposal.sigma_px


def test_where_the_latest_photo_does_not_fit_an_earlier_one_is_carried(project, bench):
    first, unlike, third = (
        bench.photo(I2_B, 1),
        bench.photo(STRAINER, 2),
        bench.photo(I3, 3),
    )
    old = bench.mark(first, SeepageGrade.SEEP, source_px=SOURCE_I2_B)
    bench.mark(unlike, SeepageGrade.SEEP, source_px=PointPx(500, 500), leak_id=old.leak_id)

    (proposal,) = propose_marks(project, third.id)

    assert proposal.carried_from == old
    assert distance_px(proposal, SOURCE_I3) < 2 * proposal.sigma_px


def test_nothing_is_carried_back_from_a_later_inspection(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    bench.mark(later, SeepageGrade.SEEP, source_px=SOURCE_I3)

    (proposal,) = propose_marks(project, earlier.id)

    assert (proposal.state, proposal.source_px) == (PlaceState.UNKNOWN, None)


@pytest.mark.thorough
def test_a_photo_of_something_else_gives_no_place_but_still_asks(project, bench):
    earlier, other = (
        bench.photo(I2_B, 1),
        bench.photo(STRAINER, 2),
    )
    bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B, outline_px=WET)

    (proposal,) = propose_marks(project, other.id)

    assert (proposal.state, proposal.source_px, proposal.outline_px) == (
        PlaceState.UNKNOWN,
        None,
        (),
    )


def test_a_leak_marked_in_the_photo_is_not_proposed(project, bench):
    photo = bench.photo(I1, 1)
    bench.mark(photo, SeepageGrade.SEEP, source_px=SOURCE_I1)

    assert propose_marks(project, photo.id) == ()


def test_a_photo_without_a_zone_has_no_proposals(project, filled):
    assert propose_marks(project, filled.loose.id) == ()


def test_nothing_is_stored_before_a_person_gives_the_grade(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B, outline_px=WET)

    propose_marks(project, later.id)

    assert project.all(LeakMark, photo_id=later.id) == ()


@pytest.mark.parametrize(
    ("grade", "corners"), [(SeepageGrade.SEEP, len(WET)), (SeepageGrade.DRY, 0)]
)
def test_an_accepted_proposal_is_a_mark_of_the_same_leak(project, bench, grade, corners):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    old = bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B, outline_px=WET)
    (proposal,) = propose_marks(project, later.id)

    project.apply(accept_proposal(project, proposal, grade)[1])

    (mark,) = project.all(LeakMark, photo_id=later.id)
    assert (mark.leak_id, mark.grade, mark.source_px) == (old.leak_id, grade, proposal.source_px)
    assert len(mark.outline_px) == corners
    assert propose_marks(project, later.id) == ()


def test_a_proposal_is_accepted_once(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B)
    (proposal,) = propose_marks(project, later.id)
    project.apply(accept_proposal(project, proposal, SeepageGrade.SEEP)[1])

    with pytest.raises(BadInput, match="has a mark in"):
        accept_proposal(project, proposal, SeepageGrade.DRIP)


def test_a_leak_goes_along_with_one_near_it_that_a_person_put_elsewhere(project, bench):
    """Its neighbour's mark was put 40 px further right than the pictures say."""
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    near = PointPx(SOURCE_I2_B.x + 12, SOURCE_I2_B.y + 6)
    known = bench.mark(earlier, SeepageGrade.SEEP, source_px=near)
    bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B)
    before = next(one for one in propose_marks(project, later.id) if one.leak.number == 2)
    carried = next(one for one in propose_marks(project, later.id) if one.leak.number == 1)
    put = PointPx(carried.source_px.x + 40, carried.source_px.y)

    bench.mark(later, SeepageGrade.SEEP, source_px=put, leak_id=known.leak_id)
    (after,) = propose_marks(project, later.id)

    assert 0 < after.source_px.x - before.source_px.x < 40
    assert after.sigma_px < before.sigma_px


def test_a_mark_that_was_left_where_it_was_carried_changes_nothing(project, bench):
    earlier, later = (
        bench.photo(I2_B, 1),
        bench.photo(I3, 2),
    )
    near = PointPx(SOURCE_I2_B.x + 12, SOURCE_I2_B.y + 6)
    known = bench.mark(earlier, SeepageGrade.SEEP, source_px=near)
    bench.mark(earlier, SeepageGrade.SEEP, source_px=SOURCE_I2_B)
    carried, before = propose_marks(project, later.id)

    bench.mark(later, SeepageGrade.SEEP, source_px=carried.source_px, leak_id=known.leak_id)
    (after,) = propose_marks(project, later.id)

    assert after == before
