from dataclasses import replace

import pytest

from leaktrack.model.errors import BadInput
from leaktrack.model.inspection import Airflow
from leaktrack.model.record import replaced
from leaktrack.model.shapes import PointPx
from leaktrack.model.source import DownFrom
from leaktrack.workflows.draw_direction import draw_air, draw_down
from leaktrack.workflows.trace_leak import trace
from tests.leaking_engine import tell


@pytest.fixture
def story(project):
    return tell(project)


def test_an_arrow_counts_from_straight_down_towards_the_right_edge(project, story):
    photo = story.cover_photos[1]
    for end, deg in [((500, 700), 0), ((700, 500), 90), ((500, 300), 180), ((300, 500), -90)]:
        edit = draw_down(project, photo.id, PointPx(500, 500), PointPx(*end))
        assert edit.changes[0].after.down_deg == pytest.approx(deg)


def test_an_arrow_needs_two_places_in_the_photo(project, story):
    photo, at = story.cover_photos[1], PointPx(500, 500)

    with pytest.raises(BadInput, match="needs two places"):
        draw_down(project, photo.id, at, at)
    with pytest.raises(BadInput):
        draw_air(project, photo.id, at, PointPx(5000, 500))


def test_the_trace_takes_the_arrow_of_its_photo(project, story):
    photo = story.cover_photos[1]
    project.apply(draw_down(project, photo.id, PointPx(500, 500), PointPx(500, 300)))

    runs = trace(project, story.gap_leak.id).source.trail

    assert (abs(runs.toward_deg), runs.said_by) == (180, DownFrom.ARROW)


def test_an_arrow_in_another_photo_of_the_zone_is_carried_over_by_the_bolts(project, story):
    """The lines of both photos run level, so what points left there points left here."""
    other = story.cover_photos[0]
    project.apply(draw_down(project, other.id, PointPx(500, 500), PointPx(300, 500)))

    runs = trace(project, story.gap_leak.id).source.trail

    assert runs.toward_deg == pytest.approx(-90, abs=0.5)
    assert runs.said_by is DownFrom.OTHER_PHOTO


def test_air_over_the_engine_is_told_and_turns_the_run_where_it_was_drawn(project, story):
    look = story.inspections[1]
    project.apply(replaced(look, replace(look, airflow=Airflow.DRIVEN)))
    photo = story.cover_photos[1]
    project.apply(draw_air(project, photo.id, PointPx(500, 500), PointPx(900, 500)))

    runs = trace(project, story.gap_leak.id).source.trail

    assert runs.is_blown
    assert runs.toward_deg == pytest.approx(35, abs=0.1)  # as in the test of the analysis
