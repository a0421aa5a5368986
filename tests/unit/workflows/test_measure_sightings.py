import pytest

from leaktrack.imaging.measuring.targeting import square_target
from leaktrack.imaging.reading import read_upright
from leaktrack.model.errors import Cancelled
from leaktrack.model.leak import LeakMark, SeepageGrade
from leaktrack.model.record import added
from leaktrack.places import demo_source
from leaktrack.workflows.add_photos import add_photos
from leaktrack.workflows.compare_inspections import compare
from leaktrack.workflows.measure_sightings import measured
from tests.leaking_engine import tell

WITH_TARGET = demo_source() / "photos" / "bank1_cover_i1_b.jpg"


@pytest.fixture
def story(project):
    return tell(project)


@pytest.fixture
def square_marked(project, story):
    """The printed square itself is marked: 30 mm wide, so 900 mm2 and 42.4 mm across."""
    third = story.inspections[3]
    batch = add_photos(project, [WITH_TARGET], story.cover.id, third.id)
    project.apply(batch.edit)
    target = square_target(read_upright(WITH_TARGET))
    comparison = compare(project, story.inspections[2].id, third.id)
    leak = next(one.leak for one in comparison.changes if one.leak.zone_id == story.cover.id)
    mark = LeakMark(
        leak_id=leak.id,
        photo_id=batch.added[0].id,
        grade=SeepageGrade.STREAM,
        outline_px=target.corners_px,
    )
    project.apply(added(mark))
    return compare(project, story.inspections[2].id, third.id), leak


def test_an_area_is_measured_at_the_target_with_its_standard_deviation(project, square_marked):
    comparison, leak = square_marked

    found = measured(project, comparison)

    (after,) = (one.after for one in found.changes if one.leak.id == leak.id)
    assert after.area_mm2 == pytest.approx(900, abs=2 * after.area_sigma_mm2)
    assert after.extent_mm == pytest.approx(30 * 2**0.5, abs=2 * after.extent_sigma_mm)
    assert 0 < after.area_sigma_mm2 < 0.5 * after.area_mm2


def test_where_a_photo_is_gone_the_area_is_the_one_known_before(project, story):
    """The story's photos have no files; some have a scale written down."""
    comparison = compare(project, story.inspections[1].id, story.inspections[2].id)

    assert measured(project, comparison) == comparison


def test_measuring_can_be_stopped(project, square_marked):
    def stop(*_):
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        measured(project, square_marked[0], stop)
