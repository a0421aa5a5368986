import pytest

from leaktrack.model.comparison import Change
from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Inspection
from leaktrack.model.photo import Light
from leaktrack.model.record import added
from leaktrack.workflows.compare_inspections import best_photo_pairs, compare
from tests.leaking_engine import a_photo, at, tell


@pytest.fixture
def story(project):
    return tell(project)


def changes(comparison):
    return {one.leak.number: one.change for one in comparison.changes}


def test_each_leak_is_told_how_it_fared(project, story):
    _, first, second, third = story.inspections

    grown = compare(project, first.id, second.id)
    mended = compare(project, second.id, third.id)

    assert changes(grown) == {1: Change.GROWING, 2: Change.NEW, 3: Change.NEW}
    assert changes(mended) == {1: Change.GONE, 2: Change.SHRINKING, 3: Change.NOT_SEEN}


def test_the_earlier_inspection_is_the_one_before_in_whichever_order_they_are_given(project, story):
    _, first, second, _ = story.inspections

    assert compare(project, second.id, first.id) == compare(project, first.id, second.id)


def test_leaks_marked_later_are_left_out(project, story):
    baseline, first, *_ = story.inspections

    assert changes(compare(project, baseline.id, first.id)) == {1: Change.NEW}


def test_one_zone_can_be_compared_alone(project, story):
    _, first, second, _ = story.inspections

    assert set(changes(compare(project, first.id, second.id, story.solenoid.id))) == {3}


def test_sizes_are_in_millimetres_where_the_photo_has_a_scale(project, story):
    _, first, second, _ = story.inspections

    gap = compare(project, first.id, second.id).changes[0]

    assert gap.before.area_mm2 == pytest.approx(40 * 40 * 0.15**2)
    assert gap.after.area_mm2 == pytest.approx(120 * 120 * 0.15**2)


def test_an_inspection_is_not_compared_with_itself(project, story):
    only = story.inspections[0]

    with pytest.raises(BadInput, match="twice"):
        compare(project, only.id, only.id)


def test_inspections_of_two_engines_are_not_compared(project, story):
    other_engine = type(story.engine)(name="V")
    elsewhere = Inspection(engine_id=other_engine.id, looked_at=at("04-01 10:00"))
    project.apply(added(other_engine, elsewhere))

    with pytest.raises(BadInput, match="two engines"):
        compare(project, story.inspections[0].id, elsewhere.id)


def test_photos_are_paired_by_light_and_posture_before_their_place_in_the_row(project, story):
    _, first, second, _ = story.inspections
    dyed = a_photo(41, zone_id=story.cover.id, inspection_id=first.id, light=Light.UV)
    dyed_again = a_photo(42, zone_id=story.cover.id, inspection_id=second.id, light=Light.UV)
    project.apply(added(dyed, dyed_again))

    pairs = best_photo_pairs(project, first.id, second.id, story.cover.id)

    assert set(pairs) == {
        (story.cover_photos[1].id, story.cover_photos[2].id),
        (dyed.id, dyed_again.id),
    }


def test_without_an_earlier_photo_there_is_no_pair(project, story):
    _, first, second, _ = story.inspections

    assert best_photo_pairs(project, first.id, second.id, story.sump.id) == ()
